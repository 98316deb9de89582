"""Does something leak into the drum, which fluid is it, and does phosphate hide?

The log is followed once without a leak and once for each fluid that may leak in; a fluid is named
by how much better the last days' results are foretold with it. Seawater shows in hours, river water
hardly ever: every answer says the least leak that would show.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import cast

import numpy as np

from chemistry.blowdown import held_after
from chemistry.drum import Entry, Setting, in_order
from chemistry.drum_filter import Belief, Followed, Spread, follow
from chemistry.drum_model import Fluid, Model

LEAK_Z = 3.0
"""Standard uncertainties above zero at which a leak is told of: rule of our own, by simulation."""
HIDEOUT_Z = 2.0
"""The same for hideout and its return, of which less hangs on it: rule of our own."""
RECENT_H = 72.0
"""Hours by whose results a fluid is named: rule of our own."""
NAMED_BY = 3.0
"""Logarithm of the odds by which a fluid must be ahead of the next to be named: rule of our own,
20 to 1."""
LEARN_H = 48.0
"""Hours of log before which nothing is told of: rule of our own."""
SHOWS_H = 24.0
"""Hours in which the least leak that shows is reckoned: rule of our own."""
SPREAD_TIMES = 8.0
"""How many times the least leak that shows a leak may well be: rule of our own, by simulation."""


@dataclass(frozen=True)
class Leak:
    """A fluid that leaks in, kg/h, the logarithm of its odds against no leak, and the least leak of
    it that would show in a day, kg/h."""

    fluid: Fluid
    kg_h: Spread
    evidence: float
    followed: Followed

    @property
    def told(self) -> bool:
        """Whether it is told of."""
        return self.kg_h.value >= LEAK_Z * self.kg_h.u


@dataclass(frozen=True)
class Watch:
    """What a drum's log says: followed without a leak, and with each fluid, the likeliest first."""

    without: Followed
    fluids: tuple[Leak, ...]

    @property
    def leaks(self) -> tuple[Leak, ...]:
        """The fluids that are told of; more than one where the results don't tell them apart."""
        told = [each for each in self.fluids if each.told]
        return tuple(each for each in told if told[0].evidence - each.evidence < NAMED_BY)

    @property
    def belief(self) -> Belief:
        """What is believed of the drum: with the likeliest leak, if one is told of."""
        return self.leaks[0].followed.belief if self.leaks else self.without.belief

    @property
    def hideout(self) -> str:
        """A key of drum_words.HIDEOUT: hiding, returning, or empty."""
        found = self.belief.hideout_per_h
        if found is None or abs(found.value) < HIDEOUT_Z * found.u:
            return ""
        return "hiding" if found.value > 0.0 else "returning"


def watch(
    mass_kg: float,
    solutes: Sequence[str],
    log: Iterable[Entry],
    fluids: Sequence[Fluid] = (),
    hides: str = "",
) -> Watch:
    """Return what a log says of leaks and hideout. Errors: as chemistry.drum_filter.follow."""
    entries = in_order(log)
    without = follow(Model(mass_kg, tuple(solutes), hides), entries)
    since = without.belief.at_h - RECENT_H
    learned = without.belief.at_h - entries[0].at_h >= LEARN_H
    found = []
    for fluid in fluids if learned else ():
        followed = follow(Model(mass_kg, tuple(solutes), hides, fluid), entries)
        evidence = followed.evidence(since) - without.evidence(since)
        found.append(Leak(fluid, cast(Spread, followed.belief.leak_kg_h), evidence, followed))
    return Watch(without, tuple(sorted(found, key=lambda each: -each.evidence)))


def least_that_shows(
    brings: Mapping[str, float], u: Mapping[str, float], setting: Setting, mass_kg: float
) -> float:
    """Return the leak, kg/h, that in a day moves some solute by three of its standard
    uncertainties `u`; infinite if it moves none.

    >>> setting = Setting(0.0, 20000.0, 1000.0, {})
    >>> round(least_that_shows({"chloride": 19383.0}, {"chloride": 1.0}, setting, 50000.0), 2)
    0.41
    """
    least = inf
    for solute, brought in brings.items():
        moved = float(np.abs(held_after(0.0, brought, setting.blowdown_kg_h, mass_kg, SHOWS_H)))
        if moved > 0.0 and solute in u:
            least = min(least, LEAK_Z * u[solute] / moved)
    return least


def fluid_of(
    key: str,
    brings: Mapping[str, float],
    u: Mapping[str, float],
    setting: Setting,
    mass_kg: float,
) -> Fluid:
    """Return a fluid to watch for, with the leak that it may well be.

    `brings`: change of each solute for a kg of it in a kg of water, `u` each solute's usual
    standard uncertainty.
    """
    return Fluid(key, brings, SPREAD_TIMES * least_that_shows(brings, u, setting, mass_kg))
