"""The sides of many results at once: what `chemistry.verdict.judge` says of each, in arrays.

A test holds the two together on arbitrary results. Only the side is worked: a look-back asks which
verdicts would change.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chemistry.verdict import Side

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Many:
    """Results beside the limits in force at their draws, one place each, all in the limit's unit.

    `low` and `high` are NaN where that end is open; both are where there is no limit, or one of
    another basis: such a result is not judged. `qualifiers` holds "", "<" or ">"; `times` in days.
    """

    times: Array
    values: Array
    expanded: Array
    low: Array
    high: Array
    guard: Array
    qualifiers: NDArray[np.str_]


def sides(many: Many, values: Array, expanded: Array) -> NDArray[np.str_]:
    """Return the side on which each of `values` ± `expanded` lies, by the limits of `many`."""
    low, high = many.low + many.guard, many.high - many.guard
    side = np.where(values > high, Side.HIGH, np.where(values < low, Side.LOW, Side.IN_RANGE))
    too_coarse = _too_coarse(many, expanded) & ~_plainly_outside(many, values, expanded)
    side = np.where(too_coarse, Side.NOT_JUDGED, side)
    side = np.where(many.qualifiers == "", side, _bounds(many, values, low, high))
    unlimited = np.isnan(many.low) & np.isnan(many.high)
    return np.where(unlimited, Side.NOT_JUDGED, side)


def _too_coarse(many: Many, expanded: Array) -> NDArray[np.bool_]:
    """As `chemistry.verdict` has it: the width of the range, or the one end that is set."""
    width = many.high - many.low  # NaN where an end is open: no comparison holds
    one_end = np.where(np.isnan(many.low), many.high, many.low)
    only_one = np.isnan(width) & (expanded >= np.abs(one_end))
    return ((expanded > 0.0) & ((expanded >= width) | only_one)) | (2.0 * many.guard > width)


def _plainly_outside(many: Many, values: Array, expanded: Array) -> NDArray[np.bool_]:
    """Outside its limits by more than its expanded uncertainty. `judge` asks for the probability of
    lying within to be below a half as well, which says the same at any coverage near 95 %."""
    near = (np.abs(values - many.low) <= expanded) | (np.abs(values - many.high) <= expanded)
    return np.asarray(((values < many.low) | (values > many.high)) & ~near, dtype=np.bool_)


def _bounds(many: Many, values: Array, low: Array, high: Array) -> NDArray[np.str_]:
    """Return the side on which every value beyond a bound lies, as for a single one."""
    above = np.where(
        np.isnan(high),
        np.where(values >= low, Side.IN_RANGE, Side.NOT_JUDGED),
        np.where(values >= high, Side.HIGH, Side.NOT_JUDGED),
    )
    below = np.where(
        np.isnan(low),
        np.where(values <= high, Side.IN_RANGE, Side.NOT_JUDGED),
        np.where(values <= low, Side.LOW, Side.NOT_JUDGED),
    )
    return np.where(many.qualifiers == ">", above, below)
