"""The water behind the results of a bench: what must be in it for pH and conductivity to be so.

What was tested is taken as it is. The sodium is what the pH takes, the rest of the conductivity is
put down to sodium sulfate. Carbonate follows from M alkalinity where that was tested, else none.
"""

from collections.abc import Callable, Mapping

from chemistry import planner_words as words
from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.at_ph import acid_to_reach, base_to_reach
from chemistry.errors import Refused
from chemistry.solve import equilibrate
from chemistry.titrated import M_END_POINT, P_END_POINT
from chemistry.totals import molar_mass

DISAGREE_PART = 0.10
"""Part of the conductivity that the tested ions may be ahead of it: rule of our own."""
CLOSE_ENOUGH = 1e-4
"""Part of conductivity and alkalinity at which the search ends: rule of our own."""
ROUNDS_MOST = 30
"""Rounds of the search: rule of our own."""
CARBON_TAKES = 1.5
"""Protons that a carbon takes on the way to the M end point; only paces the search: rule of our
own."""
SULFATE_PER_US = 0.42
"""mg/kg of sulfate, with its sodium, that conduct a µS/cm; only paces the search: rule of our own,
worked out with chemistry.composition."""
FEED_ALKALINITY_LEAST = 2.0
"""mg/kg as CaCO3: less is the acid that the end point takes by itself. Rule of our own."""


def water_behind(
    ph: float, conductivity: float, tested: Mapping[str, float], m_alkalinity: float | None = None
) -> dict[str, float]:
    """Return a water in mg/kg by formula that has this pH and conductivity (µS/cm) at 25 °C.

    `tested` in mg/kg by formula: PO4, SO3, Cl, SiO2, NH3 and what else is known, sodium apart;
    `m_alkalinity` in mg/kg as CaCO3. Errors: Refused readings_disagree where the tested ions alone
    conduct clearly more, or are clearly more alkaline.

    >>> found = water_behind(10.5, 600.0, {"PO4": 40.0, "Cl": 30.0})
    >>> round(found["Na"]), round(found["SO4"])
    (112, 136)
    """
    known = dict(tested)
    too_acid = m_alkalinity is not None and ph <= M_END_POINT
    if too_acid or float(equilibrate(known).ph) > ph:  # the latter: alkaline without any sodium
        raise Refused("readings_disagree", words.READINGS_DISAGREE)
    return _found(known, lambda water: float(base_to_reach(water, ph)), conductivity, m_alkalinity)


def water_of_alkalinity(
    p_alkalinity: float,
    conductivity: float,
    tested: Mapping[str, float],
    m_alkalinity: float | None = None,
) -> dict[str, float]:
    """Return a water in mg/kg by formula that has this P alkalinity (mg/kg as CaCO3) and
    conductivity at 25 °C: what `water_behind` does where pH was not tested.

    The sodium is what brings all else to the P end point, and the P alkalinity beyond it. Errors:
    Refused readings_disagree.

    >>> found = water_of_alkalinity(200.0, 2000.0, {"PO4": 40.0}, 260.0)
    >>> round(found["Na"]), round(found["C"])
    (344, 9)
    """
    beyond = p_alkalinity / CACO3_MG_PER_EQUIVALENT

    def sodium(water: Mapping[str, float]) -> float:
        return float(base_to_reach(water, P_END_POINT)) + beyond

    return _found(dict(tested), sodium, conductivity, m_alkalinity)


def feed_behind(conductivity: float, m_alkalinity: float) -> dict[str, float]:
    """Return what a feedwater of this conductivity (µS/cm) and M alkalinity (mg/kg as CaCO3) brings
    into a boiler, mg/kg by formula.

    Its bicarbonate has given its carbon dioxide off with the steam, and stays as caustic: common
    practice, no source. Errors: Refused readings_disagree.

    >>> found = feed_behind(200.0, 50.0)
    >>> round(found["Na"], 1), found["C"]
    (43.2, 0.0)
    """
    known = m_alkalinity if m_alkalinity > FEED_ALKALINITY_LEAST else None
    return {**water_of_alkalinity(0.0, conductivity, {}, known), "C": 0.0}


def _found(
    known: dict[str, float],
    sodium: Callable[[Mapping[str, float]], float],
    conductivity: float,
    m_alkalinity: float | None,
) -> dict[str, float]:
    """Return the water whose sodium, mol/kg, follows from all else, with the salt and carbon that
    conductivity and M alkalinity ask for."""
    salt = carbon = 0.0
    for _ in range(ROUNDS_MOST):
        water = {**known, "SO4": salt, "C": carbon}
        water["Na"] = sodium(water) * 1000.0 * molar_mass("Na")
        if water["Na"] < 0.0:
            raise Refused("readings_disagree", words.READINGS_DISAGREE)
        more_salt = conductivity - float(equilibrate(water).conductivity)
        more_carbon = _carbon_wanted(water, m_alkalinity)
        settled = _settled(more_salt, salt, conductivity)
        if settled and _settled(more_carbon, carbon, max(carbon, 1.0)):
            return water
        salt = max(salt + SULFATE_PER_US * more_salt, 0.0)
        carbon = max(carbon + more_carbon, 0.0)
    raise Refused("readings_disagree", words.READINGS_DISAGREE)


def _settled(more: float, now: float, whole: float) -> bool:
    """Return whether nothing is left to add, or there is nothing left to take away.

    Errors: Refused readings_disagree where far too much is there and none of it can be taken.
    """
    if now == 0.0 and more < 0.0:
        if -more > DISAGREE_PART * whole:
            raise Refused("readings_disagree", words.READINGS_DISAGREE)
        return True
    return abs(more) <= CLOSE_ENOUGH * whole


def _carbon_wanted(water: Mapping[str, float], m_alkalinity: float | None) -> float:
    """Return the carbon that M alkalinity asks for beyond what is there, mg/kg as C."""
    if m_alkalinity is None:
        return 0.0
    lacking = m_alkalinity / CACO3_MG_PER_EQUIVALENT - float(acid_to_reach(water, M_END_POINT))
    # carbonate takes up to two protons on the way to the end point, at least the one
    return lacking / CARBON_TAKES * 1000.0 * molar_mass("C")
