"""Whether a full analysis of a water can be right: do its charges even out, does it conduct what
was measured, what solids are dissolved.

Sums of charges are taken of the species that are there at the measured pH, not of formulas: of
61 mg/kg HCO3 some is carbonate or carbon dioxide.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.at_ph import base_to_reach, held
from chemistry.composition import conductivity
from chemistry.equilibria import table
from chemistry.errors import OutOfValidity, Refused
from chemistry.titrated import M_END_POINT
from chemistry.totals import molal_totals, molar_mass
from chemistry.words import gettext_noop

BALANCE_LIMITS: tuple[tuple[float, float | None, float | None], ...] = (
    (3.0, 0.2, None),
    (10.0, None, 2.0),
    (800.0, None, 5.0),
)
"""Up to so many meq/L of anions, what cations and anions may differ by: meq/L, or per cent of their
sum. Standard Methods 1030 E (from memory)."""
CONDUCTIVITY_RATIO = (0.9, 1.1)
"""Calculated over measured: Standard Methods 1030 E (from memory)."""
IMPOSSIBLE_PERCENT = 50.0
"""Difference beyond which these are not the ions of one water, one having three times the charges
of the other: rule of our own."""
TRACE_MEQ = 0.05
"""Sums below which a difference in per cent says nothing: rule of our own."""
CARBONATE_OF_BICARBONATE = 0.5
"""Evaporated to dryness, two bicarbonates become one carbonate: Standard Methods 1030 E (from
memory), there 0.6 of the alkalinity as CaCO3."""
_ROUNDS, _CARBON_SETTLED = 20, 1e-9
"""Of the search for the carbon, rounds and mol/kg: rule of our own."""


@dataclass(frozen=True)
class Balance:
    """The charges of an analysis."""

    cations: float
    """meq/kg"""
    anions: float
    """meq/kg"""
    difference_percent: float
    """(cations - anions) / (cations + anions)"""
    even: bool
    """Within what Standard Methods 1030 E allows."""
    lacking: tuple[str, float]
    """What would even it out: sodium or chloride, mg/kg."""


@dataclass(frozen=True)
class Analysis:
    """What a full analysis says of itself."""

    balance: Balance
    conductivity: float
    """Calculated, µS/cm at the temperature."""
    ratio: float | None
    """Calculated over measured conductivity."""
    conducts: bool | None
    """Whether that lies between 0.9 and 1.1; None where it was not measured."""
    solids: float
    """Left at dryness, mg/kg."""
    solids_factor: float
    """Solids over conductivity, measured where it was: this water's own factor."""


def analysis_of(
    totals: Mapping[str, float],
    ph: float,
    temperature_c: float = 25.0,
    *,
    measured: float | None = None,
    m_alkalinity: float | None = None,
) -> Analysis:
    """Hold an analysis in mg/kg (chemistry.solve.equilibrate) with its pH against itself.

    `measured`: conductivity at the same temperature, µS/cm; `m_alkalinity`: mg/kg as CaCO3, in
    place of the carbon of `totals`. Errors: Refused impossible_charges, no_such_carbon;
    OutOfValidity for a conductivity that is not above zero, and those of chemistry.at_ph.

    >>> found = analysis_of({"Na": 23.0, "Cl": 35.5}, 7.0, measured=124.0)
    >>> round(found.balance.difference_percent, 1), round(found.ratio, 2)
    (-0.0, 1.0)
    """
    if measured is not None and not 0.0 < measured < float("inf"):
        raise OutOfValidity(
            "conductivity_above_zero",
            gettext_noop("A conductivity is a number above zero."),
            bound="measured > 0",
        )
    if m_alkalinity is not None:
        totals = {**totals, "C": carbon_of(totals, ph, m_alkalinity, temperature_c)}
    water, base = held(totals, ph, temperature_c)
    species = {key: float(amount) for key, amount in water.species.items()}
    species["Na+"] -= max(float(base), 0.0)
    species["Cl-"] -= max(-float(base), 0.0)
    balance = _balance(species, float(base))
    calculated = float(conductivity(species, temperature_c))
    ratio = None if measured is None else calculated / measured
    low, high = CONDUCTIVITY_RATIO
    solids = solids_of(totals)
    return Analysis(
        balance,
        calculated,
        ratio,
        None if ratio is None else low <= ratio <= high,
        solids,
        solids / (calculated if measured is None else measured),
    )


def carbon_of(
    totals: Mapping[str, float], ph: float, m_alkalinity: float, temperature_c: float = 25.0
) -> float:
    """Return the inorganic carbon, mg/kg as C, that a water of a pH needs for its M alkalinity in
    mg/kg as CaCO3, beside all else in `totals` that takes acid.

    Errors: Refused no_such_carbon where other substances alone take more acid.

    >>> round(carbon_of({"Na": 100.0, "Cl": 50.0}, 8.3, 200.0), 1)
    48.3
    """
    wanted = m_alkalinity / CACO3_MG_PER_EQUIVALENT

    def takes(carbon: float) -> float:
        water = {**totals, "C": carbon * 1000.0 * molar_mass("C")}
        start, end = (base_to_reach(water, each, temperature_c) for each in (ph, M_END_POINT))
        return float(start) - float(end)

    without = takes(0.0)
    carbon = need = wanted - without
    for _ in range(_ROUNDS):
        if carbon <= 0.0:
            break
        before, carbon = carbon, carbon * need / (takes(carbon) - without)
        if abs(carbon - before) < _CARBON_SETTLED:
            return carbon * 1000.0 * molar_mass("C")
    raise Refused(
        "no_such_carbon",
        gettext_noop("At this pH other substances alone take more acid than was titrated."),
    )


def solids_of(totals: Mapping[str, float]) -> float:
    """Return the solids that a water leaves at dryness, mg/kg, from its totals in mg/kg.

    All carbon is taken for bicarbonate, half of which leaves; ammonia and amines leave whole.
    Standard Methods 1030 E (from memory).

    >>> round(solids_of({"Na": 23.0, "HCO3": 61.0}), 1)
    53.0
    """
    molal, _ = molal_totals(totals, 25.0)
    left = {"Na", "K", "Ca", "Mg", "Cl", "SO4", "SO3", "NO3", "PO4", "F", "SiO2", "B"}
    kept = sum(each for formula, each in totals.items() if formula in left)
    carbonate = float(molal.get("CO3-2", 0.0)) * CARBONATE_OF_BICARBONATE
    return kept + carbonate * 1000.0 * molar_mass("CO3")


def _balance(species: Mapping[str, float], base: float) -> Balance:
    charges = {key: table()[key].charge * amount * 1000.0 for key, amount in species.items()}
    cations = sum(each for each in charges.values() if each > 0.0)
    anions = -sum(each for each in charges.values() if each < 0.0)
    difference, both = cations - anions, cations + anions
    percent = 100.0 * difference / both
    if abs(percent) > IMPOSSIBLE_PERCENT and both > TRACE_MEQ:
        raise Refused(
            "impossible_charges",
            gettext_noop(
                "These cannot be the ions of one water: %(cations)s meq/kg of cations against "
                "%(anions)s of anions. One of them is missing, or wrong by a factor."
            ),
            {"cations": f"{cations:.3g}", "anions": f"{anions:.3g}"},
        )
    formula = "Na" if base > 0.0 else "Cl"
    lacking = (formula, abs(base) * 1000.0 * molar_mass(formula))
    return Balance(cations, anions, percent, _even(anions, difference, percent), lacking)


def _even(anions: float, difference: float, percent: float) -> bool:
    for most, meq, parts in BALANCE_LIMITS:
        if anions <= most:
            return (meq is None or abs(difference) <= meq) and (
                parts is None or abs(percent) <= parts
            )
    return False
