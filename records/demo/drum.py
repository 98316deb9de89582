"""A demo boiler's drum: what its water really is at any time, by mass balance.

Solids, alkalinity and treatment come in with the feedwater and go out with the blowdown
(`chemistry.blowdown.value_after`). Nothing here knows of people, instruments or the store.
"""

import math
from datetime import datetime, timedelta

import numpy as np

from chemistry.blowdown import blowdown_from_cycles, value_after
from records.demo.told import Told

# The longest step over which the feedwater is taken as steady: rule of our own.
STEP = timedelta(hours=2)
TREATMENT = ("phosphate", "sulfite")
# Sulfite is used up by what air gets into a boiler that stands: invented.
STANDING_DAYS = 400.0


class Drum:
    """The water of one drum under changing blowdown and supply.

    Flows kg/h, masses kg, conductivity µS/cm at 25 °C, all else mg/L.
    """

    def __init__(self, told: Told, begin: datetime) -> None:
        self.steam: float = told["steam_kg_h"]
        self._mass: float = told["water_mass_kg"]
        self.most: float = told["continuous_blowdown_max_kg_h"]
        held = told["holds"]
        cycles = held["conductivity"] / told["feed_us_cm"]
        self.usual = float(blowdown_from_cycles(self.steam, cycles))
        self._what = tuple(held)
        self._value = np.array([held[what] for what in self._what])
        self._supply = self._value / cycles
        self._begin = self._at = begin
        self._fired = True
        self._flows: list[tuple[datetime, float]] = [(begin, self.usual)]
        self._supplied: list[tuple[datetime, str, float]] = []

    def plan_flow(self, instant: datetime, blowdown: float) -> None:
        """Set the blowdown from an instant on, keeping what is planned for other times."""
        self._flows = sorted([*self._flows, (instant, blowdown)])

    def set_flow(self, instant: datetime, raised: float, until: datetime, hold: float) -> None:
        """Set the blowdown for a while, then back; what was planned for that while is dropped."""
        kept = [each for each in self._flows if each[0] < instant or each[0] > until]
        self._flows = sorted([*kept, (instant, raised), (until, hold)])

    def plan_supply(self, instant: datetime, what: str, times: float) -> None:
        """Let the feedwater bring so many times the usual amount from an instant on."""
        self._supplied = sorted([*self._supplied, (instant, what, times)])

    def add(self, what: str, rise: float) -> None:
        """Dose at once."""
        self._value[self._what.index(what)] += rise

    def stand(self, contents: Told) -> None:
        """Lay the boiler up wet with this water."""
        self._value = np.array([contents.get(what, 0.0) for what in self._what])
        self._fired = False

    def fire(self, contents: Told) -> None:
        """Steam again, with this water."""
        self._value = np.array([contents[what] for what in self._what])
        self._fired = True

    def at(self, instant: datetime) -> dict[str, float]:
        """Return the water at an instant; instants must not run backward."""
        while self._at < instant:
            ends = [instant, self._at + STEP, *self._changes()]
            until = min(end for end in ends if end > self._at)
            self._step((until - self._at) / timedelta(hours=1))
            self._at = until
        return dict(zip(self._what, map(float, self._value), strict=True))

    def feed_at(self, instant: datetime) -> float:
        """Return the conductivity of the feedwater at an instant."""
        return float(self._feed(instant)[self._what.index("conductivity")])

    def _changes(self) -> list[datetime]:
        return [at for at, _flow in self._flows] + [at for at, _what, _times in self._supplied]

    def _step(self, hours: float) -> None:
        if not self._fired:
            if "sulfite" in self._what:
                self._value[self._what.index("sulfite")] *= math.exp(-hours / 24 / STANDING_DAYS)
            return
        flow = [blowdown for at, blowdown in self._flows if at <= self._at][-1]
        feed = self._feed(self._at)
        after = value_after(self._value, feed, self.steam, flow, self._mass, hours)
        self._value = np.asarray(after, dtype=float)

    def _feed(self, instant: datetime) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        """Return what the feedwater brings: it wanders with the makeup's share over hours and
        days, and the pumps of the treatment by themselves."""
        hours = (instant - self._begin) / timedelta(hours=1)
        water = 1.0 + 0.05 * math.sin(hours / 37.0) + 0.03 * math.sin(hours / 11.0)
        pumps = 1.0 + 0.06 * math.sin(hours / 51.0 + 1.0)
        times = np.array([pumps if what in TREATMENT else water for what in self._what])
        for at, which, many in self._supplied:
            if at <= instant:
                index = self._what.index(which)
                times[index] = many * (pumps if which in TREATMENT else water)
        found: np.ndarray[tuple[int], np.dtype[np.float64]] = self._supply * times
        return found
