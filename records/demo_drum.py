"""A demo boiler's drum: what its water really is at any time, by mass balance."""

import json
import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from chemistry.blowdown import blowdown_from_cycles, value_after
from records.models import Remedy


@dataclass(frozen=True)
class Followed:
    """How a remedy was followed: for how long, and in the tester's words."""

    hours: float
    words: str


class Drum:
    """Conductivity of one drum over time under changing blowdown. Flows kg/h, masses kg, µS/cm."""

    def __init__(self, told: dict[str, Any], begin: datetime) -> None:
        self.feed: float = told["feed_us_cm"]
        self.steam: float = told["steam_kg_h"]
        self._mass: float = told["water_mass_kg"]
        self._begin = begin
        self._at, self._value = begin, float(told["start_us_cm"])
        usual = blowdown_from_cycles(self.steam, told["start_us_cm"] / self.feed)
        self._flows: list[tuple[datetime, float]] = [(begin, float(usual))]

    def set_flow(self, instant: datetime, blowdown: float) -> None:
        """Set the blowdown from an instant on; what was planned for later is dropped."""
        self._flows = [each for each in self._flows if each[0] < instant] + [(instant, blowdown)]

    def plan_flow(self, instant: datetime, blowdown: float) -> None:
        """Set the blowdown from an instant on, keeping what is planned for other times."""
        self._flows = sorted([*self._flows, (instant, blowdown)])

    def value_at(self, instant: datetime) -> float:
        """Return the water at an instant; instants must not run backward."""
        changes = [at for at, _flow in self._flows if self._at < at < instant]
        for until in [*changes, instant]:
            hours = (until - self._at) / timedelta(hours=1)
            flow = [blowdown for at, blowdown in self._flows if at <= self._at][-1]
            feed = self.feed_at(self._at)
            after = value_after(self._value, feed, self.steam, flow, self._mass, hours)
            self._value = float(after)
            self._at = until
        return self._value

    def feed_at(self, instant: datetime) -> float:
        """Return the feedwater, which wanders with the makeup's share over hours and days."""
        hours = (instant - self._begin) / timedelta(hours=1)
        return self.feed * (1.0 + 0.05 * math.sin(hours / 37.0) + 0.03 * math.sin(hours / 11.0))

    def follow(self, remedy: Remedy, at: datetime) -> Followed:
        """Do what a remedy says from an instant on."""
        if remedy.refusal:
            return Followed(0.0, "No figure given; called the chemist")
        plan = json.loads(remedy.plan)
        hours, raised, hold = (float(plan[k]) for k in ("hours", "raise_to_kg_h", "hold_kg_h"))
        later = [each for each in self._flows if each[0] > at]
        self.set_flow(at, raised)
        self.set_flow(at + timedelta(hours=hours), hold)
        for instant, flow in later:
            if instant > at + timedelta(hours=hours):
                self.plan_flow(instant, flow)
        return Followed(hours, f"continuous valve opened for {hours:.1f} h, then set back")
