"""Activity coefficients of dissolved species, and the activity of the water itself.

log10 g = -A z² (sqrt I / (1 + B a sqrt I)) + b I: Truesdell and Jones, J. Res. USGS 2:233 (1974);
where a species has no a and b of its own, the Davies equation, Davies, Ion Association (1962), with
0.3; log10 g = 0.1 I for a neutral one. As in Parkhurst and Appelo, USGS Techniques and Methods
6-A43 (2013). All from memory. Valid to about I = 0.5 mol/kg.
"""

from dataclasses import dataclass
from typing import Any

from chemistry.arrays import Floats, exp, sqrt
from chemistry.solvent import debye_hueckel

LN_10 = 2.302585092994046
"""Natural logarithm of ten: arithmetic; from memory."""
DAVIES_LINEAR = 0.3
"""Davies, Ion Association (1962): 0.3 (his first, of 1938, was 0.2); from memory."""
NEUTRAL_LINEAR = 0.1
"""Parkhurst and Appelo (2013); from memory."""
WATER_PER_SOLUTE = 0.017
"""Loss of the water's activity per mol/kg of solutes: Garrels and Christ, Solutions, Minerals and
Equilibria (1965), as in Parkhurst and Appelo (2013); from memory."""


@dataclass(frozen=True)
class Kind:
    """What decides an activity coefficient: charge, size in Å (None: Davies), linear term."""

    charge: int
    ion_size: float | None
    linear: float


def coefficients(kinds: tuple[Kind, ...], strength: Floats, temp_c: Floats) -> list[Any]:
    """Return the activity coefficient of each kind at an ionic strength in mol/kg."""
    a, b = debye_hueckel(temp_c)
    return coefficients_with(kinds, strength, a, b)


def coefficients_with(kinds: tuple[Kind, ...], strength: Floats, a: Floats, b: Floats) -> list[Any]:
    """Return the same with A and B of the Debye-Hückel law already at hand."""
    root = sqrt(strength)
    davies = root / (1.0 + root) - DAVIES_LINEAR * strength
    found: list[Any] = []
    for kind in kinds:
        charged = a * (kind.charge * kind.charge)
        if kind.charge == 0:
            linear = NEUTRAL_LINEAR if kind.ion_size is None else kind.linear
            exponent = linear * strength
        elif kind.ion_size is None:
            exponent = -charged * davies
        else:
            exponent = kind.linear * strength - charged * root / (1.0 + b * kind.ion_size * root)
        found.append(exp(exponent * LN_10))
    return found


def water_activity(solutes: Floats) -> Floats:
    """Return the activity of the water beside `solutes` mol/kg of everything dissolved."""
    return 1.0 - WATER_PER_SOLUTE * solutes
