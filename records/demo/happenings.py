"""What happens in the demo beside rounds: lay-up, notes, failed checks, a new program version."""

from collections.abc import Callable
from datetime import datetime, timedelta

from records import clock
from records.demo.answers import Answers
from records.demo.bench import Bench
from records.demo.checks import Checks
from records.demo.scene import Scene
from records.demo.setting import limits_of, schedule_of
from records.demo.story import Story
from records.demo.told import Told
from records.demo.waters import Waters
from records.models import Boiler, Program, State
from records.services.handover import handover_note_write
from records.services.plants import boiler_state_set
from records.services.programs import ScheduleEntry, version_put_in_force

LIGHTING = timedelta(hours=3)


class Happenings:
    """Puts the story's own deeds on the agenda of one plant."""

    def __init__(
        self, scene: Scene, story: Story, waters: Waters, bench: Bench, answers: Answers
    ) -> None:
        self._scene, self._story = scene, story
        self._waters, self._bench, self._answers = waters, bench, answers
        self._checks = Checks(scene, bench)

    def plan(self) -> None:
        """Put everything on the agenda."""
        self._checks.plan()
        deeds: dict[str, Callable[[Told], None]] = {
            "check_failed": self._check_failed,
            "version": self._version,
            "note": self._note,
            "raw_water": self._raw_water,
        }
        for kind, deed in deeds.items():
            for told in self._story.of(kind):
                self._at(told["days"], deed, told)
        for told in self._story.of("layup"):
            self._at(told["days"], self._lay_up, told)
            self._at(told["until"], self._raise_steam, told)
            self._at(told["until"] - LIGHTING / timedelta(days=1), self._steam, told)

    def _at(self, days: float, deed: Callable[[Told], None], told: Told) -> None:
        self._scene.agenda.at(self._scene.instant(days), lambda _at: deed(told))

    def _write(self, told: Told, who: str, text: str, shift_of: datetime) -> None:
        handover_note_write(
            actor=self._scene.actors[who],
            shift_of=shift_of,
            text=text,
            key=f"demo-note-{told['kind']}-{told['days']}",
        )

    def _check_failed(self, told: Told) -> None:
        self._checks.failed(told)
        self._bench.use(told["spare"])
        self._write(told, told["who"], told["note"], clock.now())

    def _note(self, told: Told) -> None:
        """Write a note shortly before the end of the next shift of that name."""
        shift = self._scene.shift(clock.now())
        while shift.name != told["shift"]:
            shift = self._scene.shift(shift.ends_at)
        who = self._scene.crew(shift).user.username
        before = shift.ends_at - timedelta(minutes=20)
        self._scene.agenda.at(before, lambda at: self._write(told, who, told["text"], at))

    def _raw_water(self, told: Told) -> None:
        """What was found is told once it is over."""
        over = clock.now() + timedelta(hours=told["hours"])
        who = self._scene.tester(over).user.username
        self._scene.agenda.at(over, lambda at: self._write(told, who, told["note"], at))

    def _version(self, told: Told) -> None:
        chemist = self._scene.chemist()
        for name in told["points"]:
            point = self._scene.points[name]
            own = {name: point}
            kept = [
                s for s in schedule_of(self._scene.told, own) if s.method not in told["methods"]
            ]
            new = [
                ScheduleEntry(
                    point=point,
                    state="steaming",
                    method=method,
                    recurrence=told["at"],
                    grace_minutes=told["grace_minutes"],
                )
                for method in told["methods"]
            ]
            program = Program.objects.get(plant=self._scene.plant, boiler=point.boiler)
            version_put_in_force(
                actor=chemist,
                program=program,
                in_force_from=clock.now(),
                limits=limits_of(self._scene.told, own),
                schedule=[*kept, *new],
                key=f"demo-{program.pk}-2",
                note=told["note"],
            )

    def _set_state(self, told: Told, state: State) -> None:
        boiler = Boiler.objects.get(plant=self._scene.plant, name=told["boiler"])
        changed = boiler_state_set(
            actor=self._scene.actors[told["who"]], boiler=boiler, state=state, since=clock.now()
        )
        self._scene.states[boiler.name] = state
        self._answers.draw_asked([changed.pk])

    def _lay_up(self, told: Told) -> None:
        self._waters.lay_up(told["boiler"])
        self._set_state(told, State.WET_LAYUP)

    def _raise_steam(self, told: Told) -> None:
        self._waters.light_off(told["boiler"])
        self._set_state(told, State.RAISING_STEAM)

    def _steam(self, told: Told) -> None:
        self._set_state(told, State.STEAMING)
