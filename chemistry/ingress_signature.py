"""What a kilogram of a source does to each quantity that a bench can measure.

The water is worked out with the source in it, and again without: chloride simply adds up, but
alkalinity, pH and conductivity follow from the whole water, and calcium that meets phosphate in a
boiler is gone, with the phosphate that it takes, until that is used up. So a signature is good near
the amount that it was worked out at: a tangent there.

In boiler water calcium falls as hydroxyapatite, Ca10(PO4)6(OH)2 (formula from memory), while there
is phosphate, and magnesium as hydroxide: UFC 3-240-13FN (25 May 2005), 3-2.2.3 to 3-2.2.5, names
calcium phosphate and, but at low hydroxide and silica, no magnesium phosphate. Silica that falls
with magnesium is left out: rule of our own.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.at_ph import acid_to_reach
from chemistry.composition import conductivity
from chemistry.errors import ChemistryError
from chemistry.hardness import CALCIUM_AS_CACO3, hardness_of
from chemistry.ingress_sources import Source
from chemistry.solve import equilibrate
from chemistry.titrated import M_END_POINT, P_END_POINT
from chemistry.totals import COMPONENT_OF, molar_mass
from chemistry.words import gettext_noop

_STEP = 1e-3
"""Part of an amount by which a slope is taken: rule of our own."""

Array = NDArray[np.float64]
Totals = Mapping[str, Any]

PHOSPHATE_PER_CALCIUM = 6.0 / 10.0
"""Moles, in Ca10(PO4)6(OH)2; formula from memory."""
FORMULA_OF: Mapping[str, str] = {
    "chloride": "Cl", "phosphate": "PO4", "silica": "SiO2", "sulfite": "SO3",
}  # fmt: skip
"""Analytes that are one formula. Any other formula of chemistry.totals is a quantity too."""
_CHARGE: Mapping[str, int] = {
    "Na": 1, "K": 1, "Ca": 2, "Mg": 2, "Cl": -1, "SO4": -2, "NO3": -1, "F": -1, "PO4": -2,
    "SO3": -2, "CH3COO": -1, "HCO3": -1, "C": -1, "CO2": -1, "CO3": -1,
}  # fmt: skip
"""With how many sodium or chloride an error of a fingerprint comes, so that it makes no acid or
caustic: rule of our own; phosphate and carbon as in Na2HPO4 and NaHCO3."""


@dataclass(frozen=True)
class Water:
    """The water that has changed, as it was: mg/kg by formula; `boiler`: hardness falls in it."""

    before: Mapping[str, float]
    boiler: bool = False


@dataclass(frozen=True)
class Signature:
    """What a source changes: `offset` + `change` x kg of it in a kg of water, by quantity.

    `offset` is nothing where amounts just add up. `doubts`: what the fingerprint's doubts do to
    `change`, one column for each of its figures. `amount`: where it was worked out.
    """

    source: Source
    quantities: tuple[str, ...]
    change: Array
    offset: Array
    doubts: Array
    amount: float

    @property
    def from_nothing(self) -> "Signature":
        """The same as a chord: from none of it to `amount`, without an offset."""
        chord = self.change + self.offset / self.amount
        return replace(self, change=chord, offset=np.zeros_like(chord))

    @cached_property
    def covariance(self) -> Array:
        """Of `change`, by the doubts of the fingerprint."""
        return np.asarray(self.doubts @ self.doubts.T)


def signatures(
    water: Water, sources: Sequence[Source], amounts: Sequence[float], quantities: Sequence[str]
) -> list[Signature]:
    """Return each source's signature, worked out at its amount, kg per kg of water.

    Quantities: keys of chemistry.analytes (total_hardness, calcium_hardness, p_alkalinity,
    m_alkalinity as CaCO3, mg/kg; conductivity at 25 °C, µS/cm; ph) or formulas (mg/kg).
    Errors: ChemistryError unknown_quantity.
    """
    pairs = list(zip(sources, amounts, strict=True))
    plain = [_with(water, source, amount) for source, amount in pairs]
    bigger = [_with(water, source, amount * (1.0 + _STEP)) for source, amount in pairs]
    wrong = list(_each_wrong(sources, amounts, plain, _alone))
    salted = list(_each_wrong(sources, amounts, plain, _neutral))
    derived = np.array([[each in _DERIVED] for each in quantities])
    waters = [dict(water.before), *plain, *bigger, *wrong, *(salted if derived.any() else wrong)]
    found = _measured(waters, quantities, water.boiler)
    before, mixed_in, more_in, off, off_as_salt = np.split(
        found, np.cumsum([1, len(plain), len(plain), len(wrong)]), axis=1
    )
    off = np.where(derived, off_as_salt, off)
    made, at = [], 0
    for place, (source, amount) in enumerate(pairs):
        here, own = mixed_in[:, place], off[:, at : at + len(source.holds)]
        at += len(source.holds)
        change = (more_in[:, place] - here) / (_STEP * amount)
        offset = here - before[:, 0] - change * amount
        doubts = (own - here[:, None]) / amount
        made.append(Signature(source, tuple(quantities), change, offset, doubts, amount))
    return made


def levels_of(water: Water, quantities: Sequence[str]) -> dict[str, float]:
    """Return each quantity of a water as it was before."""
    found = _measured([dict(water.before)], quantities, water.boiler)[:, 0]
    return dict(zip(quantities, found.tolist(), strict=True))


def precipitated(totals: Totals) -> dict[str, Any]:
    """Return what stays in boiler water, mg/kg: calcium falls with phosphate, magnesium by itself.

    >>> round(float(precipitated({"Ca": 4.0078, "PO4": 9.497})["PO4"]), 3)
    3.799
    """
    left = dict(totals)
    if "Ca" in left and "PO4" in left:
        calcium = np.asarray(left["Ca"]) / molar_mass("Ca")
        phosphate = np.asarray(left["PO4"]) / molar_mass("PO4")
        falls = np.minimum(calcium, phosphate / PHOSPHATE_PER_CALCIUM)
        left["Ca"] = (calcium - falls) * molar_mass("Ca")
        left["PO4"] = (phosphate - falls * PHOSPHATE_PER_CALCIUM) * molar_mass("PO4")
    if "Mg" in left:
        left["Mg"] = np.zeros_like(np.asarray(left["Mg"], dtype=np.float64))
    return left


def _each_wrong(
    sources: Sequence[Source],
    amounts: Sequence[float],
    mixed: Sequence[Mapping[str, float]],
    comes: Callable[[str, float], dict[str, float]],
) -> Iterator[dict[str, float]]:
    """Yield the waters with each figure of each fingerprint off by its doubt."""
    for source, amount, water in zip(sources, amounts, mixed, strict=True):
        for formula, held in source.holds.items():
            yield _plus(water, comes(formula, source.doubt * held * amount))


def _alone(formula: str, more: float) -> dict[str, float]:
    return {formula: more}


def _with(water: Water, source: Source, amount: float) -> dict[str, float]:
    return _plus(water.before, {each: held * amount for each, held in source.holds.items()})


def _plus(totals: Mapping[str, float], more: Mapping[str, float]) -> dict[str, float]:
    return {key: totals.get(key, 0.0) + more.get(key, 0.0) for key in {**totals, **more}}


def _neutral(formula: str, more: float) -> dict[str, float]:
    """Return an error of a fingerprint as a salt, mg/kg."""
    charge = _CHARGE.get(formula, 0)
    partner = "Cl" if charge > 0 else "Na"
    beside = abs(charge) * more / molar_mass(formula) * molar_mass(partner)
    return {formula: more, partner: beside} if charge else {formula: more}


def _measured(waters: list[dict[str, float]], quantities: Sequence[str], boiler: bool) -> Array:
    """Return what would be measured, one row for each quantity, one column for each water."""
    formulas = sorted({each for one in waters for each in one})
    totals: dict[str, Any] = {
        each: np.array([one.get(each, 0.0) for one in waters]) for each in formulas
    }
    if boiler:
        totals = precipitated(totals)
    solved = _Solved(totals, len(waters))
    rows = [_quantity(each)(solved) for each in quantities]
    return np.reshape(np.array(rows), (len(rows), len(waters)))


class _Solved:
    """Waters and, once asked for, their equilibrium."""

    def __init__(self, totals: dict[str, Any], length: int) -> None:
        self.totals = totals
        self.length = length

    @cached_property
    def present(self) -> dict[str, Any]:
        """What is in any of them: of what has all fallen the solver need not know."""
        held = {key: each for key, each in self.totals.items() if np.any(each)}
        return held or {"Na": np.zeros(self.length)}

    @cached_property
    def water(self) -> Any:
        return equilibrate(self.present)

    def of(self, formula: str) -> Array:
        """Return all that counts as a formula, mg/kg of that formula."""
        counted = [
            amount * molar_mass(formula) / molar_mass(each)
            for each, amount in self.totals.items()
            if COMPONENT_OF[each] == COMPONENT_OF[formula]
        ]
        return np.asarray(sum(counted, np.zeros(self.length)))

    def alkalinity(self, end_point: float) -> Array:
        return np.asarray(acid_to_reach(self.present, end_point) * CACO3_MG_PER_EQUIVALENT)


_DERIVED: Mapping[str, Callable[[_Solved], Array]] = {
    "p_alkalinity": lambda waters: waters.alkalinity(P_END_POINT),
    "m_alkalinity": lambda waters: waters.alkalinity(M_END_POINT),
    "ph": lambda waters: np.asarray(waters.water.ph),
    "conductivity": lambda waters: np.asarray(conductivity(waters.water.species, 25.0)),
}
_SUMS: Mapping[str, Callable[[_Solved], Array]] = {
    "total_hardness": lambda waters: np.asarray(hardness_of(waters.of("Ca"), waters.of("Mg"))),
    "calcium_hardness": lambda waters: CALCIUM_AS_CACO3 * waters.of("Ca"),
}


def _quantity(key: str) -> Callable[[_Solved], Array]:
    """Return how a quantity is read off waters."""
    known = _DERIVED.get(key) or _SUMS.get(key)
    if known is not None:
        return known
    formula = FORMULA_OF.get(key, key)
    if formula not in COMPONENT_OF:
        raise ChemistryError(
            "unknown_quantity",
            gettext_noop("What a leak does to %(quantity)s isn't known here."),
            {"quantity": key},
        )
    return lambda waters: waters.of(formula)
