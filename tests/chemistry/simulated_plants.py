"""Simulated drums and a condensate of invented plants: what their water truly was.

A drum is a mass balance with wandering feed and load, and a valve that people move. Nothing here is
measured at a plant: kinds, sizes and habits are invented, from a steady mill to a restless dairy.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

DRAWS = 80


@dataclass(frozen=True)
class Kind:
    """A kind of sample point: flows in kg/h, masses in kg, µS/cm, hours between draws.

    `wander` and `load_wander`: relative standard deviation of feed and load about their means.
    `bottom`: share of the water that one bottom blow takes after each draw; 0 means a valve.
    """

    name: str
    mass: float
    steam: float
    feed: float
    cycles: float
    hours: float
    wander: float
    load_wander: float
    bottom: bool = False


MILL = Kind("mill, watertube", 50e3, 20e3, 80.0, 25.0, 8.0, 0.05, 0.08)
HOSPITAL = Kind("hospital, firetube", 9e3, 2.5e3, 250.0, 12.0, 12.0, 0.06, 0.15)
DAIRY = Kind("dairy, firetube, bottom blow", 8e3, 1.5e3, 200.0, 14.0, 12.0, 0.10, 0.20, True)
DRUMS = (MILL, HOSPITAL, DAIRY)
CONDENSATE = Kind("condensate", 1.0, 0.0, 15.0, 1.0, 8.0, 0.20, 0.0)


@dataclass(frozen=True)
class Draw:
    """What the water truly was: µS/cm at 25 °C; `label` is ordinary, first (of an excursion) or
    later (in it, or on the way back)."""

    kappa25: float
    label: str


def _wandering(rng: np.random.Generator, deviation: float, steps: int, hours: float) -> list[float]:
    """Return factors about 1 that wander with a time constant of `hours`, one an hour."""
    kept = math.exp(-1.0 / hours)
    state, found = rng.normal() * deviation, []
    for kick in rng.normal(size=steps) * deviation * math.sqrt(1.0 - kept**2):
        state = state * kept + kick
        found.append(math.exp(state))
    return found


@dataclass
class _Trouble:
    """An excursion under way: what it does to blowdown and feed, and for how many more draws."""

    blowdown: float = 1.0
    feed: float = 1.0
    left: int = 0
    quiet: int = 10

    def begin(self, rng: np.random.Generator) -> None:
        which = rng.random()
        if which < 0.6:  # a valve left shut, or nearly
            self.blowdown = rng.uniform(0.0, 0.3)
        elif which < 0.8:  # left wide open
            self.blowdown = rng.uniform(2.0, 5.0)
        else:  # raw water, or condensate gone bad
            self.feed = rng.uniform(1.5, 3.0)
        self.left, self.quiet = int(rng.integers(1, 4)), 10

    def end(self) -> None:
        self.blowdown = self.feed = 1.0


class _Drum:
    """A drum and the people who move its valve."""

    def __init__(self, rng: np.random.Generator, kind: Kind) -> None:
        self.rng, self.kind = rng, kind
        self.feed = kind.feed * rng.uniform(0.7, 1.4)
        self.target = self.feed * kind.cycles
        self.value = self.target * rng.uniform(0.85, 1.1)
        self.valve = self.usual = kind.steam / (kind.cycles - 1.0)

    def hour(self, feed: float, load: float, blowdown: float) -> None:
        steam = self.kind.steam * load
        gained = self.feed * feed * (steam + blowdown)
        self.value += (gained - blowdown * self.value) / self.kind.mass

    def tended(self, trouble: _Trouble) -> None:
        """Move the valve as people do after a draw; sometimes for no reason."""
        ratio = self.value / self.target
        if not trouble.left and not 0.88 < ratio < 1.12:
            self.valve = self.usual * min(max(ratio, 0.5), 2.0) * self.rng.uniform(0.85, 1.15)
        elif self.rng.random() < 0.05:
            self.valve = self.usual * self.rng.uniform(0.8, 1.25)

    def draws(self) -> Iterator[Draw]:
        kind, rng, trouble = self.kind, self.rng, _Trouble()
        hours = int(kind.hours)
        feed = _wandering(rng, kind.wander, hours * DRAWS, 40.0)
        load = _wandering(rng, kind.load_wander, hours * DRAWS, 12.0)
        before, label = self.value, "ordinary"
        for draw in range(DRAWS):
            begins = rng.integers(hours) if self._begins(trouble, label) else -1
            if begins >= 0:
                before = self.value
            for hour in range(hours):
                if hour == begins:
                    trouble.begin(rng)
                at = draw * hours + hour
                blowdown = 0.0 if kind.bottom else self.valve
                self.hour(feed[at] * trouble.feed, load[at], blowdown * trouble.blowdown)
            if begins >= 0:
                label = "first"
            elif label != "ordinary":
                back = not trouble.left and abs(self.value / before - 1.0) < 0.1
                label = "ordinary" if back else "later"
            yield Draw(self.value, label)
            self._after(trouble)

    def _begins(self, trouble: _Trouble, label: str) -> bool:
        trouble.quiet -= 1
        return trouble.quiet <= 0 and label == "ordinary" and bool(self.rng.random() < 0.06)

    def _after(self, trouble: _Trouble) -> None:
        if trouble.left:
            trouble.left -= 1
            if not trouble.left:
                trouble.end()
        self.tended(trouble)
        if self.kind.bottom:  # one bottom blow a draw, by feel
            share = self.valve * self.kind.hours / self.kind.mass
            blown = min(share * self.rng.uniform(0.6, 1.4) * trouble.blowdown, 0.5)
            self.value += (self.feed - self.value) * blown


def draws_of(rng: np.random.Generator, kind: Kind) -> list[Draw]:
    """Return one honest series. A condensate only wanders, and now and then takes a leak."""
    if kind is not CONDENSATE:
        return list(_Drum(rng, kind).draws())
    level = kind.feed * rng.uniform(0.3, 2.5)
    leak, found = 0, []
    for factor in _wandering(rng, kind.wander, DRAWS, 4.0):
        first = leak == 0 and rng.random() < 0.03
        leak = int(rng.integers(1, 4)) if first else max(leak - 1, 0)
        times = rng.uniform(1.5, 6.0) if first or leak else 1.0
        found.append(
            Draw(level * factor * times, ("first" if first else "later") if leak else "ordinary")
        )
    return found
