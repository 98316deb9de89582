"""Cation conductivity (acid conductivity), and what it tells beside the plain one.

Behind a strongly acid cation exchanger every cation has become a hydrogen ion: ammonia and amines
are gone, each anion conducts as its acid, and traces show up threefold. Degassed, the carbon
dioxide is gone too.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from chemistry.arrays import Floats, plain
from chemistry.errors import OutOfValidity, Refused
from chemistry.solve import equilibrate
from chemistry.totals import COMPONENT_OF, molal_totals, molar_mass
from chemistry.validity import require_one_length, require_within
from chemistry.words import gettext_noop

HELD_BACK = frozenset(
    {"Na+", "K+", "NH4+", "Ca+2", "Mg+2", "morpholine", "cyclohexylamine", "ethanolamine"}
)
"""Totals that the exchanger keeps: the cations and the bases that become one."""
DRIVEN_OFF = frozenset({"CO3-2"})
"""Totals that degassing takes out of the acid water."""

Alkali = Literal["NH3", "Na"]
"""What makes the water alkaline: ammonia, or sodium hydroxide (counted as its sodium)."""

CONSTANT: Mapping[Alkali, float] = {"NH3": 8.57, "Na": 8.6}
"""pH = log10(specific - cation / 3) + this, µS/cm at 25 °C: VGB-S-010 (formerly VGB-R 450 L), of
2011, and common practice for ammonia; from memory."""
CATION_SHARE = 3.0
"""Cation conductivity over that of the same anions as salts, in that formula: from memory too."""
FORMULA_PH = (7.5, 10.5)
"""Range of that formula: from memory."""
CATION_MOST = 0.5
"""Of the specific conductivity, beyond which impurities and not the alkali decide the pH: rule of
our own; one to one, a neutral salt has about 3.4 times its own conductivity."""
SPECIFIC_MOST = 100.0
"""µS/cm, where a condensate or feedwater ends: rule of our own."""
_TO_BEGIN_WITH = 20.0
"""µS/cm for each mg/kg, where the search begins: rule of our own."""
_AMOUNT_MOST, _STEPS, _SETTLED = 1000.0, 60, 1e-9
"""Of the search, mg/kg, steps, part: rule of our own."""


@dataclass(frozen=True)
class AlkalineWater:
    """What an alkaline water of two conductivities is made of."""

    ph: Floats
    """At 25 °C."""
    alkali: Floats
    """mg/kg as the formula that was asked for."""
    chloride: Floats
    """All anions, as if they were chloride, mg/kg."""


def cation_conductivity(
    totals: Mapping[str, Floats], temperature_c: Floats = 25.0, *, degassed: bool = False
) -> Floats:
    """Return the conductivity behind a strongly acid cation exchanger, µS/cm.

    `totals` in mg/kg as for chemistry.solve.equilibrate. Errors: those of equilibrate.

    >>> round(cation_conductivity({"Na": 0.0065, "Cl": 0.01, "NH3": 0.5}), 3)
    0.137
    """
    molal_totals(totals, temperature_c)  # what the exchanger keeps has to be an amount too
    gone = HELD_BACK | DRIVEN_OFF if degassed else HELD_BACK
    left = {key: each for key, each in totals.items() if COMPONENT_OF.get(key) not in gone}
    shape = np.broadcast_shapes(*(np.shape(each) for each in totals.values()))
    water = {"Cl": np.zeros(shape), **left} if shape else left
    return equilibrate(water, temperature_c).conductivity


def ph_by_formula(specific: Floats, cation: Floats, alkali: Alkali = "NH3") -> Floats:
    """Return pH from the conductivity of a water and its cation conductivity, µS/cm at 25 °C.

    pH = log10(specific - cation / 3) + 8.57 for ammonia, 8.6 for sodium hydroxide (chemistry
    SOURCES.md, VGB-S-010). For a water of one alkali without phosphate. Errors: OutOfValidity
    outside pH 7.5 to 10.5; Refused impurities_decide.

    >>> round(ph_by_formula(6.7, 0.15), 2)
    9.39
    """
    _refuse_impure(specific, cation)
    ph = np.log10(specific - np.asarray(cation) / CATION_SHARE) + CONSTANT[alkali]
    require_within(
        ph,
        FORMULA_PH,
        "ph",
        "ph_of_formula",
        gettext_noop("This formula holds from pH %(low)s to %(high)s only."),
    )
    return plain(ph)


def ph_of_conductivities(specific: Floats, cation: Floats, alkali: Alkali = "NH3") -> AlkalineWater:
    """Return the water that has both conductivities, µS/cm at 25 °C: one alkali, one strong acid.

    Solved with all equilibria instead of by a formula. For a water without phosphate whose carbon
    dioxide is little beside its alkali. Errors: Refused impurities_decide, below_pure_water;
    OutOfValidity above 100 µS/cm.

    >>> round(ph_of_conductivities(6.7, 0.15).ph, 2)
    9.38
    """
    _refuse_impure(specific, cation)
    shape = np.broadcast_shapes(np.shape(specific), np.shape(cation))
    to_specific, to_cation = (np.broadcast_to(each, shape) for each in (specific, cation))
    chloride = _sought(lambda amount: equilibrate({"Cl": amount}).conductivity, to_cation)
    neutral = chloride / molar_mass("Cl") * molar_mass(alkali)

    def with_alkali(excess: Floats) -> Floats:
        return equilibrate({"Cl": chloride, alkali: neutral + excess}).conductivity

    excess = _sought(with_alkali, to_specific)
    ph = equilibrate({"Cl": chloride, alkali: neutral + excess}).ph
    return AlkalineWater(*(plain(each) for each in (ph, neutral + excess, chloride)))


def _refuse_impure(specific: Floats, cation: Floats) -> None:
    require_one_length(specific, cation)
    both = np.asarray(specific, dtype=np.float64), np.asarray(cation, dtype=np.float64)
    if not np.all((both[1] >= 0.0) & (both[1] <= CATION_MOST * both[0])):
        raise Refused(
            "impurities_decide",
            gettext_noop(
                "The cation conductivity is not small beside the conductivity: impurities and "
                "not the alkali decide this pH."
            ),
        )
    if not np.all(both[0] <= SPECIFIC_MOST):
        raise OutOfValidity(
            "conductivity_of_a_condensate",
            gettext_noop("This holds for conductivities up to %(most)s µS/cm."),
            {"most": f"{SPECIFIC_MOST:g}"},
            bound=f"specific <= {SPECIFIC_MOST:g}",
        )


def _sought(conducts: Callable[[Floats], Floats], wanted: Floats) -> Floats:
    """Return the amount, mg/kg, of what makes a water conduct as much as wanted.

    What is added always conducts more: by their ratio, and by halves where that leads astray.
    Errors: Refused below_pure_water.
    """
    low, high = np.zeros(np.shape(wanted)), np.full(np.shape(wanted), _AMOUNT_MOST)
    if not np.all(np.asarray(wanted) >= conducts(low)):
        raise Refused(
            "below_pure_water",
            gettext_noop("No water conducts so little: check the meter and its temperature."),
        )
    middle = np.asarray(wanted) / _TO_BEGIN_WITH
    for _ in range(_STEPS):
        found = np.asarray(conducts(middle))
        if np.all(np.abs(found - wanted) <= _SETTLED * np.asarray(wanted)):
            break
        below = found < wanted
        low, high = np.where(below, middle, low), np.where(below, high, middle)
        by_ratio = middle * wanted / found
        inside = (by_ratio > low) & (by_ratio < high)
        middle = np.where(inside, by_ratio, 0.5 * (low + high))
    return middle
