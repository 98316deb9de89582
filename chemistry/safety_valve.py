"""How near to its setting a boiler's safety valve must open.

Source: ASME Boiler and Pressure Vessel Code, Section I (2015), PG-72.2, from memory; the Code in
force at the plant decides.
"""

import numpy as np

from chemistry.arrays import Floats
from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop

PSI_KPA = 6.894757293168361
"""NIST SP 811 (2008), Appendix B."""
LEAST_PSI = 2.0
"""Tolerance up to 70 psi: ASME Section I (2015), PG-72.2, from memory."""
MIDDLE_SHARE = 0.03
"""Tolerance above 70 and up to 300 psi: ASME Section I (2015), PG-72.2, from memory."""
UPPER_PSI = 10.0
"""Tolerance above 300 and up to 1000 psi: ASME Section I (2015), PG-72.2, from memory."""
HIGHEST_SHARE = 0.01
"""Tolerance above 1000 psi: ASME Section I (2015), PG-72.2, from memory."""
STEPS_PSI = (70.0, 300.0, 1000.0)
"""Where the tolerance changes: ASME Section I (2015), PG-72.2, from memory."""
LEVER_SHARE = 0.75
"""A valve is lifted by its lever only with at least this share of its setting under it: ASME
Section I (2015), PG-73.1.3, from memory."""


def popping_tolerance_kpa(set_kpa: Floats) -> Floats:
    """Return how far from its setting (kPa gauge) a valve may open, ± kPa.

    Errors: OutOfValidity setting where it is not above 0.

    >>> round(float(popping_tolerance_kpa(150 * PSI_KPA)) / PSI_KPA, 3)
    4.5
    """
    array = np.asarray(set_kpa, dtype=np.float64)
    if not np.all(array > 0.0):
        raise OutOfValidity(
            "setting",
            gettext_noop("A safety valve is set to more than 0."),
            bound="0 < set_kpa",
        )
    psi = array / PSI_KPA
    low, middle, upper = STEPS_PSI
    found = np.select(
        [psi <= low, psi <= middle, psi <= upper],
        [np.full_like(psi, LEAST_PSI), MIDDLE_SHARE * psi, np.full_like(psi, UPPER_PSI)],
        HIGHEST_SHARE * psi,
    )
    scaled = found * PSI_KPA
    return float(scaled) if array.ndim == 0 else np.asarray(scaled, dtype=np.float64)
