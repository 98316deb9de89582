"""The planner's problem given to another method: sequential quadratic programming on the full
solution of the water, no line drawn."""

import numpy as np
from scipy.optimize import minimize

from chemistry.planner import Found
from chemistry.planner_case import PlannerCase
from chemistry.planner_chemicals import usable
from chemistry.planner_course import ways
from chemistry.planner_lines import Line
from chemistry.solve import equilibrate
from chemistry.verdict import Side
from tests.chemistry.planner_cases import TESTED


class Rival:
    """The same limits, targets and costs as those of a plan found; the guards as they are there."""

    def __init__(self, case: PlannerCase, found: Found) -> None:
        self.case, self.span = case, found.span
        self.chemicals = usable(case)[0]
        valves = ways(case)[0]
        self.way = valves[0] if valves else None
        self.lines = [(line, self._level(line, found)) for line in found.drawn]
        self.hard = np.array([line.cost == 1000.0 for line, _ in self.lines])
        self.costs = np.array([line.cost for line, _ in self.lines])[~self.hard]

    def _level(self, line: Line, found: Found) -> float:
        """Return the level of a line in the parameter's own unit, from the case alone."""
        aim, seen = self.case.aims[line.key], found.outlooks[line.key]
        low = line.side is Side.LOW
        if line.cost == 1000.0:
            return aim.low + seen.guard if low else aim.high - seen.guard
        if aim.side is not Side.IN_RANGE:
            return aim.aimed
        return (min if low else max)(aim.aimed, aim.value)

    def water(self, plan: np.ndarray) -> dict[str, float]:
        share = float(plan[0])
        fed = self.way.course(share).fed if self.way else 0.0
        feed = self.case.feed or {}
        found = {
            key: self.case.water.get(key, 0.0) * (1.0 - share) + fed * feed.get(key, 0.0)
            for key in {*self.case.water, *feed}
        }
        for each, dose in zip(self.chemicals, plan[1:], strict=True):
            for key, part in each.brings.items():
                found[key] = found.get(key, 0.0) + part * float(dose)
        return {key: max(value, 0.0) for key, value in found.items()}

    def slacks(self, plan: np.ndarray) -> np.ndarray:
        """Return how far inside each line the water is, half ranges."""
        water = self.water(plan)
        solved = equilibrate(water)
        values = {"ph": float(solved.ph), "conductivity": float(solved.conductivity)}
        values |= {key: water.get(formula, 0.0) for key, formula in TESTED.items()}
        return np.array(
            [
                (1.0 if line.side is Side.LOW else -1.0)
                * (values[line.key] - level)
                / self.case.aims[line.key].width
                for line, level in self.lines
            ]
        )

    def cost(self, plan: np.ndarray) -> float:
        """Return water, chemicals and misses of targets together."""
        missed = np.maximum(-self.slacks(plan)[~self.hard], 0.0)
        return float(self.span.cost @ plan + self.costs @ missed)

    def best(self, start: np.ndarray) -> tuple[np.ndarray, float]:
        """Return the rival's plan and its cost, from a start; each miss of a target is a variable
        of its own, so that nothing has a corner."""
        size = len(start)
        scale = np.array([1.0, *[100.0] * (size - 1)])
        misses = np.maximum(-self.slacks(start)[~self.hard], 0.0) + 1e-3

        def held(at):
            slacks = self.slacks(at[:size] * scale)
            return np.concatenate([slacks[self.hard], slacks[~self.hard] + at[size:]])

        found = minimize(
            lambda at: self.span.cost * scale @ at[:size] + self.costs @ at[size:],
            np.concatenate([start / scale, misses]),
            method="SLSQP",
            bounds=[(0.0, most / one) for most, one in zip(self.span.most, scale, strict=True)]
            + [(0.0, None)] * len(misses),
            constraints=[{"type": "ineq", "fun": held}],
            options={"ftol": 1e-9, "maxiter": 300},
        )
        plan = np.clip(found.x[:size] * scale, 0.0, self.span.most)
        return plan, self.cost(plan)
