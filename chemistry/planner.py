"""The remedy planner: every parameter that is out of range at once, or why that is refused.

Of all plans that end inside every range by their own uncertainty it takes the one that comes to the
targets with the least water and chemicals: a handful of linear programs, each drawn at the water
that the one before led to, until nothing moves. It is advice, never an order.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from chemistry import planner_words as words
from chemistry.dosing_plan import MOST_MG_PER_KG
from chemistry.errors import Refused
from chemistry.planner_case import PlannerCase, refuse_unknown
from chemistry.planner_chemicals import Usable, usable
from chemistry.planner_course import Course, Way, ways
from chemistry.planner_frame import Vector
from chemistry.planner_lines import DOSE_COST, Line, Span, best, clashes, guards, pulls
from chemistry.planner_model import Directions, State, directions
from chemistry.planner_outlook import Outlook, Setting, outlooks, setting, swings
from chemistry.remedy import FAR_OFF
from chemistry.stop_branch import findings
from chemistry.verdict import Side

SHARE_MORE = 0.01
"""Share of the water that whole measures may cost more: rule of our own."""
ROUNDS_MOST = 8
"""Linear programs at most: rule of our own."""
LINES_SETTLED = 0.0005
"""Half ranges by which the solved water may differ from what the lines promised: rule of our
own."""
NEAR = 0.05
"""Half ranges from a line beyond which it does not bear on the plan: rule of our own."""
PH_APART, PART_APART = 0.1, 0.25
"""pH, and part of any other result, by which the water may fail to explain it, beside twice its
expanded uncertainty: rule of our own."""
MISS_ALLOWED = 0.01
"""Half ranges by which the solved water may miss a guard: rule of our own."""


@dataclass(frozen=True)
class Found:
    """A plan found: share swapped and doses in mg of product per kg of boiler water, where it leads
    to, and what it misses."""

    plan: Vector
    course: Course | None
    given: Setting
    state: State
    outlooks: dict[str, Outlook]
    missed: float
    """Half ranges by which it misses the guard it misses most."""
    guards: tuple[Line, ...]
    drawn: tuple[Line, ...]
    """The guards, and what pulls to the targets."""
    span: Span

    @property
    def good(self) -> bool:
        """Whether every parameter ends inside its guarded range."""
        return self.missed <= MISS_ALLOWED


@dataclass(frozen=True)
class Sought:
    """A good plan, or the nearest with the limits that clash; and what could not be used."""

    found: Found
    chemicals: tuple[Usable, ...]
    clash: tuple[tuple[tuple[str, Side], ...], ...]
    """Smallest sets of limits that can't be kept together; a set of one can't be kept at all."""
    left_out: tuple[tuple[str, str], ...]


def seek(case: PlannerCase) -> Sought:
    """Return the best plan for a case, or the nearest one where none is good.

    The gentlest valve that can do it is taken. Errors: Refused, with the reason and the keys of
    what is missing; what the stop branch finds comes before anything else.
    """
    _refuse_stop(case)
    refuse_unknown(case)
    _refuse_idle(case)
    chemicals, without = usable(case)
    valves, shut = ways(case)
    nearest: Found | None = None
    for way in valves or (None,):
        found = search(case, way, chemicals)
        _refuse_disagreeing(found.given)
        if nearest is None or found.missed < nearest.missed:
            nearest = found
        if found.good:
            break
    assert nearest is not None
    named = tuple(tuple((line.key, line.side) for line in each) for each in _clashing(nearest))
    return Sought(nearest, chemicals, named, (*without, *shut))


def _clashing(found: Found) -> tuple[tuple[Line, ...], ...]:
    """Return what keeps a plan from being good; empty where it is.

    Where any amount could be dosed and the lines were true all might be kept: then those that this
    plan misses are named together.
    """
    if found.good:
        return ()
    slack = zip(found.guards, _slack(found.guards, found.plan), strict=True)
    missed = tuple(line for line, left in slack if -left > MISS_ALLOWED)
    return clashes(found.guards, found.span) or (missed,)


def search(case: PlannerCase, way: Way | None, chemicals: Sequence[Usable]) -> Found:
    """Return the best plan with one valve (None: no swap) and these chemicals."""
    span = _span(case, way, chemicals)
    rough = replace(span, measures=np.zeros(len(span.most)))
    found = _search(case, way, chemicals, rough, _start(case, way, chemicals, rough))
    if not np.any(span.measures) or not found.good:
        return found
    # no more water than without whole measures, as long as that will do
    share = min(float(found.plan[0]) + SHARE_MORE, float(span.most[0]))
    sparing = replace(span, most=np.array([share, *span.most[1:]]))
    whole = _search(case, way, chemicals, sparing, found)
    return whole if whole.good else _search(case, way, chemicals, span, found)


def _start(case: PlannerCase, way: Way | None, chemicals: Sequence[Usable], span: Span) -> Found:
    """Return the water as it is, as a plan of nothing."""
    path, course = _path(case, way, chemicals, 0.0)
    given = setting(dict(case.aims), path, _feed(case, path))
    return _drawn(case, given, path, np.zeros(len(span.most)), course, span)


def _search(
    case: PlannerCase, way: Way | None, chemicals: Sequence[Usable], span: Span, start: Found
) -> Found:
    """Return the best plan within a span: lines are drawn at a plan, the best plan by these lines
    is taken, until the solved water is what the lines promised.

    Where that does not settle, as far outside what can be kept, the best of those tried is taken.
    """
    found, tried = start, []
    for _ in range(ROUNDS_MOST):
        plan, _ = best(found.drawn, span)
        promised = np.minimum(_slack(found.drawn, plan), NEAR)
        path, course = _path(case, way, chemicals, float(plan[0]))
        found = _drawn(case, start.given, path, plan, course, span)
        kept = np.minimum(_slack(found.drawn, plan), NEAR)
        tried.append(found)
        if float(np.max(np.abs(promised - kept))) <= LINES_SETTLED:
            return found
    return min(tried, key=_rank)


def _rank(found: Found) -> tuple[float, float]:
    """Return what sorts plans: good ones first, by their cost; the others by what they miss."""
    off_target = sum(
        line.cost * max(-slack, 0.0)
        for line, slack in zip(found.drawn, _slack(found.drawn, found.plan), strict=True)
    )
    return (0.0 if found.good else found.missed, float(found.span.cost @ found.plan) + off_target)


def _slack(lines: Sequence[Line], plan: Vector) -> list[float]:
    return [float(line.slope @ plan) - line.least for line in lines]


def _drawn(
    case: PlannerCase,
    given: Setting,
    path: Directions,
    plan: Vector,
    course: Course | None,
    span: Span,
) -> Found:
    """Return a plan with its water solved, how sure that is, and the lines drawn there."""
    state, swing = State(path.formulas, path.totals(plan)), swings(case, course)
    seen = outlooks(given, path, plan, state, swing)
    lines = tuple(guards(given, path, plan, state, seen))
    missed = max([-each for each in _slack(lines, plan)] + [0.0])
    drawn = (*lines, *pulls(given, path, plan, state))
    return Found(plan, course, given, state, seen, missed, lines, drawn, span)


def _span(case: PlannerCase, way: Way | None, chemicals: Sequence[Usable]) -> Span:
    strengths = [each.stock.strength_percent / 100.0 for each in chemicals]
    share = way.share_most if way else 0.0
    return Span(
        np.array([share, *(MOST_MG_PER_KG / each for each in strengths)]),
        np.array([1.0, *(DOSE_COST * each for each in strengths)]),
        np.array([0.0, *((each.stock.measure_kg or 0.0) * 1e6 / case.mass for each in chemicals)]),
    )


def _path(
    case: PlannerCase, way: Way | None, chemicals: Sequence[Usable], share: float
) -> tuple[Directions, Course | None]:
    """Return where plans near a share lead, and how that share is swapped."""
    brings = [each.brings for each in chemicals]
    if way is None:
        return directions(case.water, case.feed or {}, brings, 0.0, 1.0), None
    course, slope = way.course(share), way.fed_slope(share)
    at_zero = course.fed - slope * share
    return directions(case.water, case.feed or {}, brings, at_zero, slope), course


def _feed(case: PlannerCase, path: Directions) -> Vector:
    feed = case.feed or {}
    return np.array([feed.get(formula, 0.0) for formula in path.formulas])


def _refuse_stop(case: PlannerCase) -> None:
    """Raise where the stop branch has found something: that comes before any optimum."""
    found = findings(case.sample)
    if found:
        raise Refused("stop_first", words.STOP_FIRST, {"label": found[0].means})


def _refuse_disagreeing(given: Setting) -> None:
    """Raise where the water of the case would not read as the results do, uncertainty apart."""
    for key, gap in given.gaps.items():
        aim = given.aims[key]
        allowed = PH_APART if key == "ph" else PART_APART * aim.value
        if abs(gap) > allowed + 2.0 * aim.expanded:
            raise Refused("readings_disagree", words.READINGS_DISAGREE)


def _refuse_idle(case: PlannerCase) -> None:
    """Raise where nothing is out of range, or where a result is too far out to be ordinary."""
    if all(aim.side is Side.IN_RANGE for aim in case.aims.values()):
        raise Refused("nothing_to_do", words.NOTHING_TO_DO)
    far = [
        key
        for key, aim in case.aims.items()
        if key != "ph" and aim.high is not None and aim.value > FAR_OFF * aim.high
    ]
    if far:
        raise Refused("far_off", words.FAR_OFF)
