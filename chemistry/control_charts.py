"""Control charts of single values in time: individuals, moving range, EWMA, CUSUM.

Which point fires and why; never a verdict on the water by itself. Sources: NIST/SEMATECH e-Handbook
of Statistical Methods, 6.3.2.2 (individuals), 6.3.2.3 (CUSUM) and 6.3.2.4 (EWMA); Montgomery,
Introduction to Statistical Quality Control, chapter 9; as read in public texts that quote them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

Array = NDArray[np.float64]

RANGE_TO_DEVIATION = 1.128
"""d2 for moving ranges of two: Montgomery, Appendix (from memory)."""
RANGE_UPPER = 3.267
"""D4 for moving ranges of two: Montgomery, Appendix (from memory)."""
LIMIT_DEVIATIONS = 3.0
"""Width of a Shewhart chart's limits: NIST/SEMATECH e-Handbook (2012), 6.3.2.2."""


@dataclass(frozen=True)
class Individuals:
    """Limits of a chart of single values from their own moving ranges."""

    mean: float
    deviation: float
    lower: float
    upper: float
    range_mean: float
    range_upper: float

    def beyond(self, values: Sequence[float]) -> list[int]:
        """Return the places of the values beyond the limits."""
        array = np.asarray(values, dtype=np.float64)
        return [int(at) for at in np.flatnonzero((array < self.lower) | (array > self.upper))]


@dataclass(frozen=True)
class Averaged:
    """An exponentially weighted moving average with its limits, which widen from the start."""

    values: Array
    lower: Array
    upper: Array

    @property
    def first_beyond(self) -> int | None:
        """The place of the first value beyond its limits, counted from 0."""
        return _first((self.values < self.lower) | (self.values > self.upper))


@dataclass(frozen=True)
class Cumulated:
    """Sums of what lies above and below the target by more than the slack."""

    above: Array
    below: Array
    threshold: float

    @property
    def first_beyond(self) -> int | None:
        """The place of the first sum beyond the threshold, counted from 0."""
        return _first((self.above > self.threshold) | (self.below > self.threshold))


def individuals(values: Sequence[float]) -> Individuals:
    """Return the limits of a chart of single values, in their unit; at least two values.

    >>> round(individuals([10.0, 10.4, 9.8, 10.1]).upper, 2)
    11.23
    """
    array = _several(values)
    range_mean = float(np.mean(np.abs(np.diff(array))))
    mean, deviation = float(np.mean(array)), range_mean / RANGE_TO_DEVIATION
    reach = LIMIT_DEVIATIONS * deviation
    return Individuals(
        mean, deviation, mean - reach, mean + reach, range_mean, RANGE_UPPER * range_mean
    )


def ewma(
    values: Sequence[float], target: float, deviation: float, *, weight: float, width: float
) -> Averaged:
    """Return the moving average that begins at `target`, with limits of `width` deviations.

    z = w x + (1 - w) z, limits target ± width s sqrt(w/(2 - w) (1 - (1 - w)^(2 i))). `weight`
    between 0 and 1 (0.1 to 0.3 is usual), `deviation` in the values' unit.
    """
    array = _several(values)
    if not 0.0 < weight <= 1.0:
        raise ChemistryError("weight", gettext_noop("The weight lies between 0 and 1."))
    found, last = np.empty_like(array), target
    for place, value in enumerate(array):
        found[place] = last = weight * value + (1.0 - weight) * last
    counted = np.arange(1, len(array) + 1)
    widening = np.sqrt(weight / (2.0 - weight) * (1.0 - (1.0 - weight) ** (2 * counted)))
    reach = width * deviation * widening
    return Averaged(found, target - reach, target + reach)


def cusum(values: Sequence[float], target: float, *, slack: float, threshold: float) -> Cumulated:
    """Return the one-sided cumulative sums; `slack` and `threshold` in the values' unit."""
    array = _several(values)
    above, below = np.zeros_like(array), np.zeros_like(array)
    up = down = 0.0
    for place, value in enumerate(array):
        up, down = max(0.0, up + value - target - slack), max(0.0, down + target - slack - value)
        above[place], below[place] = up, down
    return Cumulated(above, below, threshold)


def _several(values: Sequence[float]) -> Array:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 1 or len(array) < 2 or not np.all(np.isfinite(array)):
        raise ChemistryError(
            "too_few_values", gettext_noop("A control chart takes at least two results.")
        )
    return array


def _first(fired: NDArray[np.bool_]) -> int | None:
    places = np.flatnonzero(fired)
    return int(places[0]) if len(places) else None
