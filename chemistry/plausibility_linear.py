"""Can a pH or a temperature be right, beside the last results of its point?

Beside `chemistry.plausibility`, which works by ratio: a pH is a logarithm already and a temperature
has no zero of its own, so here differences count. Nothing is refused: a suspicion asks the tester
to look again.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from chemistry import units as unit_book
from chemistry.plausibility import FEWEST_RECENT, MAD_TO_SIGMA, MOST_RECENT, Suspicion
from chemistry.words import gettext_noop

STEADIEST = {"pH": 0.1, "degC": 1.5, "K": 1.0}
"""A point is never taken to be steadier than this from one result to the next: two electrodes of
one bench, or two draws through one cooler, differ by as much: rule of our own."""
UNITS = frozenset(STEADIEST)
"""The units whose results are held beside one another by difference."""
NEVER_UNLIKELY = {"pH": 0.8, "degC": 10.0}
"""Less than this from the usual level is never called unlikely by itself: a day without treatment,
or a cooler turned down, does that: rule of our own, by simulation. A difference in K goes by its
spreads alone."""
UNLIKELY_SPREADS = 6.0
"""Nor is anything within so many spreads: rule of our own, by simulation."""
FITTING_SPREADS = 2.0
"""What a slip would have turned into this must lie within so many spreads of the usual level: rule
of our own, by simulation."""

UNLIKELY_LEVEL = gettext_noop(
    "%(value)s %(unit)s is far from the %(usual)s %(unit)s that this point has lately shown (the "
    "middle of the last %(count)s results). Is it read and written right, and is it the right "
    "bottle?"
)
DECIMAL_SLIP = gettext_noop(
    "%(value)s %(unit)s is far from the %(usual)s %(unit)s that this point has lately shown; "
    "%(likely)s %(unit)s would fit. Is the decimal point in its place?"
)
SWAPPED_DIGITS = gettext_noop(
    "%(value)s %(unit)s does not fit the %(usual)s %(unit)s that this point has lately shown. With "
    "two digits changed about it would be %(likely)s %(unit)s, which fits. Is it written as it was "
    "read?"
)
TEMPERATURE_UNIT_SLIP = gettext_noop(
    "%(value)s %(unit)s does not fit the %(usual)s %(unit)s that this point has lately shown. Read "
    "on the other scale it would be %(likely)s %(unit)s, which fits. Was it °F or °C?"
)


@dataclass(frozen=True)
class _Slip:
    code: str
    template: str
    likely: float


def suspicions(
    *, value: float, u: float, unit: str, recent: Sequence[float], resolution: float
) -> tuple[Suspicion, ...]:
    """Return why `value` may be wrong beside the last results of its point, or nothing; at most
    one, the slip that explains it best.

    `value`, its standard uncertainty `u`, `recent` (newest last, the last ten count) and
    `resolution`, one unit of its last digit, are in `unit`: "pH", "degC" or "K" (a difference).
    Fewer than FEWEST_RECENT results say nothing.

    >>> said = suspicions(
    ...     value=1.07, u=0.03, unit="pH", recent=[10.6, 10.7, 10.7, 10.8], resolution=0.01
    ... )
    >>> [(each.code, each.likely) for each in said]
    [('decimal_slip', 10.7)]
    """
    last = recent[-MOST_RECENT:]
    if len(last) < FEWEST_RECENT:
        return ()
    usual = median(last)
    steps = [after - before for before, after in pairwise(last)]
    middle = median(steps)
    wander = MAD_TO_SIGMA * median(abs(each - middle) for each in steps)
    spread = (wander**2 + u**2 + STEADIEST[unit] ** 2) ** 0.5
    low, high = sorted((usual, last[-1]))
    outside = max(low - value, 0.0, value - high)
    far = UNLIKELY_SPREADS * spread
    if outside <= max(far, NEVER_UNLIKELY.get(unit, far)):
        return ()
    said = {"unit": unit_book.label(unit), "value": _shown(value), "usual": _shown(usual)}
    slips = [
        slip
        for slip in _slips(value, unit, resolution)
        if abs(slip.likely - usual) <= FITTING_SPREADS * spread
    ]
    if slips:
        best = min(slips, key=lambda slip: abs(slip.likely - usual))
        said["likely"] = _shown(best.likely)
        return (Suspicion(best.code, best.template, said, best.likely),)
    said["count"] = str(len(last))
    return (Suspicion("unlikely", UNLIKELY_LEVEL, said, None),)


def _slips(value: float, unit: str, resolution: float) -> Iterator[_Slip]:
    """Yield what else may have been meant."""
    for factor in (10.0, 0.1):
        yield _Slip("decimal_slip", DECIMAL_SLIP, value * factor)
    digits = str(round(abs(value) / resolution)) if resolution > 0.0 else ""
    for at, (one, two) in enumerate(pairwise(digits)):
        if one != two:
            meant = float(digits[:at] + two + one + digits[at + 2 :]) * resolution
            yield _Slip("swapped_digits", SWAPPED_DIGITS, meant)
    if unit == "degC":
        for source, target in (("degF", "degC"), ("degC", "degF")):
            meant = unit_book.convert(value, source, target)
            yield _Slip("temperature_unit_slip", TEMPERATURE_UNIT_SLIP, meant)


def _shown(value: float) -> str:
    return f"{value:.4g}"
