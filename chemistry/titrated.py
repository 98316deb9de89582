"""P and M alkalinity of a composition, and the composition behind a P and an M.

The acid that a water takes to pH 8.3 and to pH 4.5, in a closed vessel: no carbon dioxide comes in
or goes out. (A stirred beaker loses some near 4.5: M as titrated reads up to 1.4 % of the carbon
lower than M to the true end point.) End points: Standard Methods 2320 B (from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.arrays import Floats, plain
from chemistry.at_ph import acid_to_reach
from chemistry.errors import Refused
from chemistry.totals import molar_mass
from chemistry.validity import require_one_length
from chemistry.words import gettext_noop

P_END_POINT, M_END_POINT = 8.3, 4.5
"""pH: Standard Methods 2320 B (from memory)."""
CARBON_BETWEEN_END_POINTS = 0.97
"""Acid that a mole of inorganic carbon takes between the two: it is bicarbonate, but for a little
carbonate and carbon dioxide at the ends. Only steers the search: rule of our own."""
FREE_ACID = 4e-5
"""eq/kg: acid that a titration to pH 4.5 leaves free, 0.03 meq/kg (10^-4.5), which a bench counts
as alkalinity or takes off as a blank; so P may equal M. Rule of our own."""
_ROUNDS, _SETTLED = 30, 2e-7
"""Of the search, rounds and eq/kg (0.01 mg/kg as CaCO3): rule of our own."""


@dataclass(frozen=True)
class Alkalinity:
    """Both in mg per kg of water as CaCO3; below zero: the water is past that end point."""

    p: Floats
    m: Floats


@dataclass(frozen=True)
class Behind:
    """What a P and an M stand for, beside what else the water holds."""

    carbon: Floats
    """Inorganic carbon, mg/kg as C."""
    strong_base: Floats
    """Sodium and potassium together, mol/kg: also what goes with chloride, sulfate and nitrate
    where the other substances hold these."""


def alkalinity_of(totals: Mapping[str, Floats], temperature_c: Floats = 25.0) -> Alkalinity:
    """Return P and M of a composition in mg/kg (chemistry.solve.equilibrate).

    >>> found = alkalinity_of({"Na": 100.0, "CO2": 44.0})
    >>> round(found.p), round(found.m)
    (167, 218)
    """
    p, m = (
        acid_to_reach(totals, end, temperature_c) * CACO3_MG_PER_EQUIVALENT
        for end in (P_END_POINT, M_END_POINT)
    )
    return Alkalinity(p, m)


def behind(
    p: Floats, m: Floats, others: Mapping[str, Floats] | None = None, temperature_c: float = 25.0
) -> Behind:
    """Return carbon and strong base of a water from its P and M in mg/kg as CaCO3.

    `others`: phosphate, silica, ammonia, chloride and whatever else the water is known to hold,
    mg/kg, sodium apart. Both unknowns are moved until the water they make titrates to P and M.
    Errors: Refused no_such_alkalinity where no carbon fits, or no base.
    """
    require_one_length(p, m, *(others or {}).values())
    to_p, to_m = (np.asarray(each, dtype=np.float64) / CACO3_MG_PER_EQUIVALENT for each in (p, m))
    carbon, base = np.maximum(to_m - to_p, 1e-6), np.maximum(to_m, 1e-6)
    for _ in range(_ROUNDS):
        found = alkalinity_of(_water(carbon, base, others or {}), temperature_c)
        over_p = to_p - found.p / CACO3_MG_PER_EQUIVALENT
        over_m = to_m - found.m / CACO3_MG_PER_EQUIVALENT
        apart = np.abs(over_p) + np.abs(over_m)
        if np.all((apart < _SETTLED) | ((carbon == 0.0) & (apart < FREE_ACID))):
            return Behind(plain(carbon * 1000.0 * molar_mass("C")), plain(base))
        carbon = np.maximum(carbon + (over_m - over_p) / CARBON_BETWEEN_END_POINTS, 0.0)
        base = np.maximum(base + over_m, 0.0)
    raise Refused(
        "no_such_alkalinity", gettext_noop("No carbonate fits between this P and this M.")
    )


def _water(carbon: Floats, base: Floats, others: Mapping[str, Floats]) -> dict[str, Floats]:
    """Return a water in mg/kg: the carbon and base sought, beside what is known."""
    sought = {"C": carbon * 1000.0 * molar_mass("C"), "Na": base * 1000.0 * molar_mass("Na")}
    return {**others, **sought}
