"""What was planted in the demo, asked by the time and place at which it shows."""

from collections.abc import Iterator
from datetime import datetime

from records.demo.scene import Scene
from records.demo.told import Told
from records.models import DueSlot, SamplePoint
from records.shifts import local


class Story:
    """The events of one plant's file that fall into the days that are told."""

    def __init__(self, scene: Scene) -> None:
        self._scene = scene
        longest = scene.days_ago(scene.begin)
        self._events = [each for each in scene.told["events"] if each["days"] < longest]
        self._done: set[str] = set()

    def of(self, *kinds: str) -> Iterator[Told]:
        return (each for each in self._events if each["kind"] in kinds)

    def once(self, kind: str, at: datetime, point: SamplePoint) -> Told | None:
        """Return an event that falls on this draw, the first of its day at its boiler."""
        if point.boiler is None:
            return None
        day = int(self._scene.days_ago(at))
        for told in self.of(kind):
            mark = f"{kind} {told['days']}"
            fits = int(told["days"]) == day and told["boiler"] == point.boiler.name
            if fits and mark not in self._done:
                self._done.add(mark)
                return told
        return None

    def missed(self, slot: DueSlot) -> Told | None:
        """Return why nobody came to a slot."""
        day = int(self._scene.days_ago(slot.due_at))
        name = self._scene.shift(slot.due_at).name
        fitting = (t for t in self.of("missed") if int(t["days"]) == day and t["shift"] == name)
        return next(fitting, None)

    def untested(self, slot: DueSlot, point: SamplePoint) -> Told | None:
        """Return why a slot could not be tested."""
        day = int(self._scene.days_ago(slot.due_at))
        hour = local(self._scene.plant, slot.due_at).hour
        for told in self.of("untested"):
            if (int(told["days"]), told["point"], told["hour"]) == (day, point.name, hour):
                return told
        return None

    def left(self, at: datetime, point: SamplePoint) -> bool:
        """Say whether what shows at a point from now on is left to the newcomer."""
        where = (point.name, point.boiler.name if point.boiler else "")
        return any(
            told.get("left") and at >= self._scene.instant(told["days"])
            for told in self.of("valve", "leak")
            if told.get("point", told.get("boiler")) in where
        )

    def leaking(self, at: datetime, point: SamplePoint) -> bool:
        """Say whether foreign water comes in at a point."""
        days = self._scene.days_ago(at)
        return any(
            told["days"] >= days > told["days"] - told["hours"] / 24
            for told in self.of("leak", "raw_water")
            if told["point"] == point.name
        )

    def sloppy(self, username: str, at: datetime) -> bool:
        """Say whether a tester does not look closely these days."""
        days = self._scene.days_ago(at)
        fitting = (told for told in self.of("sloppy") if told["who"] == username)
        return any(told["days"] >= days > told["until"] for told in fitting)

    def drift(self, instrument: str, at: datetime) -> float:
        """Return by how much a drifting meter shows too much, as a share."""
        days = self._scene.days_ago(at)
        for told in self.of("drift"):
            if told["instrument"] == instrument and told["days"] >= days > told["until"]:
                return float((told["days"] - days) * told["percent_a_day"] / 100.0)
        return 0.0
