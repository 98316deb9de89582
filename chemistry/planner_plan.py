"""A remedy plan as people carry it out: valve and hours, kilograms, the order, the cautions."""

import math
from dataclasses import dataclass

from chemistry import blowdown
from chemistry import planner_words as words
from chemistry.dosing_plan import MIXING_MINUTES as DOSE_MIXING_MINUTES
from chemistry.dosing_plan import STEP_SHARE, SULFITE_FROM_PSIG
from chemistry.errors import ChemistryError, Refused
from chemistry.planner import Found, Sought, seek
from chemistry.planner_case import BANKED, CONTINUOUS, PARAMETERS, STEAMING, PlannerCase
from chemistry.planner_chemicals import SULFITE, Usable
from chemistry.planner_course import Course
from chemistry.planner_frame import TEMPERATURE_C
from chemistry.remedy import MIXING_MINUTES
from chemistry.solve import equilibrate
from chemistry.verdict import Side

LEAST_MG_PER_KG = 0.05
"""A dose below this, pure, for a kilogram of water is none: rule of our own."""
LEAST_SHARE = 1e-4
"""A swap below this share is none: rule of our own."""


@dataclass(frozen=True)
class Dose:
    """So many kg of a product as stocked, in `portions` with a test after each.

    `measures` is how many of the plant's measures that is (None: weighed); `entry` where it goes.
    """

    key: str
    kg: float
    strength_percent: float
    measures: int | None
    entry: str
    portions: int


@dataclass(frozen=True)
class Expected:
    """A parameter after the plan: value ± expanded (95 %), beside its range and target."""

    key: str
    before: float
    value: float
    expanded: float
    low: float | None
    target: float
    high: float | None


@dataclass(frozen=True)
class RemedyPlan:
    """What would bring every parameter into its range, and what that takes.

    `valve` with its `rate_kg_h` for `hours` (continuous) or `blows` of `blow_kg`; "" where nothing
    is blown. `hold_kg_h` is the continuous rate that then holds (None: banked). `water_kg` and
    `heat_kwh` are beyond what would be blown anyway. `time_constant_h` is the boiler's water over
    the blown flow. `clash` names sets of limits that can't be kept together (a set of one: not at
    all), the plan then being only the nearest. `left_out`: chemicals and valves not used, and why.
    """

    valve: str
    rate_kg_h: float
    hours: float
    blows: int
    blow_kg: float
    share_swapped: float
    hold_kg_h: float | None
    time_constant_h: float | None
    doses: tuple[Dose, ...]
    expected: tuple[Expected, ...]
    water_kg: float
    heat_kwh: float
    retest_after_min: int
    clash: tuple[tuple[tuple[str, Side], ...], ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    left_out: tuple[tuple[str, str], ...]
    assumptions: tuple[str, ...] = words.ASSUMPTIONS
    source: str = words.SOURCE

    @property
    def good(self) -> bool:
        """Whether every parameter ends inside its range by its uncertainty."""
        return not self.clash


def plan_remedy(case: PlannerCase) -> RemedyPlan:
    """Return the best plan for a case, or the nearest one with the limits that clash.

    Errors: Refused, with the reason and the keys of what is missing.
    """
    sought = seek(case)
    found = sought.found
    course = found.course if found.plan[0] > LEAST_SHARE else None
    used = _used(sought)
    doses = tuple(_dose(case, *each) for each in used)
    feed = float(equilibrate(case.feed or {}, TEMPERATURE_C).conductivity)
    present = _holding(case, case.aims["conductivity"].value, feed) or 0.0
    extra = 0.0 if course is None else course.blown_kg - _blown_anyway(case, course, present)
    kinds = tuple(dict.fromkeys(each.product.kind for each, _ in used))
    return RemedyPlan(
        valve=course.valve.kind if course else "",
        rate_kg_h=course.rate_kg_h if course else 0.0,
        hours=course.hours if course else 0.0,
        blows=course.blows if course else 0,
        blow_kg=course.blow_kg if course else 0.0,
        share_swapped=float(found.plan[0]) if course else 0.0,
        hold_kg_h=_holding(case, found.outlooks["conductivity"].value, feed),
        time_constant_h=_time_constant(case, course, present),
        doses=doses,
        expected=tuple(_expected(case, found)),
        water_kg=extra,
        heat_kwh=_heat_kwh(case, extra),
        retest_after_min=_wait_min(course, doses),
        clash=sought.clash,
        steps=_steps(case, course, kinds, doses),
        cautions=_cautions(case, sought, course, kinds),
        left_out=sought.left_out,
    )


def _used(sought: Sought) -> list[tuple[Usable, float]]:
    """Return the chemicals that are dosed, mg of product per kg of boiler water."""
    amounts = zip(sought.chemicals, sought.found.plan[1:].tolist(), strict=True)
    return [
        (each, amount)
        for each, amount in amounts
        if amount * each.stock.strength_percent / 100.0 >= LEAST_MG_PER_KG
    ]


def _dose(case: PlannerCase, used: Usable, mg_per_kg: float) -> Dose:
    kg, measure = mg_per_kg * 1e-6 * case.mass, used.stock.measure_kg
    return Dose(
        used.stock.key,
        kg,
        used.stock.strength_percent,
        None if measure is None else round(kg / measure),
        used.entry,
        _portions(case, used, mg_per_kg),
    )


def _portions(case: PlannerCase, used: Usable, mg_per_kg: float) -> int:
    """Return in how many steps a dose goes in: each raises the water by half a target at most."""
    rises = [1.0]
    for key, formula in PARAMETERS.items():
        if formula in used.brings and key in case.aims:
            rise = mg_per_kg * used.brings[formula]
            rises.append(rise / (STEP_SHARE * case.aims[key].aimed))
    return math.ceil(max(rises) - 1e-9)


def _expected(case: PlannerCase, found: Found) -> list[Expected]:
    return [
        Expected(
            key, aim.value, found.outlooks[key].value, found.outlooks[key].expanded,
            aim.low, aim.aimed, aim.high,
        )
        for key, aim in case.aims.items()
    ]  # fmt: skip


def _holding(case: PlannerCase, conductivity: float, feed: float) -> float | None:
    """Return the steady blowdown at which the boiler stays at a conductivity, kg/h; None where it
    makes no steam or is no stronger than its feedwater."""
    if case.state != STEAMING or conductivity <= feed:
        return None
    return float(blowdown.blowdown_from_cycles(case.steam, conductivity / feed))


def _blown_anyway(case: PlannerCase, course: Course, present: float) -> float:
    """Return what the continuous valve would have blown meanwhile; blows come on top of it."""
    return present * course.hours if course.valve.kind == CONTINUOUS else 0.0


def _time_constant(case: PlannerCase, course: Course | None, present: float) -> float | None:
    if course is None or case.state != STEAMING:
        return None
    flow = course.rate_kg_h or present
    return case.mass / flow if flow else None


def _heat_kwh(case: PlannerCase, water_kg: float) -> float:
    try:
        return float(blowdown.heat_lost_kj(water_kg, case.gauge_kpa or 0.0, case.makeup_c)) / 3600.0
    except ChemistryError as error:
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE) from error


def _wait_min(course: Course | None, doses: tuple[Dose, ...]) -> int:
    blown = math.ceil(course.hours * 60.0) + MIXING_MINUTES if course else 0
    return blown + (DOSE_MIXING_MINUTES * max(each.portions for each in doses) if doses else 0)


def _steps(
    case: PlannerCase, course: Course | None, kinds: tuple[str, ...], doses: tuple[Dose, ...]
) -> tuple[str, ...]:
    keys = []
    if course is not None:
        keys.append(course.valve.kind)
        keys += ["refill"] if course.valve.kind != CONTINUOUS else []
    keys += ["mix"] if case.state == BANKED else []
    keys += kinds
    keys += ["portions"] if any(each.portions > 1 for each in doses) else []
    return tuple(words.STEPS[key] for key in (*keys, "retest"))


def _cautions(
    case: PlannerCase, sought: Sought, course: Course | None, kinds: tuple[str, ...]
) -> tuple[str, ...]:
    found = [words.NEAREST_ONLY] if sought.clash else []
    found.append(words.ADVICE)
    dosed = (case.aims[key] for key in ("phosphate", "sulfite") if key in case.aims)
    found += [words.FEED_OFF_FIRST] if any(aim.side is Side.HIGH for aim in dosed) else []
    found += words.BLOWING[course.valve.kind] if course else ()
    found += [words.BANKED_LEVEL] if case.state == BANKED else []
    for kind in kinds:
        found += words.DOSING[kind]
    if SULFITE in kinds and case.working_psig >= SULFITE_FROM_PSIG:
        found.append(words.SULFITE_FROM_600)
    found += [words.FOOD_STEAM] if case.food_steam and kinds else []
    return tuple(dict.fromkeys(found))
