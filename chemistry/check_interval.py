"""How long an instrument may go until its next check: a suggestion with its reasons.

Two ways, and the shorter counts. The staircase of ILAC-G24:2022 / OIML D 10, section 6 (method 1 in
the edition of 2007; from memory): longer after checks that passed well inside the tolerance,
shorter after one that did not. And the line through the deviations found (chemistry.drift): until
its band reaches the tolerance. Never longer than the interval that the program allows.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from chemistry import drift
from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

Remark = tuple[str, dict[str, str]]

LONGER, SHORTER = 1.25, 0.5
"""Steps of the staircase: rule of our own; ILAC-G24 leaves them to the laboratory."""
WELL_INSIDE = 0.8
"""Part of the tolerance within which a check passed well: ILAC-G24:2007, method 1 (from memory)."""
SHORTEST_DAYS = 1.0
"""No instrument is checked more often than once a day by this: rule of our own."""
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
    """Days until the next check, and each way's own answer; None where it has none. `reasons` say
    in sentences what was seen and which of the ways counts."""

    days: float
    by_staircase: float
    by_drift: float | None
    longest: float
    reasons: tuple[Remark, ...] = ()


NO_CHECKS = gettext_noop("No check is on record yet: the interval in use stays, %(days)s days.")
FAILED = gettext_noop("The last check found it outside its tolerance: half the interval.")
GOOD = gettext_noop(
    "The last %(count)s checks found it within %(percent)s %% of its tolerance: a quarter longer."
)
KEPT = gettext_noop(
    "The last checks do not show it well inside its tolerance often enough: the interval stays."
)
TOO_FEW = gettext_noop("A trend takes at least %(fewest)s checks on different days.")
STEADY = gettext_noop(
    "Its trend does not reach the tolerance within %(longest)s days, as far as its checks tell."
)
REACHED = gettext_noop(
    "By its trend it may reach the tolerance in %(reached)s days; %(percent)s %% of that is used."
)
BEYOND = gettext_noop(
    "By its trend the next check may already find it outside its tolerance: check it now."
)
CAPPED = gettext_noop("The program allows %(longest)s days at most.")
SHORTER_COUNTS = gettext_noop("The shorter of the two counts: %(days)s days.")


def suggest(
    checks: Sequence[Found], *, tolerance: float, interval: float, longest: float
) -> Suggestion:
    """Return how long to wait after the last of `checks`, in days.

    `checks` from the first to the last, as found. `tolerance` in the unit of the deviations, more
    than zero; `interval` is the one in use, `longest` the most that the program allows. Errors:
    ChemistryError no_tolerance, checks_crossed.

    >>> steady = [Found(0.0, 0.1), Found(90.0, 0.0), Found(180.0, 0.1)]
    >>> suggest(steady, tolerance=2.0, interval=90.0, longest=180.0).by_staircase
    112.5
    """
    _refuse(checks, tolerance)
    wanted, why = _staircase(checks, tolerance, interval)
    stairs = min(wanted, longest)
    line, trend = _by_drift(checks, tolerance, longest)
    days = max(stairs if line is None else min(stairs, line), SHORTEST_DAYS)
    reasons = [why, trend]
    if wanted > longest and days == longest:
        reasons.append((CAPPED, {"longest": f"{longest:.0f}"}))
    elif line is not None:
        reasons.append((SHORTER_COUNTS, {"days": f"{days:.0f}"}))
    return Suggestion(days, stairs, line, longest, tuple(reasons))


def _refuse(checks: Sequence[Found], tolerance: float) -> None:
    if not tolerance > 0.0:
        raise ChemistryError(
            "no_tolerance", gettext_noop("An interval takes a tolerance that is more than zero.")
        )
    days = [each.day for each in checks]
    if days != sorted(days):
        raise ChemistryError(
            "checks_crossed", gettext_noop("The checks must stand in the order of their days.")
        )


def _staircase(checks: Sequence[Found], tolerance: float, interval: float) -> tuple[float, Remark]:
    if not checks:
        return interval, (NO_CHECKS, {"days": f"{interval:.0f}"})
    if abs(checks[-1].deviation) > tolerance:
        return interval * SHORTER, (FAILED, {})
    last = checks[-IN_A_ROW:]
    good = all(abs(each.deviation) <= WELL_INSIDE * tolerance for each in last)
    if good and len(last) == IN_A_ROW:
        said = {"count": str(IN_A_ROW), "percent": f"{100.0 * WELL_INSIDE:.0f}"}
        return interval * LONGER, (GOOD, said)
    return interval, (KEPT, {})


def _by_drift(
    checks: Sequence[Found], tolerance: float, longest: float
) -> tuple[float | None, Remark]:
    """Return the days until the band of the line reaches the tolerance, with a margin, and why."""
    try:
        line = drift.fit([each.day for each in checks], [each.deviation for each in checks])
    except ChemistryError:
        return None, (TOO_FEW, {"fewest": str(drift.FEWEST)})
    now = checks[-1].day
    reached = line.reaches(tolerance, now, now + longest)
    if reached is None:
        return None, (STEADY, {"longest": f"{longest:.0f}"})
    if reached <= now:
        return 0.0, (BEYOND, {})
    said = {"reached": f"{reached - now:.0f}", "percent": f"{100.0 * SAFETY:.0f}"}
    return SAFETY * (reached - now), (REACHED, said)
