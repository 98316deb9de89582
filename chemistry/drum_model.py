"""What is not known of a drum, and how it goes on: the states of the filter.

Beside the concentrations: by how much the true blowdown differs from the logged one, the true feed
and dosing from the logged ones (one figure a solute), how fast phosphate hides, and how much of one
fluid leaks in. Each wanders about what is logged, and forgets it over hours or weeks
(Ornstein-Uhlenbeck); how far it may wander is a rule of our own.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from chemistry.blowdown import held_after
from chemistry.drum import Setting

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Wander:
    """How far an unknown may lie from what is logged, standard, and in how many hours it forgets
    where it was."""

    spread: float
    hours: float


BLOWDOWN = Wander(0.3, 500.0)
"""Logarithm of the true blowdown over the logged one: rule of our own."""
FEED = Wander(0.1, 48.0)
"""True feed and dosing over the logged ones, less 1: rule of our own."""
HIDEOUT = Wander(0.008, 100.0)
"""1/h: rule of our own."""
LEAK_HOURS = 600.0
"""Hours over which a leak is taken to go on: rule of our own."""
MIXING = 0.01
"""Part by which a concentration may go astray by itself in a shift: rule of our own."""
SHIFT_H = 8.0
"""Longest step worked at once, hours: rule of our own."""
_TINY = 1e-6
"""Least concentration by which a slope is taken: rule of our own."""


@dataclass(frozen=True)
class Fluid:
    """Something that may leak in: by how much each solute rises for a kg of it in a kg of water
    (chemistry.ingress_signature.Signature.change), and the kg/h that a leak of it may well be."""

    key: str
    brings: Mapping[str, float]
    spread_kg_h: float


@dataclass(frozen=True)
class Model:
    """The states of a drum: their order, how they go on, and how far they wander.

    `hides`: the solute that hides out (phosphate), or empty.
    """

    mass_kg: float
    solutes: tuple[str, ...]
    hides: str = ""
    fluid: Fluid | None = None

    @property
    def size(self) -> int:
        return 2 * len(self.solutes) + 1 + bool(self.hides) + (self.fluid is not None)

    @property
    def blowdown_at(self) -> int:
        return len(self.solutes)

    @property
    def feed_at(self) -> int:
        return len(self.solutes) + 1

    @property
    def hideout_at(self) -> int:
        return 2 * len(self.solutes) + 1

    @property
    def leak_at(self) -> int:
        return self.size - 1

    def wanders(self, scale: Any) -> tuple[Any, Array]:
        """Return standard spread and hours of memory of each state after the concentrations.

        `scale` (one for each noise assumed, as a column) multiplies what feed may do.
        """
        every = [BLOWDOWN, *[FEED] * len(self.solutes)]
        if self.hides:
            every.append(HIDEOUT)
        if self.fluid:
            every.append(Wander(self.fluid.spread_kg_h, LEAK_HOURS))
        spread = np.array([each.spread for each in every]) * np.ones_like(scale)
        spread[..., 1 : 1 + len(self.solutes)] *= scale
        return spread, np.array([each.hours for each in every])

    def step(self, states: Array, setting: Setting, hours: float) -> Array:
        """Return states, in the last axis, after hours at a setting."""
        ended = states.copy()
        _, memory = self.wanders(np.ones(1))
        ended[..., len(self.solutes) :] *= np.exp(-hours / memory)
        if setting.steaming:
            for place, solute in enumerate(self.solutes):
                ended[..., place] = self._held(states, setting, hours, place, solute)
        return ended

    def _held(
        self, states: Array, setting: Setting, hours: float, place: int, solute: str
    ) -> Array:
        blowdown = self.blowdown_kg_h(states, setting)
        gained = setting.known_gain(solute, blowdown) * (1.0 + states[..., self.feed_at + place])
        lost = blowdown
        if self.fluid:
            gained = gained + states[..., self.leak_at] * self.fluid.brings.get(solute, 0.0)
        if solute == self.hides:
            lost = lost + states[..., self.hideout_at] * self.mass_kg
        return np.asarray(held_after(states[..., place], gained, lost, self.mass_kg, hours))

    def blowdown_kg_h(self, states: Array, setting: Setting) -> Array:
        """Return the true blowdown."""
        return np.asarray(setting.blowdown_kg_h * np.exp(states[..., self.blowdown_at]))

    def slopes(self, states: Array, setting: Setting, hours: float) -> tuple[Array, Array]:
        """Return the states after a step, and how each end depends on each beginning."""
        scales = (
            np.concatenate(
                [
                    np.maximum(np.abs(states[..., : len(self.solutes)]), _TINY),
                    np.broadcast_to(
                        self.wanders(np.ones(1))[0],
                        (*states.shape[:-1], self.size - len(self.solutes)),
                    ),
                ],
                axis=-1,
            )
            * 1e-4
        )
        moved = states[..., None, :] + np.eye(self.size) * scales[..., None, :]
        every = self.step(np.concatenate([states[..., None, :], moved], axis=-2), setting, hours)
        ended = every[..., 0, :]
        slopes = (every[..., 1:, :] - ended[..., None, :]) / scales[..., :, None]
        return ended, slopes.swapaxes(-1, -2)

    def noise(self, states: Array, setting: Setting, hours: float, scale: Array) -> Array:
        """Return the variances that a step adds, one for each state."""
        spread, memory = self.wanders(scale)
        forgot = -np.expm1(-2.0 * hours / memory)
        astray = MIXING * scale * states[..., : len(self.solutes)] * setting.steaming
        return np.concatenate([astray**2 * hours / SHIFT_H, spread**2 * forgot], axis=-1)
