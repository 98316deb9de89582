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
from chemistry.planner_case import Aim
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


def setting(aims: dict[str, Aim], path: Directions, feed: Vector) -> Setting:
    """Return the setting of a case."""
    before = State(path.formulas, path.start)
    gaps = {key: aim.value - before.value(key) for key, aim in aims.items()}
    return Setting(aims, before, gaps, feed)


def outlooks(
    given: Setting, path: Directions, plan: Vector, state: State, fed_in: float
) -> dict[str, Outlook]:
    """Return the outlook of each parameter for a plan whose water is `state`.

    `fed_in` is the f of chemistry.planner_course.
    """
    kept = 1.0 - float(plan[0])
    swap = -kept * math.log(kept)
    doses = np.concatenate([[0.0], plan[1:]])
    blown = np.zeros(len(plan))
    blown[0] = swap
    moves = np.vstack(
        [
            FIGURES_EXPANDED * (-blown - doses),  # the boiler holds more than it is told
            FIGURES_EXPANDED * blown,  # more is blown
            WEIGHED_EXPANDED * np.diag(doses),
        ]
    )
    answers = np.array([gradient(key, state) for key in given.aims])
    fed = answers @ given.feed * fed_in * FIGURES_EXPANDED
    by_figures = np.sum((answers @ path.steps.T @ moves.T) ** 2, axis=1) + fed**2
    found = {}
    for (key, aim), square in zip(given.aims.items(), by_figures.tolist(), strict=True):
        stays = kept * _dilution(key, given.before, state) * aim.expanded
        width = math.sqrt(stays**2 + square)
        value = state.value(key) + given.gaps[key] * kept
        found[key] = Outlook(key, value, width, math.hypot(width, aim.expanded))
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
