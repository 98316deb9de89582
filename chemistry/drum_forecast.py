"""What a drum's water will be if nothing is done, with a band, and when it leaves its range."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chemistry.drum_filter import Belief, Spread, advanced
from chemistry.errors import Refused
from chemistry.words import gettext_noop

HOURS_MOST = 168.0
"""How far ahead a forecast is made: rule of our own; feed and load are not known so far ahead."""
STEP_H = 1.0
"""Between two values of a forecast, hours: rule of our own."""


@dataclass(frozen=True)
class Forecast:
    """Values at `hours` from now, each with the band of 95 % (`Spread.low` to `Spread.high`).

    `leaves_h`: hours from now at which the value is expected to leave its range; `soonest_h`: at
    which the band does. None: not within the forecast. `side`: "low" or "high", of the first.
    """

    solute: str
    hours: tuple[float, ...]
    values: tuple[Spread, ...]
    leaves_h: float | None
    soonest_h: float | None
    side: str


def forecast(
    belief: Belief,
    solute: str,
    low: float | None = None,
    high: float | None = None,
    hours: float = 72.0,
) -> Forecast:
    """Return what a solute will be if the setting stays as it is, no dose is given and no leak
    mended.

    Range: `low` to `high`, None where it is open. Errors: Refused not_steaming, too_far.
    """
    if not belief.setting.steaming:
        raise Refused(
            "not_steaming",
            gettext_noop("Only a steaming boiler mixes: nothing can be foretold of this one."),
        )
    if not 0.0 < hours <= HOURS_MOST:
        raise Refused(
            "too_far",
            gettext_noop("A forecast reaches from now to %(most)s hours ahead at most."),
            {"most": f"{HOURS_MOST:g}"},
        )
    ahead = np.append(np.arange(0.0, hours, STEP_H), hours).tolist()
    values = [belief.concentration(solute)]
    start = belief.at_h
    for hour in ahead[1:]:
        belief = advanced(belief, start + hour)
        values.append(_not_below_zero(belief.concentration(solute)))
    middle = [each.value for each in values]
    crossings = {
        "low": _first_outside(ahead, [-each for each in middle], low, -1.0),
        "high": _first_outside(ahead, middle, high, 1.0),
    }
    bands = (
        _first_outside(ahead, [-each.low for each in values], low, -1.0),
        _first_outside(ahead, [each.high for each in values], high, 1.0),
    )
    leaving = {side: hour for side, hour in crossings.items() if hour is not None}
    early = {side: hour for side, hour in zip(crossings, bands, strict=True) if hour is not None}
    first = leaving or early
    return Forecast(
        solute,
        tuple(ahead),
        tuple(values),
        min(leaving.values(), default=None),
        min(early.values(), default=None),
        min(first, key=first.__getitem__) if first else "",
    )


def _not_below_zero(spread: Spread) -> Spread:
    return Spread(max(0.0, spread.value), spread.u)


def _first_outside(
    hours: Sequence[float], values: Sequence[float], limit: float | None, sign: float
) -> float | None:
    """Return the hour at which values, turned so that they rise outward, pass a limit."""
    if limit is None:
        return None
    over = [value - sign * limit for value in values]
    for at, here in enumerate(over):
        if here > 0.0:
            if at == 0:
                return hours[0]
            before = over[at - 1]
            return hours[at - 1] + (hours[at] - hours[at - 1]) * before / (before - here)
    return None
