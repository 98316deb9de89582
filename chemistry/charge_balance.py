"""The balance of charges of one water, or of a chunk of waters at once.

Activity coefficients, the activity of the water and weakly held metals change little: they are put
in from round to round. In each round the hydrogen ion and the strongly held metals are found by
Newton's method (chemistry.newton); residuals are taken as logarithms of what must be equal, which
keeps the steps short far from the answer.
"""

from typing import Any

import numpy as np

from chemistry.activity import coefficients_with, water_activity
from chemistry.arrays import clip, exp, larger, largest, log, smaller
from chemistry.errors import ChemistryError
from chemistry.newton import Sums, Trial, sums_of
from chemistry.speciation import (
    STRONG_METALS,
    TINY,
    WEAK_METALS,
    Plan,
    Spread,
    Weights,
    larger_than_zero,
    spread,
    start_of,
    weights_of,
)
from chemistry.words import gettext_noop

TOLERANCE = 1e-9
"""Largest move of a last round, in ln units: rule of our own."""
STEPS_MAX = 200
"""Rounds before a composition is given up: rule of our own."""
STEPS_PER_ROUND = 4
"""Of Newton's method, at one ionic strength: rule of our own."""
ROUND_TOLERANCE = 1e-3
"""A round ends before that with a move so small: the next begins where it would have gone. Rule of
our own."""
SOLUTES_MOST = 10.0
"""mol/kg of everything dissolved that the activity of the water may be worked with on the way: what
was put in at another pH (ammonia of a caustic water) is out by powers of ten there. Rule of our
own."""
STEP_LARGEST = 5.0
"""Longest step of ln aH and of a free metal, in ln units: rule of our own."""


class Solver:
    """The unknowns of a water, or of a chunk of waters, and the steps that improve them.

    With `ln_ah` given the hydrogen activity stays there, and sodium or chloride is added until the
    charges are even: how much strong base (`base`, mol/kg; below zero: acid) a pH takes.
    """

    def __init__(self, plan: Plan, totals: dict[str, Any], *, ln_ah: Any = None) -> None:
        self.plan, self.totals, self.given = plan, dict(totals), dict(totals)
        shape = np.zeros(np.broadcast_shapes(*(np.shape(each) for each in totals.values())))
        blank: Any = shape if shape.ndim else 0.0
        self.fixed = ln_ah is not None
        self.base: Any = blank + 0.0
        start, strength = start_of(plan, self.totals)
        self.ln_ah = blank + (start if ln_ah is None else ln_ah)
        self.strength: Any = blank + strength
        self.a_water: Any = blank + 1.0
        present = [group.component for group in plan.metals]
        self.free = {name: self.totals[name] + blank for name in present if name in WEAK_METALS}
        self.ln_metal = {
            name: log(self.totals[name] + blank + TINY) for name in present if name in STRONG_METALS
        }
        self.reach: list[Any] = []
        self.last_moves: list[Any] = []
        self.last: Spread

    def run(self) -> None:
        """Go round until nothing moves. Errors: ChemistryError no_solution."""
        for _ in range(STEPS_MAX):
            if self.step() < TOLERANCE:
                return
        raise no_solution()

    def step(self) -> float:
        """Improve all unknowns; return the largest relative move."""
        gammas = coefficients_with(self.plan.kinds, self.strength, *self.plan.debye_hueckel)
        weights, activities = weights_of(
            self.plan, gammas, exp(self.ln_ah), self.a_water, self.free
        )
        moved = self._newton(weights)
        activities |= self._strong_activities()
        self.last = found = spread(self.plan, self.totals, exp(self.ln_ah), activities, weights)
        moved = max(moved, self._follow(found), self._strength(found))
        return max(moved, self._balanced(found)) if self.fixed else moved

    def _strong_activities(self) -> dict[str, Any]:
        return {name: exp(ln) * (self.totals[name] > 0.0) for name, ln in self.ln_metal.items()}

    def _follow(self, found: Spread) -> float:
        """Take what the ligands hold of the weakly held metals out of what is free."""
        moved = 0.0
        for name, free in self.free.items():
            new = self.totals[name] / (1.0 + found.held[name] / larger_than_zero(free))
            moved = max(moved, largest(abs(new - free) / larger_than_zero(self.totals[name])))
            self.free[name] = new
        return moved

    def _strength(self, found: Spread) -> float:
        twice = sum((amount * charge**2 for charge, amount in found.by_charge.items()), 0.0)
        solutes = sum(found.by_charge.values(), 0.0)
        moved = largest(abs(0.5 * twice - self.strength) / self.strength)
        self.strength, self.a_water = 0.5 * twice, water_activity(smaller(solutes, SOLUTES_MOST))
        return 0.01 * moved

    def _newton(self, weights: Weights) -> float:
        """Take a few steps at this ionic strength; return the largest move of the first."""
        first = 0.0
        unknowns = len(self.ln_metal) + 1
        self.reach, self.last_moves = [STEP_LARGEST] * unknowns, [0.0] * unknowns
        for turn in range(STEPS_PER_ROUND):
            moves = self._moves(weights)
            moved = max((largest(abs(move)) for move in moves), default=0.0)
            first = first if turn else moved
            if moved < ROUND_TOLERANCE:
                break
        return first

    def _moves(self, weights: Weights) -> list[Any]:
        """Move ln aH and the free metals by one step of Newton's method."""
        names = list(self.ln_metal)
        if self.fixed and not names:
            return []
        strong = self._strong_activities()
        trial = Trial(self.totals, self.free, exp(self.ln_ah), strong, weights)
        found = sums_of(self.plan, trial)
        residuals = [self._excess(found, name) for name in names]
        matrix = [
            [
                found.covariance.get((one, other), 0.0) + (one == other) * (self.totals[one] <= 0.0)
                for other in names
            ]
            for one in names
        ]
        if not self.fixed:
            residuals.append(larger(found.up, found.down) * log(found.up / found.down))
            across = [found.covariance[name, "H+"] for name in names]
            for row, value in zip(matrix, across, strict=True):
                row.append(value)
            matrix.append([*across, found.slope])
        moves = [
            self._within_reach(place, clip(-move, STEP_LARGEST))
            for place, move in enumerate(solved(matrix, residuals))
        ]
        for name, move in zip(names, moves, strict=False):
            self.ln_metal[name] = self.ln_metal[name] + move
        if not self.fixed:
            self.ln_ah = self.ln_ah + moves[-1]
        return moves

    def _within_reach(self, place: int, move: Any) -> Any:
        """Where an unknown turned back, its answer lies within its last move: go at most half of
        it."""
        last = self.last_moves[place]
        turned = move * last < 0.0
        self.reach[place] = turned * 0.5 * abs(last) + (1 - turned) * smaller(
            1.5 * self.reach[place], STEP_LARGEST
        )
        self.last_moves[place] = clip(move, self.reach[place])
        return self.last_moves[place]

    def _excess(self, found: Sums, name: str) -> Any:
        """How much more of a metal is counted than there is."""
        whole, total = found.counted[name], self.totals[name]
        return whole * log((whole + TINY) / (total + TINY))

    def _balanced(self, found: Spread) -> float:
        """Let sodium or chloride take up the unevenness of the charges."""
        charge = sum((amount * z for z, amount in found.by_charge.items()), 0.0)
        self.base = self.base - charge
        before = self.totals["Na+"]
        self.totals["Na+"] = self.given["Na+"] + larger(self.base, 0.0)
        self.totals["Cl-"] = self.given["Cl-"] + larger(-self.base, 0.0)
        self.free["Na+"] = self.free["Na+"] + self.totals["Na+"] - before
        return largest(abs(charge) / self.strength)


def solved(matrix: list[list[Any]], right: list[Any]) -> list[Any]:
    """Solve a small symmetric positive system, number by number or array by array."""
    size = len(right)
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for pivot in range(size):
        for below in range(pivot + 1, size):
            factor = rows[below][pivot] / rows[pivot][pivot]
            for column in range(pivot + 1, size + 1):
                rows[below][column] = rows[below][column] - factor * rows[pivot][column]
    found: list[Any] = [0.0] * size
    for row in reversed(range(size)):
        known = sum((rows[row][each] * found[each] for each in range(row + 1, size)), 0.0)
        found[row] = (rows[row][size] - known) / rows[row][row]
    return found


def no_solution() -> ChemistryError:
    """Return the error of a composition that did not settle."""
    return ChemistryError(
        "no_solution", gettext_noop("No equilibrium was found for this composition.")
    )
