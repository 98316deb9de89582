"""How long an instrument may go until its next check: a suggestion with its reasons.

Two ways, and the shorter counts. The staircase of ILAC-G24:2007 / OIML D 10, method 1 (from
memory): longer after checks that passed well inside the tolerance, shorter after one that did not.
And the line through the deviations found (chemistry.drift): until its band reaches the tolerance.
Never longer than the interval that the program allows.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from chemistry import drift
from chemistry.errors import ChemistryError

LONGER, SHORTER = 1.25, 0.5
"""Steps of the staircase: rule of our own; ILAC-G24 leaves them to the laboratory."""
WELL_INSIDE = 0.8
"""Part of the tolerance within which a check passed well: ILAC-G24:2007, method 1 (from memory)."""
IN_A_ROW = 2
"""Good checks before the interval grows: rule of our own."""
SAFETY = 0.8
"""Part of the time to the tolerance that is used: rule of our own."""


@dataclass(frozen=True)
class Found:
    """What one check found before anything was adjusted: when, in days, and the deviation."""

    day: float
    deviation: float


@dataclass(frozen=True)
class Suggestion:
    """Days until the next check, and each way's own answer; None where it has none."""

    days: float
    by_staircase: float
    by_drift: float | None
    longest: float


def suggest(
    checks: Sequence[Found], *, tolerance: float, interval: float, longest: float
) -> Suggestion:
    """Return how long to wait after the last of `checks`, in days.

    `tolerance` in the unit of the deviations, more than zero; `interval` is the one in use,
    `longest` the most that the program allows.

    >>> steady = [Found(0.0, 0.1), Found(90.0, 0.0), Found(180.0, 0.1)]
    >>> suggest(steady, tolerance=2.0, interval=90.0, longest=180.0).by_staircase
    112.5
    """
    stairs = min(_staircase(checks, tolerance, interval), longest)
    line = _by_drift(checks, tolerance, longest)
    days = stairs if line is None else min(stairs, line)
    return Suggestion(days, stairs, line, longest)


def _staircase(checks: Sequence[Found], tolerance: float, interval: float) -> float:
    if not checks:
        return interval
    if abs(checks[-1].deviation) > tolerance:
        return interval * SHORTER
    last = checks[-IN_A_ROW:]
    good = all(abs(each.deviation) <= WELL_INSIDE * tolerance for each in last)
    return interval * LONGER if good and len(last) == IN_A_ROW else interval


def _by_drift(checks: Sequence[Found], tolerance: float, longest: float) -> float | None:
    """Return the days until the band of the line reaches the tolerance, with a margin."""
    try:
        line = drift.fit([each.day for each in checks], [each.deviation for each in checks])
    except ChemistryError:
        return None
    now = checks[-1].day
    reached = line.reaches(tolerance, now, now + longest)
    return None if reached is None else SAFETY * (reached - now)
