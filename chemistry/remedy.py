"""The blowdown remedy: how much to blow down to bring boiler water to its target, or why that is
refused.

The plan follows from a mass balance (chemistry/blowdown.py) in which conductivity at 25 °C stands
in for the dissolved solids as if it added up linearly. It is advice: never an order, and never
offered where a figure is missing or the state of the boiler does not allow it.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from chemistry import blowdown
from chemistry import remedy_words as words
from chemistry.errors import OutOfValidity, Refused

STEAMING = "steaming"
NEEDED = ("feed", "steam_kg_h", "water_mass_kg", "gauge_kpa")

FAR_OFF = 3.0
"""A value above this many times the limit is not ordinary concentrating: rule of our own."""
MAX_HOURS = 24.0
"""A plan longer than a day says that the valve is too small: rule of our own."""
MIN_HOURS = 1.0
"""No faster than this, so that the drum mixes and its level can be followed: rule of our own."""
MAX_BLOW_SHARE = 0.1
"""One bottom blow may take at most this share of the boiler's water: rule of our own."""
MAX_BLOWS = 12
"""More bottom blows in a row than this are refused: rule of our own."""
HOURS_BETWEEN_BLOWS = 0.5
"""Time for level and water to recover between bottom blows: rule of our own."""
FIGURES_EXPANDED = 0.10
"""Expanded relative uncertainty taken for flows, water mass and feedwater: rule of our own, no
source."""
AIMS = tuple(1.0 - step / 50.0 for step in range(11))
"""Shares of the target tried in turn (100 % down to 80 %) until the plan ends safely inside the
limit: rule of our own."""
MIXING_MINUTES = 15
"""Wait after the last blow or after the valve is set back, before drawing: common practice, no
source."""


STEERS_BY = "conductivity"
"""The analyte that a blowdown is worked out from. Others don't concentrate as the feedwater's
conductivity says, so no plan is made from them."""


@dataclass(frozen=True)
class BlowdownCase:
    """What is known. Conductivities in µS/cm at 25 °C on one basis; flows kg/h; mass kg; pressure
    gauge.

    `value` ± `expanded` is the confirmed reading, `target` and `high` are those in force, `feed` is
    the feedwater's; `steam_kg_h` the present load; `water_mass_kg` what the boiler holds at working
    level; `continuous_max_kg_h` the continuous valve fully open; `bottom_blow_kg` one bottom blow.
    None: not known.
    """

    value: float
    expanded: float
    target: float
    high: float
    feed: float | None
    steam_kg_h: float | None
    water_mass_kg: float | None
    gauge_kpa: float | None
    makeup_c: float
    state: str
    continuous_max_kg_h: float | None = None
    bottom_blow_kg: float | None = None


@dataclass(frozen=True)
class BlowdownPlan:
    """What would bring the water to `aim`, and the water that is then expected.

    `present_kg_h` is the steady blowdown that the present value implies; `raise_to_kg_h` the
    continuous rate for `hours` (0 with the bottom valve); `hold_kg_h` the rate that then holds the
    aim; `extra_water_kg` and `heat_lost_kwh` are beyond what would be blown anyway;
    `predicted_expanded` is at 95.45 %; `percent_of_feedwater` belongs to `hold_kg_h`.
    """

    valve: Literal["continuous", "bottom"]
    aim: float
    present_kg_h: float
    raise_to_kg_h: float
    hours: float
    extra_water_kg: float
    hold_kg_h: float
    blows: int | None
    predicted: float
    predicted_expanded: float
    cycles_now: float
    cycles_target: float
    percent_of_feedwater: float
    heat_lost_kwh: float
    retest_after_min: int
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    source: str = words.SOURCE


@dataclass(frozen=True)
class _Known:
    """The figures of a case once none of them is missing."""

    value: float
    feed: float
    steam: float
    mass: float


def plan_blowdown(case: BlowdownCase) -> BlowdownPlan:
    """Return a plan that ends at the target, inside the limit by its own uncertainty.

    The continuous valve is preferred; the bottom valve is planned with only where the other cannot
    do it. Errors: Refused, with the reason and the keys of what is missing.
    """
    known = _checked(case)
    refusals: list[Refused] = []
    for valve, planner in ((case.continuous_max_kg_h, _continuous), (case.bottom_blow_kg, _bottom)):
        if valve is None:
            continue
        for share in AIMS:
            try:
                plan = planner(case, known, case.target * share)
            except Refused as refused:
                refusals.append(refused)
                break
            if plan.predicted + plan.predicted_expanded <= case.high:
                return plan
        else:
            refusals.append(Refused("target_too_near_limit", words.TARGET_TOO_NEAR_LIMIT))
    raise refusals[0]


def _checked(case: BlowdownCase) -> _Known:
    """Return the figures needed, or raise the first reason why no plan may be made."""
    if case.state != STEAMING:
        template = words.NOT_STEAMING.get(case.state, words.NOT_STEAMING[""])
        raise Refused("not_steaming", template)
    missing = tuple(key for key in NEEDED if getattr(case, key) is None)
    if case.continuous_max_kg_h is None and case.bottom_blow_kg is None:
        missing = (*missing, "valve")
    if missing:
        names = ", ".join(words.MISSING_WORDS[key] for key in missing)
        raise Refused("figures_missing", words.FIGURES_MISSING, {"missing": names}, missing=missing)
    _refuse_impossible(case)
    known = _Known(
        value=case.value,
        feed=case.feed or 0.0,
        steam=case.steam_kg_h or 0.0,
        mass=case.water_mass_kg or 0.0,
    )
    if case.value <= case.target:
        raise Refused("nothing_to_do", words.NOTHING_TO_DO)
    if case.value > FAR_OFF * case.high:
        raise Refused("far_off", words.FAR_OFF)
    if known.feed >= case.target * AIMS[-1]:
        raise Refused("feed_too_strong", words.FEED_TOO_STRONG)
    return known


def _refuse_impossible(case: BlowdownCase) -> None:
    """Raise where a figure cannot be one: not finite, or not above zero where it must be."""
    optional = (case.continuous_max_kg_h, case.bottom_blow_kg)
    positive = (
        case.value,
        case.target,
        case.feed,
        case.steam_kg_h,
        case.water_mass_kg,
        *(figure for figure in optional if figure is not None),
    )
    sound = all(
        figure is not None and math.isfinite(figure) and figure > 0.0 for figure in positive
    )
    rest = (case.expanded, case.high, case.gauge_kpa or 0.0, case.makeup_c)
    sound = sound and all(math.isfinite(figure) for figure in rest)
    if not sound or case.expanded < 0.0 or case.target > case.high:
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE)


def _continuous(case: BlowdownCase, known: _Known, aim: float) -> BlowdownPlan:
    rate = case.continuous_max_kg_h or 0.0
    try:
        hours = _hours(known, aim, rate)
    except OutOfValidity as error:
        raise Refused("valve_too_small", words.VALVE_TOO_SMALL) from error
    if hours > MAX_HOURS:
        raise Refused("valve_too_small", words.VALVE_TOO_SMALL)
    if hours < MIN_HOURS:
        rate = _rate_for(known, aim, MIN_HOURS, rate)
        hours = MIN_HOURS

    def value_then(figures: _Known, flow: float) -> float:
        steam, mass = figures.steam, figures.mass
        return float(blowdown.value_after(figures.value, figures.feed, steam, flow, mass, hours))

    present = _steady_rate(known, known.value)
    extra = (rate - present) * hours
    return _plan(case, known, aim, _Course("continuous", rate, hours, extra, None, value_then))


def _bottom(case: BlowdownCase, known: _Known, aim: float) -> BlowdownPlan:
    blow = case.bottom_blow_kg or 0.0
    if blow > MAX_BLOW_SHARE * known.mass:
        raise Refused("blow_too_large", words.BLOW_TOO_LARGE)
    blows = next((n for n, value in _after_blows(known, blow) if value <= aim), None)
    if blows is None:
        raise Refused("too_many_blows", words.TOO_MANY_BLOWS)

    def value_then(figures: _Known, each: float) -> float:
        return next(value for n, value in _after_blows(figures, each) if n == blows)

    hours = (blows - 1) * HOURS_BETWEEN_BLOWS
    return _plan(case, known, aim, _Course("bottom", blow, hours, blows * blow, blows, value_then))


def _after_blows(known: _Known, blow: float) -> Iterator[tuple[int, float]]:
    """Yield (number of blows, value after it): each blow is drained and refilled with feedwater.

    Between blows the boiler steams on with no other blowdown, the worst case, and rises by E Cf t /
    M.
    """
    value, share = known.value, blow / known.mass
    for count in range(1, MAX_BLOWS + 1):
        value -= share * (value - known.feed)
        yield count, value
        value += known.steam * known.feed * HOURS_BETWEEN_BLOWS / known.mass


@dataclass(frozen=True)
class _Course:
    """How one valve would be used, and the value it leads to for given figures and blown flow or
    mass."""

    valve: Literal["continuous", "bottom"]
    blown: float
    hours: float
    extra_kg: float
    blows: int | None
    value_then: Callable[[_Known, float], float]


def _plan(case: BlowdownCase, known: _Known, aim: float, course: _Course) -> BlowdownPlan:
    hold = _steady_rate(known, aim)
    cycles = float(blowdown.cycles_of_concentration(aim, known.feed))
    try:
        heat = float(blowdown.heat_lost_kj(course.extra_kg, case.gauge_kpa or 0.0, case.makeup_c))
    except OutOfValidity as error:
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE) from error
    continuous = course.valve == "continuous"
    return BlowdownPlan(
        valve=course.valve,
        aim=aim,
        present_kg_h=_steady_rate(known, known.value),
        raise_to_kg_h=course.blown if continuous else 0.0,
        hours=course.hours,
        extra_water_kg=course.extra_kg,
        hold_kg_h=hold,
        blows=course.blows,
        predicted=course.value_then(known, course.blown),
        predicted_expanded=_predicted_expanded(case, known, course),
        cycles_now=float(blowdown.cycles_of_concentration(known.value, known.feed)),
        cycles_target=cycles,
        percent_of_feedwater=float(blowdown.percent_of_feedwater(cycles)),
        heat_lost_kwh=heat / 3600.0,
        retest_after_min=math.ceil(course.hours * 60.0) + MIXING_MINUTES,
        cautions=words.CAUTIONS[course.valve],
        assumptions=words.ASSUMPTIONS[course.valve],
    )


def _predicted_expanded(case: BlowdownCase, known: _Known, course: _Course) -> float:
    """Return the expanded uncertainty of the prediction: each figure moved by its own, in
    quadrature.

    The reading moves by its expanded uncertainty, the others by FIGURES_EXPANDED, all recomputed
    (JCGM 100:2008, 5.1.3, note 2).
    """
    base = course.value_then(known, course.blown)
    up = 1.0 + FIGURES_EXPANDED
    moved = (
        course.value_then(replace(known, value=known.value + case.expanded), course.blown),
        course.value_then(replace(known, feed=known.feed * up), course.blown),
        course.value_then(replace(known, steam=known.steam * up), course.blown),
        course.value_then(replace(known, mass=known.mass * up), course.blown),
        course.value_then(known, course.blown / up),
    )
    return math.hypot(*(value - base for value in moved))


def _steady_rate(known: _Known, value: float) -> float:
    """Return the blowdown at which the boiler stays at `value`, kg/h."""
    return float(blowdown.blowdown_from_cycles(known.steam, value / known.feed))


def _hours(known: _Known, aim: float, rate: float) -> float:
    return float(
        blowdown.hours_to_reach(known.value, aim, known.feed, known.steam, rate, known.mass)
    )


def _rate_for(known: _Known, aim: float, hours: float, most: float) -> float:
    """Return the rate that takes `hours`, between the one that never gets there and `most`;
    bisection."""
    least = _steady_rate(known, aim)
    for _ in range(60):
        middle = (least + most) / 2.0
        after = blowdown.value_after(
            known.value, known.feed, known.steam, middle, known.mass, hours
        )
        least, most = (middle, most) if float(after) > aim else (least, middle)
    return most
