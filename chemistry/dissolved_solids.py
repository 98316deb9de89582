"""Dissolved solids from conductivity: an estimate, as good as the factor that it is made with.

A factor holds for a kind of water, on its basis (neutralized or not), at 25 °C; the only good one
is a water's own, from an analysis (chemistry.analysis). The result names where its factor is from.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from chemistry.arrays import Floats, plain
from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop


@dataclass(frozen=True)
class Factor:
    """mg/L of dissolved solids for each µS/cm at 25 °C, from lowest to highest."""

    low: float
    high: float
    neutralized: bool
    origin: str


FACTORS: Mapping[str, Factor] = {
    "natural": Factor(
        0.55, 0.7, False, gettext_noop("natural waters: Standard Methods 1030 E (from memory)")
    ),
    "boiler": Factor(
        700.0 / 1100.0,
        3500.0 / 5400.0,
        True,
        gettext_noop(
            "boiler water, neutralized: ABMA (1995), 700 to 3500 ppm beside 1100 to 5400 µmho/cm "
            "(from memory)"
        ),
    ),
}
"""Factors that are in print; each names where."""


@dataclass(frozen=True)
class Solids:
    """Dissolved solids in mg/L, with the origin of the factor."""

    low: Floats
    high: Floats
    neutralized: bool
    origin: str


def own_factor(value: float, part: float, *, neutralized: bool) -> Factor:
    """Return the factor of one water, from its analysis, good to a `part` of it.

    >>> own_factor(0.62, 0.05, neutralized=False).high
    0.651
    """
    if not (0.0 < value < math.inf and 0.0 <= part < 1.0):
        raise OutOfValidity(
            "factor_above_zero",
            gettext_noop("A factor is a number above zero."),
            bound="value > 0, 0 <= part < 1",
        )
    origin = gettext_noop("this water's own analysis")
    return Factor(value * (1.0 - part), value * (1.0 + part), neutralized, origin)


def dissolved_solids(conductivity: Floats, factor: Factor) -> Solids:
    """Return the dissolved solids of a water, mg/L, from its conductivity at 25 °C in µS/cm.

    The reading has to be on the factor's basis (`factor.neutralized`). Errors: OutOfValidity.

    >>> found = dissolved_solids(1000.0, FACTORS["natural"])
    >>> found.low, found.high
    (550.0, 700.0)
    """
    value = plain(np.asarray(conductivity, dtype=np.float64))
    if not np.all((value >= 0.0) & np.isfinite(value)):
        raise OutOfValidity(
            "conductivity_not_below_zero",
            gettext_noop("A conductivity is a number, zero or more."),
            bound="conductivity >= 0",
        )
    return Solids(value * factor.low, value * factor.high, factor.neutralized, factor.origin)
