"""How sure the water after a plan is, and how far inside its range each parameter must lie.

What a reading was off by stays, diluted by the swap; flows, water mass and feedwater move what the
swap does, weighing moves the doses (JCGM 100:2008, 5.1.2, all at 95 %). The retest has an error of
its own: the guard holds both.
"""

import math
from dataclasses import dataclass

import numpy as np

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.dosing_plan import WEIGHED_EXPANDED
from chemistry.planner_case import Aim, PlannerCase
from chemistry.planner_course import Course
from chemistry.planner_frame import Vector
from chemistry.planner_model import END_POINTS, Directions, State
from chemistry.remedy import FIGURES_EXPANDED


@dataclass(frozen=True)
class Outlook:
    """What is known of one parameter after a plan: its expected value, and the two widths."""

    key: str
    value: float
    expanded: float
    guard: float


@dataclass(frozen=True)
class Setting:
    """What stays the same while a plan is sought."""

    aims: dict[str, Aim]
    before: State
    gaps: dict[str, float]
    """Of each parameter, the reading less what the water of the case would read."""
    feed: Vector
    """mg/kg, in the order of the formulas."""


@dataclass(frozen=True)
class Swings:
    """What a swap feeds (the f of chemistry.planner_course), and by how much share and f move where
    water mass or blown flow is FIGURES_EXPANDED larger than stated."""

    fed: float = 0.0
    mass: tuple[float, float] = (0.0, 0.0)
    flow: tuple[float, float] = (0.0, 0.0)


def swings(case: PlannerCase, course: Course | None) -> Swings:
    """Return the swings of a course."""
    if course is None:
        return Swings()
    here, up = course.swapped(case), 1.0 + FIGURES_EXPANDED
    heavier, faster = course.swapped(case, mass=up), course.swapped(case, flow=up)
    return Swings(
        here.fed,
        (heavier.share - here.share, heavier.fed - here.fed),
        (faster.share - here.share, faster.fed - here.fed),
    )


def setting(aims: dict[str, Aim], path: Directions, feed: Vector) -> Setting:
    """Return the setting of a case."""
    before = State(path.formulas, path.start)
    gaps = {key: aim.value - before.value(key) for key, aim in aims.items()}
    return Setting(aims, before, gaps, feed)


def outlooks(
    given: Setting, path: Directions, plan: Vector, state: State, swing: Swings
) -> dict[str, Outlook]:
    """Return the outlook of each parameter for a plan whose water is `state`."""
    kept = 1.0 - float(plan[0])
    doses = np.concatenate([[0.0], plan[1:]])
    moves = np.vstack(
        [
            _swung(given, swing.mass) - FIGURES_EXPANDED * (doses @ path.steps),
            _swung(given, swing.flow),
            FIGURES_EXPANDED * swing.fed * given.feed,
            WEIGHED_EXPANDED * (np.diag(doses)[1:] @ path.steps),
        ]
    )
    answers = np.array([gradient(key, state) for key in given.aims])
    by_figures = np.sum((answers @ moves.T) ** 2, axis=1)
    found = {}
    for (key, aim), square in zip(given.aims.items(), by_figures.tolist(), strict=True):
        stays = kept * _dilution(key, given.before, state) * aim.expanded
        width = math.sqrt(stays**2 + square)
        value = state.value(key) + given.gaps[key] * kept
        found[key] = Outlook(key, value, width, math.hypot(width, aim.expanded))
    return found


def _swung(given: Setting, moved: tuple[float, float]) -> Vector:
    """Return what a change of the share and of what is fed does to the totals, mg/kg."""
    share, fed = moved
    found: Vector = fed * given.feed - share * given.before.totals
    return found


def gradient(key: str, state: State) -> Vector:
    """Return how a parameter answers to each total, per mg/kg."""
    if key == "ph":
        here = state.charges(state.ph)
        return here.per_mg / here.buffer
    if key == "conductivity":
        return state.conductivity_per_mg
    if key in END_POINTS:
        return state.charges(END_POINTS[key]).per_mg * CACO3_MG_PER_EQUIVALENT
    if key == "sodium_to_phosphate":
        ratio, moles = state.value(key), float(state.phosphate @ state.totals)
        found: Vector = (state.strong_base - ratio * state.phosphate) / moles
        return found
    return state.amount(key)


def _dilution(key: str, before: State, after: State) -> float:
    """Return by how much more, or less, an error before the plan weighs after it, dilution
    apart."""
    if key == "ph":
        return before.charges(before.ph).buffer / after.charges(after.ph).buffer
    if key == "sodium_to_phosphate":
        return float((before.phosphate @ before.totals) / (after.phosphate @ after.totals))
    return 1.0
