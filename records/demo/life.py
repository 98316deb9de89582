"""One demo plant's days, from the first round to the present."""

from collections.abc import Callable
from datetime import datetime, timedelta

from records import clock
from records.demo.answers import Answers
from records.demo.bench import Bench
from records.demo.happenings import Happenings
from records.demo.rounds import Rounds
from records.demo.scene import Deed, Scene
from records.demo.sheets import Sheets
from records.demo.story import Story
from records.demo.waters import Waters
from records.models import SamplePoint
from records.services.slots import slots_expand

# A condensate that leaks at the very end is found this long before it.
FOUND = timedelta(minutes=25)
# Progress is told after so many days.
TOLD_EVERY = 20
Say = Callable[[str], None]


class Life:
    """Lives one plant's days in the order of time."""

    def __init__(self, scene: Scene, say: Say) -> None:
        self._scene, self._say = scene, say
        self._story = Story(scene)
        self._waters = Waters(scene, self._story)
        bench = Bench(scene.told, self._story, scene.dice)
        self._rounds = Rounds(scene, self._story, self._waters, bench)
        self._answers = Answers(scene, self._story, self._waters, self._rounds)
        self._happenings = Happenings(scene, self._story, self._waters, bench, self._answers)
        self._sheets = Sheets(scene, self._story)

    def live(self) -> None:
        """Replay everything from the first round to the end."""
        self._happenings.plan()
        self._plan_rounds()
        self._sheets.plan()
        self._plan_found()
        self._plan_telling()
        self._scene.agenda.live(self._scene.end)

    def _plan_rounds(self) -> None:
        """Lay the slots of the calendar, up to a new version and from there on to a day ahead."""
        ends = [self._scene.instant(told["days"]) for told in self._story.of("version")]
        first = min(ends, default=None)
        with clock.clock_at(self._scene.begin):
            self._lay(self._scene.begin, first)
        if first is not None:
            # After the new version, which was put on the agenda before.
            self._scene.agenda.at(first, lambda at: self._lay(at, None))

    def _lay(self, since: datetime, until: datetime | None) -> None:
        slots_expand(self._scene.plant, until or self._scene.end + timedelta(hours=24))
        for slots in self._rounds.due_between(since, until or self._scene.end):
            at = slots[0].due_at + self._scene.minutes(14, 28)
            self._scene.agenda.at(
                at,
                lambda now, s=slots: self._answers.follow(self._rounds.go(s, now)),  # type: ignore[misc]
            )

    def _plan_found(self) -> None:
        for told in self._story.of("leak"):
            if told.get("found"):
                for name in told["points"]:
                    find = self._find(self._scene.points[name])
                    self._scene.agenda.at(self._scene.end - FOUND, find)

    def _find(self, point: SamplePoint) -> Deed:
        """Return the draw that finds a leak, which no slot asks for."""
        return lambda at: self._answers.follow(self._rounds.draw_unasked(point, "conductivity", at))

    def _plan_telling(self) -> None:
        name, days = self._scene.told["name"], int(self._scene.days_ago(self._scene.begin))
        for day in range(TOLD_EVERY, days, TOLD_EVERY):
            said = f"{name}: day {day} of {days}"
            at = self._scene.begin + timedelta(days=day)
            self._scene.agenda.at(at, lambda _at, s=said: self._say(s))  # type: ignore[misc]
