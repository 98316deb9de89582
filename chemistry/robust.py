"""Robust mean and deviation of what several plants found, and how far each lies from it.

ISO 13528:2005, Annex C.1 (Algorithm A, text read in a copy of the annex); z and zeta scores: ISO
13528:2005, 7.4 and 7.7 (from memory). An outlier pulls at the mean only as far as the edge at which
it is cut off.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

MAD_TO_DEVIATION = 1.483
"""Median absolute deviation to the deviation of a normal distribution: ISO 13528:2005,
Annex C.1."""
CUT_AT = 1.5
"""Values beyond this many deviations are pulled in to there: ISO 13528:2005, Annex C.1."""
CUT_TO_DEVIATION = 1.134
"""Deviation of values so pulled in to the whole distribution's: ISO 13528:2005, C.1."""
FEWEST = 3
"""Values from which a consensus can be made at all: rule of our own."""
QUESTIONABLE, UNSATISFACTORY = 2.0, 3.0
"""Of a score, without its sign: ISO 13528:2005, 7.4.2 (from memory)."""
_SETTLED = 1e-9  # rule of our own
_ROUNDS = 1000  # rule of our own


@dataclass(frozen=True)
class Consensus:
    """What the values agree on; standard uncertainty of the mean as in ISO 13528:2005, 5.6."""

    mean: float
    deviation: float
    count: int

    @property
    def u(self) -> float:
        """1.25 s*/sqrt(n): ISO 13528:2005, 5.6 (from memory)."""
        return float(1.25 * self.deviation / np.sqrt(self.count))


def algorithm_a(values: Sequence[float]) -> Consensus:
    """Return the robust mean and standard deviation of `values`, in their unit.

    Iterated until nothing moves; the annex stops at the third significant figure. Errors:
    ChemistryError too_few_values for fewer than three, not_finite for what is no number.

    >>> found = algorithm_a([20.0, 20.2, 19.9, 20.1, 27.0])
    >>> round(found.mean, 2)
    20.2
    """
    if len(values) < FEWEST:
        raise ChemistryError(
            "too_few_values",
            gettext_noop("A consensus takes at least %(fewest)s results."),
            {"fewest": str(FEWEST)},
        )
    array = np.asarray(values, dtype=np.float64)
    if not np.all(np.isfinite(array)):
        raise ChemistryError(
            "not_finite", gettext_noop("One of the results is not a number. Leave it out.")
        )
    mean = float(np.median(array))
    deviation = float(MAD_TO_DEVIATION * np.median(np.abs(array - mean)))
    for _ in range(_ROUNDS):
        edge = CUT_AT * deviation
        pulled = np.clip(array, mean - edge, mean + edge)
        before, mean = mean, float(np.mean(pulled))
        last, deviation = deviation, float(CUT_TO_DEVIATION * np.std(pulled, ddof=1))
        if abs(mean - before) + abs(deviation - last) <= _SETTLED * (abs(mean) + deviation):
            break
    return Consensus(mean, deviation, len(array))


def z_score(value: float, assigned: float, deviation: float) -> float:
    """Return how many deviations for proficiency a value lies from the assigned one."""
    if deviation <= 0.0:
        raise _no_spread()
    return (value - assigned) / deviation


def zeta_score(value: float, u: float, assigned: float, assigned_u: float) -> float:
    """Return how many of their own standard uncertainties two values lie apart."""
    combined = hypot(u, assigned_u)
    if combined <= 0.0:
        raise _no_spread()
    return (value - assigned) / combined


def _no_spread() -> ChemistryError:
    return ChemistryError(
        "no_spread", gettext_noop("A score takes a deviation that is more than zero.")
    )
