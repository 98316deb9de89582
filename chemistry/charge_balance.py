"""Newton's method for the balance of charges, for one water or a chunk of waters at once.

At a fixed ionic strength the equations are the gradient of a convex function of ln aH and of the
logarithms of the free metals, so they have one answer; residuals are taken as logarithms of what
must be equal, which keeps the steps short far from it. Activity coefficients and weakly held metals
follow from one step to the next.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from chemistry.activity import coefficients_with, water_activity
from chemistry.arrays import clip, exp, larger, largest, log, smaller
from chemistry.errors import ChemistryError
from chemistry.speciation import (
    START_LN_AH,
    START_STRENGTH,
    STRONG_METALS,
    TINY,
    WEAK_METALS,
    Plan,
    Spread,
    larger_than_zero,
    spread,
)
from chemistry.words import gettext_noop

TOLERANCE = 1e-8
"""Largest last step, in ln units."""
STEPS_MAX = 200
STEP_LARGEST = 5.0
"""Longest step of ln aH and of a free metal, in ln units."""
CHARGE_OF: Mapping[str, int] = {"Na+": 1, "Cl-": -1}
"""Of the totals that can balance the charges at a fixed pH."""


class Solver:
    """The unknowns of a water, or of a chunk of waters, and the steps that improve them.

    With `ln_ah` given the hydrogen activity stays there, and the total of `balance` is what makes
    the charges even: how much strong base or acid a pH takes.
    """

    def __init__(
        self, plan: Plan, totals: dict[str, Any], *, ln_ah: Any = None, balance: str = ""
    ) -> None:
        self.plan, self.totals, self.balance = plan, dict(totals), balance
        shape = np.zeros(np.broadcast_shapes(*(np.shape(each) for each in totals.values())))
        blank: Any = shape if shape.ndim else 0.0
        self.fixed = ln_ah is not None
        self.ln_ah = blank + (START_LN_AH if ln_ah is None else ln_ah)
        self.strength: Any = blank + START_STRENGTH
        self.a_water: Any = blank + 1.0
        present = [group.component for group in plan.metals]
        self.free = {name: self.totals[name] + blank for name in present if name in WEAK_METALS}
        self.ln_metal = {
            name: log(self.totals[name] + blank + TINY) for name in present if name in STRONG_METALS
        }
        self.reach: Any = blank + STEP_LARGEST
        self.last_move: Any = blank + 0.0
        self.last: Spread

    def run(self) -> None:
        """Step until nothing moves. Errors: ChemistryError no_solution."""
        for _ in range(STEPS_MAX):
            if self.step() < TOLERANCE:
                return
        raise no_solution()

    def step(self) -> float:
        """Improve all unknowns once; return the largest relative move."""
        gammas = coefficients_with(self.plan.kinds, self.strength, *self.plan.debye_hueckel)
        a_h = exp(self.ln_ah)
        self.last = found = spread(
            self.plan, self.totals, a_h, self.a_water, self._activities(gammas, a_h), gammas
        )
        moved = max(self._follow(found), self._newton(found))
        return max(moved, self._strength(found))

    def _activities(self, gammas: list[Any], a_h: Any) -> dict[str, Any]:
        activities = {}
        for group in self.plan.metals:
            name = group.component
            if name in self.ln_metal:
                activities[name] = exp(self.ln_metal[name]) * (self.totals[name] > 0.0)
                continue
            whole: Any = 0.0
            for term in group.terms:
                share = term.constant / gammas[term.kind]
                whole = whole + (share * a_h**term.protons if term.protons else share)
            activities[name] = self.free[name] / whole
        return activities

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
        self.strength, self.a_water = 0.5 * twice, water_activity(solutes)
        return 0.01 * moved

    def _newton(self, found: Spread) -> float:
        """Move ln aH (or the balancing total) and the free metals; return the largest move."""
        names = list(self.ln_metal)
        positive = sum((a * z for z, a in found.by_charge.items() if z > 0), 0.0)
        negative = sum((a * -z for z, a in found.by_charge.items() if z < 0), 0.0)
        residuals = [self._excess(found, name) for name in names]
        matrix = [
            [
                found.covariance.get((one, other), 0.0) + (one == other) * (self.totals[one] <= 0.0)
                for other in names
            ]
            for one in names
        ]
        if not self.fixed:
            residuals.append(self._uneven(found, positive, negative))
            across = [found.covariance[name, "H+"] for name in names]
            for row, value in zip(matrix, across, strict=True):
                row.append(value)
            matrix.append([*across, found.proton_slope])
        moves: list[Any] = [clip(-move, STEP_LARGEST) for move in solved(matrix, residuals)]
        for name, move in zip(names, moves, strict=False):
            self.ln_metal[name] = self.ln_metal[name] + move
        if not self.fixed:
            moves[-1] = self._within_reach(moves[-1])
            self.ln_ah = self.ln_ah + moves[-1]
        moved = max((largest(abs(move)) for move in moves), default=0.0)
        return max(moved, self._balanced(positive - negative)) if self.balance else moved

    def _within_reach(self, move: Any) -> Any:
        """Where ln aH turned back, the answer lies within its last move: go at most half of it."""
        turned = move * self.last_move < 0.0
        self.reach = turned * 0.5 * abs(self.last_move) + (1 - turned) * smaller(
            1.5 * self.reach, STEP_LARGEST
        )
        self.last_move = clip(move, self.reach)
        return self.last_move

    def _excess(self, found: Spread, name: str) -> Any:
        """How much more of a metal is counted than there is."""
        whole, total = found.own[name] + found.held[name], self.totals[name]
        return whole * log((whole + TINY) / (total + TINY))

    def _uneven(self, found: Spread, positive: Any, negative: Any) -> Any:
        """The charges' unevenness, were the metals what their totals say."""
        surplus: Any = 0.0
        for name in self.ln_metal:
            surplus = surplus + 2.0 * (found.own[name] + found.held[name] - self.totals[name])
        up = positive + larger(-surplus, 0.0)
        down = negative + larger(surplus, 0.0)
        return larger(up, down) * log(up / down)

    def _balanced(self, charge: Any) -> float:
        """Let the balancing total take up the unevenness of the charges."""
        added = -charge / CHARGE_OF[self.balance]
        self.totals[self.balance] = self.totals[self.balance] + added
        if self.balance in self.free:
            self.free[self.balance] = self.free[self.balance] + added
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
