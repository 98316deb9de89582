"""What was planted in the demo, asked by the time and place at which it shows."""

from collections.abc import Iterator
from datetime import datetime

from records.demo.scene import Scene
from records.demo.told import Told
from records.models import DueSlot, SamplePoint
from records.shifts import ShiftTime, local


class Story:
    """The events of one plant's file that fall into the days that are told."""

    def __init__(self, scene: Scene) -> None:
        self._scene = scene
        longest = scene.days_ago(scene.begin)
        self._events = [each for each in scene.told["events"] if each["days"] < longest]
        # When each event was met that falls on one draw, or round, or sheet alone.
        self._met: dict[str, datetime] = {}

    def of(self, *kinds: str) -> Iterator[Told]:
        return (each for each in self._events if each["kind"] in kinds)

    def _meets(self, told: Told, at: datetime) -> bool:
        """Say whether something fitting at an instant is the first since an event's time."""
        if at < self._scene.instant(told["days"]):
            return False
        return self._met.setdefault(f"{told['kind']} {told['days']}", at) == at

    def once(self, kind: str, at: datetime, point: SamplePoint) -> Told | None:
        """Return an event that falls on this draw, the first at its boiler since its time."""
        boiler = point.boiler.name if point.boiler else ""
        fitting = (t for t in self.of(kind) if t["boiler"] == boiler and self._meets(t, at))
        return next(fitting, None)

    def missed(self, slot: DueSlot) -> Told | None:
        """Return why nobody came to a slot."""
        name = self._scene.shift(slot.due_at).name
        fitting = (t for t in self.of("missed") if t["shift"] == name)
        return next((t for t in fitting if self._meets(t, slot.due_at)), None)

    def untested(self, slot: DueSlot, point: SamplePoint) -> Told | None:
        """Return why a slot could not be tested."""
        here = (point.name, local(self._scene.plant, slot.due_at).hour)
        fitting = (t for t in self.of("untested") if (t["point"], t["hour"]) == here)
        return next((t for t in fitting if self._meets(t, slot.due_at)), None)

    def returned(self, shift: ShiftTime) -> Told | None:
        """Return why the sheet of a shift goes back to its tester, the first time."""
        fitting = (t for t in self.of("returned") if t["shift"] == shift.name)
        if told := next((t for t in fitting if self._meets(t, shift.starts_at)), None):
            self._events.remove(told)
        return told

    def left(self, at: datetime, point: SamplePoint) -> bool:
        """Say whether what shows at a point from now on is left to the newcomer."""
        where = (point.name, point.boiler.name if point.boiler else "")
        return any(
            told.get("left") and at >= self._scene.instant(told["days"])
            for told in self.of("valve", "leak")
            if any(place in where for place in told.get("points", [told.get("boiler")]))
        )

    def leaking(self, at: datetime, point: SamplePoint) -> bool:
        """Say whether foreign water comes in at a point."""
        days = self._scene.days_ago(at)
        return any(
            told["days"] >= days > told["days"] - told["hours"] / 24
            for told in self.of("leak", "raw_water")
            if point.name in told["points"]
        )

    def sloppy(self, username: str, at: datetime, point: str) -> bool:
        """Say whether a tester does not look closely at a point these days."""
        days = self._scene.days_ago(at)
        here = (t for t in self.of("sloppy") if t["who"] == username and t["point"] == point)
        return any(told["days"] >= days > told["until"] for told in here)

    def drift(self, instrument: str, at: datetime) -> float:
        """Return by how much a drifting meter shows too much, as a share."""
        days = self._scene.days_ago(at)
        for told in self.of("drift"):
            if told["instrument"] == instrument and told["days"] >= days > told["until"]:
                return float((told["days"] - days) * told["percent_a_day"] / 100.0)
        return 0.0
