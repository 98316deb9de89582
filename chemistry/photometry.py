"""Concentration from a color: absorbance and factor, and standards compared by eye.

Sources: the law of Beer and Lambert as in the IUPAC Gold Book (2019), entry B00626, from memory.
All functions take numbers or arrays.
"""

import numpy as np

from chemistry.arrays import Floats
from chemistry.validity import require_within
from chemistry.words import gettext_noop

FACTOR_PATH_MM = 10.0
"""The path for which a factor is stated: common practice, no source."""
HIGHEST_ABSORBANCE = 2.0
"""Above this too little light gets through for a bench photometer: common practice, no source."""


def concentration(
    absorbance: Floats, factor: Floats, *, blank: Floats = 0.0, path_mm: Floats = FACTOR_PATH_MM
) -> Floats:
    """Return (A - blank) times factor, for a cell of `path_mm`; in the factor's unit times A.

    `factor` is the concentration per unit of absorbance in a path of 10 mm. Errors: OutOfValidity
    absorbance_range for absorbances below 0 or above 2, where the law does not hold.

    >>> concentration(0.5, 40.0, path_mm=20.0)
    10.0
    """
    require_within(
        absorbance,
        (0.0, HIGHEST_ABSORBANCE),
        "absorbance",
        "absorbance_range",
        gettext_noop("An absorbance can be worked from 0 to %(high)s."),
    )
    return (absorbance - blank) * factor * FACTOR_PATH_MM / path_mm


def between_standards(lower: Floats, upper: Floats) -> tuple[Floats, Floats]:
    """Return the middle between two standards and half the step: the true value lies anywhere
    within it, for all the eye can tell.

    >>> middle, half_step = between_standards(20.0, 30.0)
    >>> float(middle), float(half_step)
    (25.0, 5.0)
    """
    return (lower + upper) / 2.0, np.abs(upper - lower) / 2.0
