"""A deaerator held against boiling: water gives up its oxygen only where it boils.

Sources: IAPWS-IF97 for boiling; ISO 2533:1975 (standard atmosphere) for altitude, from memory;
UFC 3-240-13FN (2005), Table 3-2 and its note, for how near to boiling the outlet should be.
"""

import numpy as np

from chemistry.arrays import Floats
from chemistry.units import STANDARD_ATMOSPHERE_KPA
from chemistry.validity import require_within
from chemistry.water import saturation_temperature_c
from chemistry.words import gettext_noop

ALLOWED_GAP_K = 10.0 / 9.0
"""The outlet should be within 2 °F of boiling: UFC 3-240-13FN (2005), note to Table 3-2."""
ALTITUDE_RANGE_M = (-500.0, 5000.0)
"""No plant stands higher or lower: rule of our own."""
_LAPSE_PER_M = 2.25577e-5
"""0.0065 K/m over 288.15 K: ISO 2533:1975, from memory."""
_EXPONENT = 5.25588
"""g M / (R L) of the standard atmosphere: ISO 2533:1975, from memory."""


def atmosphere_kpa(altitude_m: Floats) -> Floats:
    """Return the pressure of the standard atmosphere at an altitude in m, kPa.

    Errors: OutOfValidity altitude_range.

    >>> round(float(atmosphere_kpa(1000.0)), 2)
    89.87
    """
    array = np.asarray(altitude_m, dtype=np.float64)
    require_within(
        array,
        ALTITUDE_RANGE_M,
        "altitude_m",
        "altitude_range",
        gettext_noop("The altitude must lie between %(low)s and %(high)s m."),
    )
    found = STANDARD_ATMOSPHERE_KPA * (1.0 - _LAPSE_PER_M * array) ** _EXPONENT
    return float(found) if array.ndim == 0 else np.asarray(found, dtype=np.float64)


def boiling_c(gauge_kpa: Floats, altitude_m: Floats = 0.0) -> Floats:
    """Return the temperature at which water boils at a gauge pressure in kPa, °C.

    >>> round(float(boiling_c(0.0)), 2)
    99.97
    """
    return saturation_temperature_c(gauge_kpa + atmosphere_kpa(altitude_m))
