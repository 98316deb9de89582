"""How boiler water is swapped for feedwater: which valve may do it, how fast, in how many blows.

A swap is told by the share s of the old water that is gone. While the boiler steams, more feedwater
comes in than is blown down and leaves its solids behind, so what the drum then holds is

    C = C0 (1 - s) + f Cf,

with f = s (E + B) / B of a continuous valve (the balance of chemistry.blowdown, exactly) and
f = s (1 + E h / b) - E h / M of blows of b with h hours between. A banked boiler makes no steam:
f = s.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from chemistry import planner_words as words
from chemistry.planner_case import (
    BOTTOM,
    CONTINUOUS,
    HEADER,
    STEAMING,
    SURFACE,
    PlannerCase,
    Valve,
)
from chemistry.remedy import (
    HOURS_BETWEEN_BLOWS,
    MAX_BLOW_SHARE,
    MAX_BLOWS,
    MAX_HOURS,
    MIN_HOURS,
)

SWAP_MOST_PER_HOUR = 0.25
"""A hot boiler takes at most this share of its water in an hour as colder feedwater: rule of our
own."""
SLOPE_STEP = 1e-3
"""Part of a share by which a slope is taken: rule of our own."""
ORDER = (CONTINUOUS, SURFACE, BOTTOM, HEADER)
"""The gentlest first: common practice, no source."""


@dataclass(frozen=True)
class Swapped:
    """The share of the old water that is gone, and the f of the module."""

    share: float
    fed: float


@dataclass(frozen=True)
class Course:
    """A way to swap: `rate_kg_h` of a continuous valve for `hours`, or `blows` of `blow_kg` each.

    `share` is what is swapped, `fed` the f of the module, `blown_kg` all that is blown.
    """

    valve: Valve
    share: float
    fed: float
    hours: float
    blown_kg: float
    rate_kg_h: float = 0.0
    blows: int = 0
    blow_kg: float = 0.0

    def swapped(self, case: PlannerCase, *, mass: float = 1.0, flow: float = 1.0) -> Swapped:
        """Return what the course swaps on a boiler whose water mass and blown flow are so many
        times the stated ones."""
        water, steam = case.mass * mass, case.steam
        if self.blows:
            each = self.blow_kg * flow
            share = -math.expm1(self.blows * math.log1p(-each / water))
            between = self.hours / max(self.blows - 1, 1)
            made = steam * between
            return Swapped(share, share * (1.0 + made / each) - made / water)
        if not self.rate_kg_h:
            return Swapped(0.0, 0.0)
        rate = self.rate_kg_h * flow
        share = -math.expm1(-rate * self.hours / water)
        return Swapped(share, share * (steam + rate) / rate)


@dataclass(frozen=True)
class Way:
    """A valve that may be used, with the most it can do: `most` kg/h or kg a blow."""

    valve: Valve
    case: PlannerCase
    most: float
    between_h: float = 0.0

    @property
    def share_most(self) -> float:
        """The largest share that can be swapped within a day, or within the most blows."""
        if self.valve.kind == CONTINUOUS:
            return -math.expm1(-self.most * MAX_HOURS / self.case.mass)
        return 1.0 - (1.0 - self.most / self.case.mass) ** MAX_BLOWS

    def fed_slope(self, share: float) -> float:
        """Return how the f of the module answers to the share."""
        if share <= 0.0:
            each = self.most if self.valve.kind == CONTINUOUS else self.most / self.between_h
            return 1.0 + self.case.steam / each
        step = SLOPE_STEP * share
        return (self.course(share).fed - self.course(share - step).fed) / step

    def course(self, share: float) -> Course:
        """Return how a share is swapped: as fast as is safe, no faster."""
        if share <= 0.0:
            return Course(self.valve, 0.0, 0.0, 0.0, 0.0)
        return self._steady(share) if self.valve.kind == CONTINUOUS else self._blows(share)

    def _steady(self, share: float) -> Course:
        mass, steam = self.case.mass, self.case.steam
        all_of_it = -math.log1p(-share) * mass
        rate = min(self.most, all_of_it / MIN_HOURS)
        hours = all_of_it / rate
        fed = share * (steam + rate) / rate
        return Course(self.valve, share, fed, hours, rate * hours, rate_kg_h=rate)

    def _blows(self, share: float) -> Course:
        mass, steam, most = self.case.mass, self.case.steam, self.most
        # the small allowance keeps a share that is exactly n blows from becoming n + 1
        blows = max(math.ceil(math.log1p(-share) / math.log1p(-most / mass) - 1e-9), 1)
        each = -mass * math.expm1(math.log1p(-share) / blows)
        made = steam * self.between_h
        fed = share * (1.0 + made / each) - made / mass
        hours = (blows - 1) * self.between_h
        return Course(self.valve, share, fed, hours, blows * each, blows=blows, blow_kg=each)


def ways(case: PlannerCase) -> tuple[tuple[Way, ...], tuple[tuple[str, str], ...]]:
    """Return the valves that may be used, the gentlest first, and of the others kind and reason."""
    found: list[Way] = []
    left_out: list[tuple[str, str]] = []
    for valve in sorted(case.valves, key=lambda each: ORDER.index(each.kind)):
        reason = next(_reasons(case, valve), "")
        if reason:
            left_out.append((valve.kind, reason))
        elif valve.kind == CONTINUOUS:
            most = min(valve.most_kg_h or 0.0, SWAP_MOST_PER_HOUR * case.mass)
            found.append(Way(valve, case, most))
        else:
            found.append(_blowing(case, valve))
    return tuple(found), tuple(left_out)


def _blowing(case: PlannerCase, valve: Valve) -> Way:
    limits = (
        valve.blow_kg or 0.0,
        MAX_BLOW_SHARE * case.mass,
        case.level_span_kg or 0.0,
        case.tank_kg or 0.0,
    )
    most = min(limits)
    # a tenth of the water each half hour is less than a hot boiler may take
    return Way(valve, case, most, max(HOURS_BETWEEN_BLOWS, case.tank_recovery_h or 0.0))


def _reasons(case: PlannerCase, valve: Valve) -> Iterator[str]:
    """Yield why a valve may not be used, the gravest first."""
    steaming = case.state == STEAMING
    if valve.kind == HEADER and (steaming or case.fired):
        yield words.HEADER_FIRED
    if valve.kind == CONTINUOUS:
        if not steaming:
            yield words.CONTINUOUS_BANKED
        if not valve.most_kg_h:
            yield words.VALVE_NOT_KNOWN
        return
    if not valve.blow_kg:
        yield words.VALVE_NOT_KNOWN
    if case.level_span_kg is None or case.tank_kg is None:
        yield words.LEVEL_OR_TANK_NOT_KNOWN
    if valve.kind == BOTTOM and steaming:
        if case.load_share is None or case.bottom_load_most is None:
            yield words.LOAD_NOT_KNOWN
        elif case.load_share > case.bottom_load_most:
            yield words.LOAD_TOO_HIGH
