"""Oxygen that fresh water takes up from air.

Source: Benson and Krause, Limnol. Oceanogr. 29:620 (1984), as in Standard Methods 4500-O and USGS
Office of Water Quality Memo 2011.03.
"""

import numpy as np
from numpy.typing import NDArray

from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop

Floats = float | NDArray[np.float64]

SATURATION_RANGE_C = (0.0, 40.0)
"""Range of the fit: Benson and Krause (1984)."""
_KELVIN = 273.15
"""0 °C on the Kelvin scale: SI Brochure, 9th edition (2019), 2.3.1 (from memory)."""
# ln of mg/L, in powers of 1/K: Benson and Krause (1984), coefficients as coded in public sources.
_COEFFICIENTS = (-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11)


def saturation_mg_l(temp_c: Floats) -> Floats:
    """Return the oxygen that fresh water holds beside moist air at 101.325 kPa, mg/L.

    Errors: OutOfValidity oxygen_range outside 0 to 40 °C.

    >>> round(float(saturation_mg_l(24.0)), 3)
    8.418
    """
    array = np.asarray(temp_c, dtype=np.float64)
    low, high = SATURATION_RANGE_C
    if not np.all((array >= low) & (array <= high)):
        raise OutOfValidity(
            "oxygen_range",
            gettext_noop("The solubility of oxygen is known here from %(low)s to %(high)s °C."),
            {"low": f"{low:g}", "high": f"{high:g}"},
            bound=f"{low:g} <= temp_c <= {high:g}",
        )
    inverse = 1.0 / (array + _KELVIN)
    found = np.exp(np.polynomial.polynomial.polyval(inverse, np.array(_COEFFICIENTS)))
    return float(found) if array.ndim == 0 else np.asarray(found, dtype=np.float64)
