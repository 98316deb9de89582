"""Where and when the demo's people live: one plant, its clock, its crews, and what comes next."""

import heapq
import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np

from records import clock
from records.actors import Actor
from records.demo.told import Told
from records.models import Plant, SamplePoint, Shift
from records.shifts import ShiftTime, from_local, local, shift_at

Deed = Callable[[datetime], None]


class Agenda:
    """Deeds in the order of their time, each done with the clock set to it."""

    def __init__(self) -> None:
        self._count = itertools.count()
        self._todo: list[tuple[datetime, int, Deed]] = []

    def at(self, instant: datetime, deed: Deed) -> None:
        heapq.heappush(self._todo, (instant, next(self._count), deed))

    def live(self, end: datetime) -> None:
        """Do everything that falls before the end."""
        while self._todo:
            at, _number, deed = heapq.heappop(self._todo)
            if at < end:
                with clock.clock_at(at):
                    deed(at)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """One plant between the first of its days and the present; actors by user name."""

    plant: Plant
    told: Told
    actors: Mapping[str, Actor]
    points: Mapping[str, SamplePoint]
    shifts: list[Shift]
    begin: datetime
    end: datetime
    dice: np.random.Generator
    agenda: Agenda = field(default_factory=Agenda)
    # Boilers that don't steam, by name.
    states: dict[str, str] = field(default_factory=dict)

    def days_ago(self, instant: datetime) -> float:
        return (self.end - instant) / timedelta(days=1)

    def instant(self, days: float) -> datetime:
        return self.end - timedelta(days=days)

    def shift(self, instant: datetime) -> ShiftTime:
        return shift_at(self.plant, instant, self.shifts)

    def told_shift(self, name: str) -> Told:
        return next(each for each in self.told["shifts"] if each["name"] == name)

    def crew(self, shift: ShiftTime) -> Actor:
        """Return who has a shift: the crews change about week by week."""
        crew = self.told_shift(shift.name)["crew"]
        week = int(self.days_ago(shift.starts_at)) // 7
        return self.actors[crew[week % len(crew)]]

    def tester(self, instant: datetime) -> Actor:
        return self.crew(self.shift(instant))

    def supervisor(self) -> Actor:
        told = next(p for p in self.told["people"] if "supervisor" in p["roles"])
        return self.actors[told["username"]]

    def chemist(self) -> Actor:
        return self.actors["odile"]

    def minutes(self, least: int, most: int) -> timedelta:
        return timedelta(minutes=int(self.dice.integers(least, most + 1)))

    def next_hour(self, instant: datetime, hour: int) -> datetime:
        """Return the next time at which the plant's clock stands at an hour."""
        here = local(self.plant, instant).replace(tzinfo=None)
        at = here.replace(hour=hour, minute=0, second=0, microsecond=0)
        if at <= here:
            at += timedelta(days=1)
        return from_local(self.plant, at)
