"""Meters that count: what went through between two readings of the register.

A register that reached its top starts again at 0; it is taken to have done so only where a person
says it did. All functions take numbers or arrays.
"""

import numpy as np

from chemistry.arrays import Floats
from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop


def counted(initial: Floats, final: Floats, top: Floats | None = None) -> Floats:
    """Return what the register counted from `initial` to `final`, in its own unit.

    With `top`, the number at which it starts again at 0, it ran over once: initial <= top and
    final < initial. Without, initial <= final. Errors: OutOfValidity register.

    >>> float(counted(990.0, 25.0, top=1000.0))
    35.0
    """
    first, last = np.asarray(initial, dtype=np.float64), np.asarray(final, dtype=np.float64)
    fits = first >= 0.0 if top is None else (last >= 0.0) & (last < first) & (first <= top)
    if not np.all(fits & (last >= first) if top is None else fits):
        raise OutOfValidity(
            "register",
            gettext_noop("The two readings of the meter do not follow each other."),
            bound="0 <= initial <= final" if top is None else "0 <= final < initial <= top",
        )
    difference = last - first
    return difference if top is None else difference + top
