"""For which readings a check speaks: a standard of 1400 µS/cm proves nothing at 5.

All of it is rule of our own.
"""

from collections.abc import Sequence

NEAR_TIMES = 10.0
"""A level speaks for readings up to so many times it, and down to that part of it: rule of our
own."""
NEAR_BY = {"pH": 2.0, "degC": 40.0}
"""Where a scale has no true zero, a level speaks for readings that near to it, and all between two
levels: rule of our own."""


def speaks_for(levels: Sequence[float], unit: str, reading: float) -> bool:
    """Say whether a check at `levels` tells anything of a `reading`, all in `unit`.

    >>> speaks_for((1400.0,), "uS/cm", 900.0), speaks_for((1400.0,), "uS/cm", 5.0)
    (True, False)
    """
    if not levels:
        return False
    if unit not in NEAR_BY:
        return any(each / NEAR_TIMES <= reading <= each * NEAR_TIMES for each in levels)
    reach = NEAR_BY[unit]
    if any(abs(reading - each) <= reach for each in levels):
        return True
    return min(levels) <= reading <= max(levels)
