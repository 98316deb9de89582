"""The one way by which a formula says within which bounds it holds, and on what it is worked."""

import numpy as np

from chemistry.arrays import Floats
from chemistry.errors import ChemistryError, OutOfValidity
from chemistry.words import gettext_noop


def require_within(
    values: Floats,
    bounds: tuple[float, float],
    name: str,
    code: str,
    template: str,
    /,
    **said: str,
) -> None:
    """Refuse values outside `bounds`, both ends included, and what is no number.

    `name` is what the bound is about, as in `temp_c`; `template` may name %(low)s and %(high)s, and
    what else is `said`. Errors: OutOfValidity.

    >>> require_within(25.0, (0.0, 60.0), "temp_c", "temperature", "From %(low)s to %(high)s °C.")
    """
    low, high = bounds
    array = np.asarray(values)
    if np.all((array >= low) & (array <= high)):
        return
    raise OutOfValidity(
        code,
        template,
        {"low": f"{low:g}", "high": f"{high:g}", **said},
        bound=f"{low:g} <= {name} <= {high:g}",
    )


def require_one_length(*values: Floats) -> None:
    """Refuse lists of several lengths; numbers go with any. Errors: ChemistryError unequal_lengths.

    >>> require_one_length(1.0, np.ones(3), np.zeros(3))
    """
    shapes = {np.shape(each) for each in values} - {()}
    if len(shapes) > 1:
        raise ChemistryError(
            "unequal_lengths", gettext_noop("All amounts need to be lists of the same length.")
        )
