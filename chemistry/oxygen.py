"""Oxygen that water takes up from air.

Source: Benson and Krause, Limnol. Oceanogr. 29:620 (1984), as in Standard Methods 4500-O and USGS
Office of Water Quality Memo 2011.03; the water's vapor by Green and Carritt, J. Mar. Res. 25:140
(1967). Coefficients of pressure and salinity as coded in public sources.
"""

import numpy as np
from numpy.typing import NDArray

from chemistry.arrays import Floats
from chemistry.units import STANDARD_ATMOSPHERE_KPA
from chemistry.validity import require_one_length, require_within
from chemistry.words import gettext_noop

SATURATION_RANGE_C = (0.0, 40.0)
"""Range of the fit: Benson and Krause (1984)."""
PRESSURE_RANGE_ATM = (0.5, 1.1)
"""Range of the fit: Benson and Krause (1984)."""
SALINITY_RANGE = (0.0, 40.0)
"""Range of the fit, g/kg as sea salt: Benson and Krause (1984)."""
_KELVIN = 273.15
"""0 °C on the Kelvin scale: SI Brochure, 9th edition (2019), 2.3.1 (from memory)."""
# ln of mg/L, in powers of 1/K: Benson and Krause (1984), coefficients as coded in public sources.
_COEFFICIENTS = (-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11)
# What salt takes off it, for g/kg, in powers of 1/K: Benson and Krause (1984), the same.
_BY_SALT = (0.017674, -10.754, 2140.7)
# How far oxygen is from an ideal gas, 1/atm, in powers of °C: Benson and Krause (1984), the same.
_THETA = (0.000975, -1.426e-5, 6.436e-8)
_STEAM_POINT_K = 373.16
"""Boiling on the scale of Green and Carritt (1967)."""


def saturation_mg_l(
    temp_c: Floats, pressure_kpa: Floats = STANDARD_ATMOSPHERE_KPA, salinity: Floats = 0.0
) -> Floats:
    """Return the oxygen that water holds beside moist air, mg/L.

    `pressure_kpa` absolute, `salinity` in g/kg, both of the sea where not given. Errors:
    OutOfValidity oxygen_range outside 0 to 40 °C, 0.5 to 1.1 atm, 0 to 40 g/kg.

    >>> round(float(saturation_mg_l(24.0)), 3)
    8.418
    >>> round(float(saturation_mg_l(20.0, 93.3, 0.0)), 2)
    8.36
    """
    require_one_length(temp_c, pressure_kpa, salinity)
    temp, salt = np.asarray(temp_c, dtype=np.float64), np.asarray(salinity, dtype=np.float64)
    pressure = np.asarray(pressure_kpa, dtype=np.float64) / STANDARD_ATMOSPHERE_KPA
    _require(temp, SATURATION_RANGE_C, "°C", "temp_c")
    _require(pressure, PRESSURE_RANGE_ATM, "atm", "pressure_atm")
    _require(salt, SALINITY_RANGE, "g/kg", "salinity")
    power = np.polynomial.polynomial.polyval
    inverse = 1.0 / (temp + _KELVIN)
    beside_an_atmosphere = np.exp(
        power(inverse, np.array(_COEFFICIENTS)) - salt * power(inverse, np.array(_BY_SALT))
    )
    vapor, theta = _vapor_atm(temp, salt), power(temp, np.array(_THETA))
    thinner = (pressure - vapor) * (1.0 - theta * pressure) / ((1.0 - vapor) * (1.0 - theta))
    found = beside_an_atmosphere * thinner
    return float(found) if np.ndim(found) == 0 else np.asarray(found, dtype=np.float64)


def _vapor_atm(temp_c: NDArray[np.float64], salinity: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the pressure of water vapor over water, atm: Green and Carritt (1967), as in Benson
    and Krause (1984), Table 2."""
    warmth = (temp_c + _KELVIN) / _STEAM_POINT_K
    logarithm = (
        18.1973 * (1.0 - 1.0 / warmth)
        + 3.1813e-7 * (1.0 - np.exp(26.1205 * (1.0 - warmth)))
        - 0.018726 * (1.0 - np.exp(8.03945 * (1.0 - 1.0 / warmth)))
        + 5.02802 * np.log(1.0 / warmth)
    )
    found: NDArray[np.float64] = (1.0 - 0.000537 * salinity) * np.exp(logarithm)
    return found


def _require(
    values: NDArray[np.float64], bounds: tuple[float, float], unit: str, name: str
) -> None:
    require_within(
        values,
        bounds,
        name,
        "oxygen_range",
        gettext_noop("The solubility of oxygen is known here from %(low)s to %(high)s %(unit)s."),
        unit=unit,
    )
