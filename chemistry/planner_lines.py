"""The limits as lines in swap and doses, and the plan that keeps to them: a linear program.

Each limit is elastic, so that there is always an answer: the nearest plan where none is good.
Misses are counted in half ranges, so that pH and conductivity weigh alike.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from chemistry import planner_words as words
from chemistry.errors import ChemistryError
from chemistry.planner_frame import Vector
from chemistry.planner_model import Directions, State
from chemistry.planner_outlook import Outlook, Setting, gradient
from chemistry.verdict import Side

MISS_COST = 1000.0
"""Of a half range outside the guarded range, against the whole water swapped: rule of our own."""
OFF_TARGET_COST = 10.0
"""Of a half range off the target, where the result is out of range: rule of our own."""
DRIFT_COST = 0.1
"""Of a half range farther from the target than before, where it is in range: rule of our own."""
DOSE_COST = 0.001
"""Of a mg/kg of pure chemical: rule of our own."""
PH_SCALE = (0.0, 14.0)
"""Where lines of pH are drawn: rule of our own."""
NO_MISS = 1e-6
"""Half ranges that count as none: rule of our own."""


@dataclass(frozen=True, eq=False)
class Line:
    """slope @ plan >= least, in half ranges; missing it costs `cost` for each."""

    key: str
    side: Side
    slope: Vector
    least: float
    cost: float


@dataclass(frozen=True)
class Span:
    """The most of swap and doses, what each costs, and the steps it comes in (0: any amount)."""

    most: Vector
    cost: Vector
    measures: Vector


def guards(
    given: Setting,
    path: Directions,
    plan: Vector,
    state: State,
    seen: dict[str, Outlook],
) -> list[Line]:
    """Return the limits, each drawn in by its guard."""
    found = []
    for key, aim in given.aims.items():
        for side, end, inward in ((Side.LOW, aim.low, 1.0), (Side.HIGH, aim.high, -1.0)):
            if end is not None:
                level = end + inward * seen[key].guard
                found.append(_line(given, path, plan, state, key, side, level, MISS_COST))
    return found


def pulls(given: Setting, path: Directions, plan: Vector, state: State) -> list[Line]:
    """Return what draws each parameter to its target, or keeps it from drifting away from it."""
    found = []
    for key, aim in given.aims.items():
        out = aim.side is not Side.IN_RANGE
        cost = OFF_TARGET_COST if out else DRIFT_COST
        low = aim.aimed if out else min(aim.aimed, aim.value)
        high = aim.aimed if out else max(aim.aimed, aim.value)
        for side, end, level in ((Side.LOW, aim.low, low), (Side.HIGH, aim.high, high)):
            if end is not None:
                found.append(_line(given, path, plan, state, key, side, level, cost))
    return found


def _line(
    given: Setting,
    path: Directions,
    plan: Vector,
    state: State,
    key: str,
    side: Side,
    level: float,
    cost: float,
) -> Line:
    """Return one limit as a line: what is beyond `level` here, and how that answers to the plan."""
    level = level - given.gaps[key] * (1.0 - float(plan[0]))
    width = given.aims[key].width
    if key == "ph":
        # a guard wider than the scale of pH can't be kept anyway
        there = state.charges(min(max(level, PH_SCALE[0]), PH_SCALE[1]))
        width *= there.buffer
        beyond = float(there.per_mg @ state.totals) + there.rest
        slope = path.steps @ there.per_mg
    elif key == "sodium_to_phosphate":
        per_mg = state.strong_base - level * state.phosphate
        width *= float(state.phosphate @ state.totals)
        beyond = float(per_mg @ state.totals)
        slope = path.steps @ per_mg
    else:
        beyond = state.value(key) - level
        slope = path.steps @ gradient(key, state)
    sign = 1.0 if side is Side.LOW else -1.0
    least = sign * (float(slope @ plan) - beyond) / width
    return Line(key, side, sign * slope / width, least, cost)


def best(lines: Sequence[Line], span: Span) -> tuple[Vector, float]:
    """Return the plan of least cost, and the half ranges by which it misses the guards.

    Errors: ChemistryError no_plan, where the solver gives up.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # half a second to import

    count, size = len(lines), len(span.most)
    whole = span.measures > 0.0
    unit = np.where(whole, span.measures, 1.0)
    rows = np.hstack([np.array([line.slope for line in lines]) * unit, np.eye(count)])
    least = np.array([line.least for line in lines])
    most = np.where(whole, np.floor(span.most / unit + NO_MISS), span.most)
    found = milp(
        np.array([*(span.cost * unit), *(line.cost for line in lines)]),
        integrality=np.array([*whole.astype(int), *([0] * count)]),
        bounds=Bounds(np.zeros(size + count), np.array([*most, *([np.inf] * count)])),
        constraints=LinearConstraint(rows, least, np.inf),
        options={"presolve": bool(whole.any())},  # not worth its time in a problem this small
    )
    if found.x is None:
        raise ChemistryError("no_plan", words.NO_PLAN)
    plan: Vector = np.maximum(found.x[:size], 0.0) * unit
    missed = [float(line.least - line.slope @ plan) for line in lines if line.cost == MISS_COST]
    return plan, max([*missed, 0.0])


def clashes(lines: Sequence[Line], span: Span) -> tuple[tuple[Line, ...], ...]:
    """Return smallest sets of the guards that can't be kept together; empty where all can.

    Of what clashes each is left out in turn and stays out where the rest still clash; then the same
    without that set, until what is left can be kept.
    """
    free = replace(span, measures=np.zeros(len(span.most)))
    rest, found = list(lines), []
    while rest and best(rest, free)[1] > NO_MISS:
        least = _smallest(rest, free)
        found.append(least)
        rest = [line for line in rest if line not in least]
    return tuple(found)


def _smallest(lines: Sequence[Line], span: Span) -> tuple[Line, ...]:
    kept = list(lines)
    for line in lines:
        fewer = [each for each in kept if each is not line]
        if fewer and best(fewer, span)[1] > NO_MISS:
            kept = fewer
    return tuple(kept)
