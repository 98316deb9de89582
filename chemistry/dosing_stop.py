"""The remedy for too much of a dosed chemical: its feed is stopped and blowdown carries it off.

C(t) = C0 exp(-B t / M): the balance of chemistry/blowdown.py with nothing coming in. It holds for
what only the feeder brings, phosphate and sulfite; for alkalinity it is refused.
"""

import math
from dataclasses import dataclass

from chemistry import dosing_words as words
from chemistry.dosing_plan import blowdown_kg_h
from chemistry.errors import Refused
from chemistry.remedy import FIGURES_EXPANDED, MAX_HOURS, MIN_HOURS, STEAMING

MOST_WAIT_H = 4.0
"""Test again after this long at the latest, even where more time is needed: rule of our own."""
BY_BLOWDOWN_ALONE = ("phosphate", "sulfite")
NEEDED = ("steam_kg_h", "feed_conductivity", "boiler_conductivity", "water_mass_kg")


@dataclass(frozen=True)
class FeedStopCase:
    """What is known, in the units of `DoseCase`. `continuous_max_kg_h`: the valve fully open."""

    analyte: str
    value: float
    expanded: float
    target: float
    high: float
    steam_kg_h: float | None
    feed_conductivity: float | None
    boiler_conductivity: float | None
    water_mass_kg: float | None
    state: str
    continuous_max_kg_h: float | None = None


@dataclass(frozen=True)
class FeedStopPlan:
    """How long the feed stays stopped until blowdown has brought the water to `aim`.

    `hours` at the present blowdown, `hours_open` with the continuous valve fully open (None: not
    known, or no faster); `predicted` is the water at the retest, with the feed stopped till then.
    """

    analyte: str
    aim: float
    blowdown_kg_h: float
    hours: float
    hours_open: float | None
    open_kg_h: float | None
    predicted: float
    predicted_expanded: float
    retest_after_min: int
    cautions: tuple[str, ...] = words.CAUTIONS["feed_stop"]
    assumptions: tuple[str, ...] = words.STOP_ASSUMPTIONS
    source: str = words.SOURCE


def plan_feed_stop(case: FeedStopCase) -> FeedStopPlan:
    """Return how long to leave the feed stopped. Errors: Refused, with the reason."""
    if case.state != STEAMING:
        raise Refused("not_steaming", words.NOT_STEAMING)
    if case.analyte not in BY_BLOWDOWN_ALONE:
        raise Refused("not_by_blowdown", words.ALKALINITY_FEED)
    missing = tuple(key for key in NEEDED if getattr(case, key) is None)
    if missing:
        names = ", ".join(words.MISSING_WORDS[key] for key in missing)
        raise Refused(
            "figures_missing", words.STOP_FIGURES_MISSING, {"missing": names}, missing=missing
        )
    rate = blowdown_kg_h(case.steam_kg_h, case.boiler_conductivity, case.feed_conductivity)
    mass = case.water_mass_kg or 0.0
    sound = all(math.isfinite(x) and x > 0.0 for x in (case.value, case.target, rate, mass))
    if not sound or case.target > case.high or not case.expanded >= 0.0:
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE)
    if case.value <= case.target:
        raise Refused("nothing_to_do", words.NOTHING_TO_LOWER)
    ratio = math.log(case.value / case.target)
    hours = mass / rate * ratio
    if hours > MAX_HOURS:
        raise Refused("too_slow", words.TOO_SLOW)
    return _plan(case, rate, mass, hours)


def _plan(case: FeedStopCase, rate: float, mass: float, hours: float) -> FeedStopPlan:
    wait = min(hours, MOST_WAIT_H)
    share = rate * wait / mass
    after = case.value * math.exp(-share)
    # reading, flow and mass moved by their own expanded uncertainty (JCGM 100:2008, 5.1.3, note 2)
    moved = FIGURES_EXPANDED * share * after
    wide = case.continuous_max_kg_h
    faster = wide is not None and wide > rate
    sulfite = case.analyte == "sulfite"
    hideout = () if sulfite else (words.HIDEOUT_RETURNS,)
    return FeedStopPlan(
        analyte=case.analyte,
        aim=case.target,
        blowdown_kg_h=rate,
        hours=hours,
        hours_open=max(hours * rate / wide, MIN_HOURS) if wide is not None and faster else None,
        open_kg_h=wide if faster else None,
        predicted=after,
        predicted_expanded=math.hypot(case.expanded * math.exp(-share), moved, moved),
        retest_after_min=math.ceil(wait * 60.0),
        cautions=(*words.CAUTIONS["feed_stop"], *hideout),
        assumptions=(*words.STOP_ASSUMPTIONS, *((words.OXYGEN_HELPS,) if sulfite else ())),
    )
