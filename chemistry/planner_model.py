"""The water that a plan leads to, and how each parameter answers to swap and doses.

Totals are linear in the plan: T = T0 (1 - s) + s f F + sum of d c. A pH limit is the balance of
charges at that pH, which is linear in the totals but for the ionic strength; so is an alkalinity.
A ratio of sodium to phosphate is linear once multiplied out. Only conductivity is bent, and little.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.planner_frame import TEMPERATURE_C, Charges, Vector, frame_of
from chemistry.solve import Equilibrium, equilibrate
from chemistry.titrated import M_END_POINT, P_END_POINT

END_POINTS: Mapping[str, float] = {"p_alkalinity": P_END_POINT, "m_alkalinity": M_END_POINT}


@dataclass(frozen=True)
class Directions:
    """Totals in mg/kg by formula: where the water starts, and what swap and doses change."""

    formulas: tuple[str, ...]
    start: Vector
    steps: NDArray[np.float64]
    """A row for the swap, then one for each dose in mg of product per kg of water."""

    def totals(self, plan: Vector) -> Vector:
        """Return the totals after a plan (share swapped, doses)."""
        found: Vector = np.maximum(self.start + plan @ self.steps, 0.0)
        return found


def directions(
    water: Mapping[str, float],
    feed: Mapping[str, float],
    brings: Sequence[Mapping[str, float]],
    fed_at_zero: float,
    fed_slope: float,
) -> Directions:
    """Return where a plan can move a water.

    What the swap brings in is `fed_at_zero` + `fed_slope` * share of the feedwater: the line at the
    share in mind (chemistry.planner_course).
    """
    formulas = tuple(sorted({*water, *feed, *(key for each in brings for key in each)}))

    def row(amounts: Mapping[str, float]) -> Vector:
        return np.array([amounts.get(formula, 0.0) for formula in formulas])

    start, fed = row(water), row(feed)
    steps = np.array([fed_slope * fed - start, *(row(each) for each in brings)])
    return Directions(formulas, start + fed_at_zero * fed, steps)


class State:
    """A water, solved once, with what is asked of it worked out when first asked."""

    def __init__(self, formulas: tuple[str, ...], totals: Vector) -> None:
        self.frame, self.formulas, self.totals = frame_of(formulas), formulas, totals
        self._charges: dict[float, Charges] = {}

    @cached_property
    def water(self) -> Equilibrium:
        """The water at 25 °C."""
        amounts = zip(self.formulas, self.totals.tolist(), strict=True)
        return equilibrate(dict(amounts), TEMPERATURE_C)

    @cached_property
    def ph(self) -> float:
        """Its pH."""
        return float(self.water.ph)

    @cached_property
    def conductivity(self) -> float:
        """Its conductivity, µS/cm."""
        return float(self.water.conductivity)

    def value(self, key: str) -> float:
        """Return a parameter of this water in its unit."""
        if key in ("ph", "conductivity"):
            return self.ph if key == "ph" else self.conductivity
        if key in END_POINTS:
            line = self.charges(END_POINTS[key])
            return float((line.per_mg @ self.totals + line.rest) * CACO3_MG_PER_EQUIVALENT)
        if key == "sodium_to_phosphate":
            return float(self.strong_base @ self.totals / (self.phosphate @ self.totals))
        return float(self.amount(key) @ self.totals)

    def amount(self, key: str) -> Vector:
        """Return what picks a plain amount out of the totals, in mg/kg."""
        return self.frame.amounts[key]

    @property
    def phosphate(self) -> Vector:
        """What picks the phosphate out of the totals, in mol/kg."""
        return self.amount("phosphate") / self.frame.molar

    @property
    def strong_base(self) -> Vector:
        """What picks the strong base out of the totals, in mol/kg."""
        return self.frame.strong / self.frame.molar

    def charges(self, ph: float) -> Charges:
        """Return the positive charge at a pH as a line in the totals.

        Ionic strength and free sodium are those of this water, so the line is exact where the
        water has that pH.
        """
        if ph not in self._charges:
            self._charges[ph] = self.frame.charges(ph, self.totals, self._logarithms)
        return self._charges[ph]

    @cached_property
    def conductivity_per_mg(self) -> Vector:
        """How the conductivity answers to each total, µS/cm per mg/kg.

        Ions slow each other as the root of the ionic strength, each in its own measure
        (chemistry.composition); how much in all, is what this water conducts less than they would
        alone.
        """
        frame = self.frame
        found = frame.answers(self.ph, self.totals, self._logarithms)
        alone = float(frame.conducting @ found.molal)
        slowed = alone - self.conductivity
        each = frame.slowing * slowed / float(frame.slowing @ found.molal)
        stronger = found.per_mg @ frame.squares / float(frame.squares @ found.molal)
        per_mg: Vector = found.per_mg @ (frame.conducting - each) - 0.5 * slowed * stronger
        return per_mg

    @cached_property
    def _logarithms(self) -> Vector:
        return self.frame.logarithms(self.water)
