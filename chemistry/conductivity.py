"""Conductivity of water referred to 25 °C."""

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from chemistry.arrays import Floats
from chemistry.validity import require_within
from chemistry.words import gettext_noop

if TYPE_CHECKING:
    from scipy.interpolate import CubicSpline

REFERENCE_C = 25.0
"""Temperature that conductivities are referred to, °C: ISO 7888:1985 (from memory)."""

WATER_COEFFICIENT_PER_K = 0.019
"""Usual linear coefficient of natural waters: Hayashi, Environ. Monit. Assess. 96:119 (2004), as
coded in public sources; the paper gives 0.0187 with a range of 0.0175 to 0.0198 (from memory)."""

NATURAL_WATER_F25: tuple[tuple[float, float], ...] = (
    (0.0, 1.918),
    (5.0, 1.643),
    (10.0, 1.428),
    (15.0, 1.256),
    (18.0, 1.168),
    (20.0, 1.116),
    (24.0, 1.021),
    (25.0, 1.000),
    (30.0, 0.903),
    (35.0, 0.822),
)
"""°C and f25 of ISO 7888:1985 (EN 27888:1993), table of f25: the ten rows known here, all from
memory."""

NATURAL_WATER_RANGE_C = (0.0, 35.9)
"""Range of the table of ISO 7888:1985 (from memory)."""

NATURAL_WATER_F25_HALF_WIDTH = 0.001
"""Rounding of the table and our interpolation between the rows known, together: rule of our own."""


def linear_to_25c(kappa_t: Floats, temp_c: Floats, coefficient_per_k: Floats) -> Floats:
    """Return conductivity at 25 °C by the linear rule, in the unit of `kappa_t`.

    kappa25 = kappa_t / (1 + coefficient * (t - 25)); `temp_c` in °C, 0 to 60; `coefficient_per_k`
    in 1/K. Source: linear correction as in ISO 7888:1985 (from memory). Errors: OutOfValidity.

    >>> round(float(linear_to_25c(1013.95, 10.0, 0.02)), 1)
    1448.5
    """
    _within(temp_c, (0.0, 60.0))
    return kappa_t / (1.0 + coefficient_per_k * (temp_c - REFERENCE_C))


def natural_water_factor(temp_c: Floats) -> Floats:
    """Return f25 of natural water, kappa25 = f25 * kappa_t, for 0 to 35.9 °C.

    A cubic spline in ln f25 through the ten rows known here: each row is returned as printed;
    between rows and above 35 °C it is interpolation of ours, not the standard's own table. Source:
    ISO 7888:1985 (from memory). Errors: OutOfValidity.

    >>> round(float(natural_water_factor(10.0)), 3)
    1.428
    """
    _within(temp_c, NATURAL_WATER_RANGE_C)
    factor = np.exp(_natural_water_curve()(temp_c))
    return float(factor) if np.ndim(temp_c) == 0 else np.asarray(factor, dtype=np.float64)


@lru_cache(maxsize=1)
def _natural_water_curve() -> "CubicSpline":
    from scipy.interpolate import CubicSpline  # here: the import costs 0.2 s and few shifts need it

    temps, factors = np.array(NATURAL_WATER_F25).T
    return CubicSpline(temps, np.log(factors))


def _within(temp_c: Floats, bounds: tuple[float, float]) -> None:
    require_within(
        temp_c,
        bounds,
        "temp_c",
        "temperature_out_of_range",
        gettext_noop("This correction holds from %(low)s to %(high)s °C only."),
    )
