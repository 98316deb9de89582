"""What a person or a laboratory gives of a water, mg per kg of water by formula, as mol per kg.

Molar masses: IUPAC, Pure Appl. Chem. 94:573 (2022), abridged standard atomic weights, from memory.
"""

import re
from collections.abc import Mapping
from functools import lru_cache
from math import inf
from typing import Any

import numpy as np
from numpy.typing import NDArray

from chemistry.arrays import Floats
from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

ATOMIC_WEIGHTS: Mapping[str, float] = {
    "H": 1.008, "B": 10.81, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998, "Na": 22.990,
    "Mg": 24.305, "Si": 28.085, "P": 30.974, "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078,
}  # fmt: skip
"""g/mol: IUPAC (2022), abridged."""

COMPONENT_OF: Mapping[str, str] = {
    "Na": "Na+", "K": "K+", "Ca": "Ca+2", "Mg": "Mg+2",
    "NH3": "NH4+", "NH4": "NH4+",
    "C": "CO3-2", "CO2": "CO3-2", "HCO3": "CO3-2", "CO3": "CO3-2",
    "PO4": "PO4-3", "P": "PO4-3",
    "Cl": "Cl-", "SO4": "SO4-2", "SO3": "SO3-2", "NO3": "NO3-", "F": "F-",
    "SiO2": "H4SiO4", "B": "H3BO3", "CH3COO": "CH3COO-",
    "morpholine": "morpholine", "cyclohexylamine": "cyclohexylamine",
    "ethanolamine": "ethanolamine",
}  # fmt: skip
"""The total that each formula counts towards; two formulas of one total add up. A formula gives an
amount, not a charge: 61 mg/kg HCO3 and 44 mg/kg CO2 are the same millimole of inorganic carbon."""

_FORMULA_OF: Mapping[str, str] = {
    "morpholine": "C4H9NO", "cyclohexylamine": "C6H13N", "ethanolamine": "C2H7NO",
}  # fmt: skip


@lru_cache(maxsize=64)
def molar_mass(formula: str) -> float:
    """Return the molar mass of a formula without brackets, g/mol.

    >>> round(molar_mass("PO4"), 3)
    94.97
    """
    parts = re.findall(r"([A-Z][a-z]?)(\d*)", _FORMULA_OF.get(formula, formula))
    return sum(ATOMIC_WEIGHTS[atom] * int(count or 1) for atom, count in parts)


def molal_totals(
    totals: Mapping[str, Floats], temperature_c: Floats
) -> tuple[dict[str, Any], Floats]:
    """Return the totals by component in mol/kg, and the temperature as a float or an array.

    Errors: ChemistryError unknown_formula, not_an_amount, unequal_lengths.
    """
    molal: dict[str, Any] = {}
    for formula, given in totals.items():
        if formula not in COMPONENT_OF:
            raise ChemistryError(
                "unknown_formula",
                gettext_noop("Nothing is known here of %(formula)s in water."),
                {"formula": formula},
            )
        amount = _amount(formula, given) / (1000.0 * molar_mass(formula))
        component = COMPONENT_OF[formula]
        molal[component] = molal.get(component, 0.0) + amount
    temp = _plain(temperature_c)
    lengths = {each.shape for each in (*molal.values(), temp) if isinstance(each, np.ndarray)}
    if len(lengths) > 1 or any(len(shape) != 1 for shape in lengths):
        raise ChemistryError(
            "unequal_lengths", gettext_noop("All amounts need to be lists of the same length.")
        )
    return molal, temp


def _plain(value: Floats) -> Floats:
    if isinstance(value, float):
        return value
    array = np.asarray(value, dtype=np.float64)
    return float(array) if array.ndim == 0 else array


def _all_amounts(values: NDArray[np.float64]) -> bool:
    return bool(np.all((values >= 0.0) & (values < inf)))


def _amount(formula: str, given: Floats) -> Floats:
    """Return an amount that can be one. Errors: ChemistryError not_an_amount."""
    value = _plain(given)
    good = 0.0 <= value < inf if isinstance(value, float) else _all_amounts(value)
    if not good:
        raise ChemistryError(
            "not_an_amount",
            gettext_noop("The amount of %(formula)s has to be a number, zero or more."),
            {"formula": formula},
        )
    return value
