"""The demo's rounds: what falls due together is drawn, tested and entered in one write."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import groupby
from uuid import UUID

from records.actors import Actor
from records.demo.bench import Bench, Look
from records.demo.scene import Scene
from records.demo.story import Story
from records.demo.told import Told
from records.demo.waters import Waters
from records.models import Boiler, DueSlot, SamplePoint, State
from records.selectors.bench import TestEntry, draw_of, tests_work
from records.selectors.programs import state_at
from records.services.samples import SampleEntry, TestsRefused, samples_register
from records.services.slot_answers import slots_excuse

# From one bottle of a round to the next.
APART = timedelta(minutes=4)
# Every line of the demo's schedules comes back within these days.
_NEWEST = timedelta(days=8)
_READ_WITH = ("sample_point", "line", "follow_up", "event_draw")


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A sample as it was entered: who drew it when, what the water truly held, what was planted."""

    key: UUID
    point: SamplePoint
    by: Actor
    at: datetime
    water: Mapping[str, float]
    planted: Mapping[str, Told]


class Rounds:
    """Draws what is due at one plant."""

    def __init__(self, scene: Scene, story: Story, waters: Waters, bench: Bench) -> None:
        self._scene, self._story, self._waters, self._bench = scene, story, waters, bench
        self._people = {each["username"]: each for each in scene.told["people"]}
        self._points = {point.pk: point for point in scene.points.values()}

    def due_between(self, since: datetime, until: datetime) -> list[list[DueSlot]]:
        """Return the slots of the calendar, those of one time together."""
        found = DueSlot.objects.filter(
            plant=self._scene.plant, line__isnull=False, due_at__gte=since, due_at__lt=until
        )
        slots = found.select_related(*_READ_WITH).order_by("due_at", "sample_point__position")
        return [list(group) for _at, group in groupby(slots, key=lambda slot: slot.due_at)]

    def go(self, slots: Sequence[DueSlot], at: datetime) -> list[Drawn]:
        """Test what is to be tested of these slots; excuse, or leave, what the story tells."""
        wanted = [slot for slot in slots if self._fits_state(slot)]
        missed = [slot for slot in wanted if self._story.missed(slot)]
        why = self._story.missed(missed[0]) if missed else None
        if why is not None and "who" in why:
            said = (missed, self._scene.actors[why["who"]], "other", why["words"])
            self._scene.agenda.at(at + timedelta(hours=7), lambda _at: self._excuse(*said))
        testable = []
        for slot in (each for each in wanted if each not in missed):
            shut = self._story.untested(slot, self._point(slot))
            if shut is not None:
                self._excuse([slot], self._scene.tester(at), shut["reason"], shut["words"])
            elif not self._left_undone(slot):
                testable.append(slot)
        return self.draw(testable, at)

    def draw(self, slots: Sequence[DueSlot], at: datetime) -> list[Drawn]:
        """Draw one sample at each point of these slots and enter them together."""
        by_point: dict[UUID, list[DueSlot]] = {}
        for slot in slots:
            by_point.setdefault(slot.sample_point_id, []).append(slot)
        number = len(by_point)
        planned = [
            (group, self._points[pk], at - APART * (number - 1 - place))
            for place, (pk, group) in enumerate(by_point.items())
        ]
        return self._enter([self._sample(*each) for each in planned])

    def draw_unasked(self, point: SamplePoint, method: str, at: datetime) -> list[Drawn]:
        """Draw what no slot asks for."""
        return self._enter([self._sample([], point, at, method)])

    def test_again(self, drawn: Drawn, method: str) -> TestEntry:
        """Return a test of the same bottle, read rightly, as somebody confirms it."""
        who = self._people[drawn.by.user.username]
        plain = replace(drawn, planted={})
        look = Look(who=who, at=drawn.at, point=drawn.point.name, instead={})
        test = self._bench.test(method, plain.water, look)
        return self._looked_at(plain.point, plain.at, [test])[0]

    def _sample(
        self, slots: Sequence[DueSlot], point: SamplePoint, at: datetime, method: str = ""
    ) -> tuple[SampleEntry, Drawn]:
        by = self._scene.tester(at)
        water = self._waters.at(point, at)
        tests = dict.fromkeys([slot.method for slot in slots] or [method])
        planted: dict[str, Told] = {}
        if "conductivity" in tests and slots:
            for kind in ("slip", "amended", "spare"):
                told = self._story.once(kind, at, point)
                planted |= {kind: told} if told else {}
        seen = dict(water)
        seen["conductivity"] = water.get("conductivity", 0.0) * _wrong(planted)
        look = Look(
            who=self._people[by.user.username],
            at=at,
            point=point.name,
            instead=self._instead(planted),
        )
        drawn = Drawn(key=UUID(int=0), point=point, by=by, at=at, water=water, planted=planted)
        entry = SampleEntry(
            key=f"demo-{slots[0].pk if slots else point.pk}",
            point=point,
            slot=slots[0] if slots else None,
            drawn_at=at,
            opened_at=at,
            tests=tuple(self._bench.test(each, seen, look) for each in tests),
        )
        return entry, drawn

    def _instead(self, planted: Mapping[str, Told]) -> dict[str, str]:
        told = planted.get("spare")
        if told is None:
            return {}
        kind = self._bench.instrument(told["instrument"]).kind
        return {kind: told["instrument"], "reason": told["reason"]}

    def _enter(self, samples: Sequence[tuple[SampleEntry, Drawn]]) -> list[Drawn]:
        """Enter samples, each person's together; what the program asks about is looked at again
        and confirmed."""
        entered: list[Drawn] = []
        for _who, group in groupby(samples, key=lambda each: each[1].by.user_id):
            told = list(group)
            actor, entries = told[0][1].by, [entry for entry, _drawn in told]
            try:
                keys = samples_register(actor=actor, entries=entries)
            except TestsRefused:
                keys = samples_register(actor=actor, entries=[self._confirmed(e) for e in entries])
            drawn = (each for _entry, each in told)
            entered += [replace(d, key=key) for d, key in zip(drawn, keys, strict=True)]
        return entered

    def _confirmed(self, entry: SampleEntry) -> SampleEntry:
        tests = self._looked_at(entry.point, entry.drawn_at, entry.tests)
        return replace(entry, tests=tuple(tests))

    def _looked_at(
        self, point: SamplePoint, at: datetime, tests: Iterable[TestEntry]
    ) -> list[TestEntry]:
        works = tests_work(draw_of(point, state_at(point.boiler, at), at), tuple(tests))
        return [replace(work.entry, confirmed=work.to_confirm) for work in works]

    def _excuse(self, slots: list[DueSlot], who: Actor, reason: str, words: str) -> None:
        key = f"demo-why-{slots[0].pk}"
        slots_excuse(actor=who, slots=slots, reason=reason, words=words, key=key)

    def _point(self, slot: DueSlot) -> SamplePoint:
        return self._points[slot.sample_point_id]

    def _fits_state(self, slot: DueSlot) -> bool:
        boiler: Boiler | None = self._point(slot).boiler
        state = self._scene.states.get(boiler.name, State.STEAMING) if boiler else State.STEAMING
        return slot.line is None or slot.line.state == state

    def _left_undone(self, slot: DueSlot) -> bool:
        """Say whether this is the newest slot of a boiler that the story leaves overdue."""
        boiler = self._point(slot).boiler
        told = any(boiler and each["boiler"] == boiler.name for each in self._story.of("overdue"))
        if not told or slot.line is None or self._scene.end - slot.due_at > _NEWEST:
            return False
        later = DueSlot.objects.filter(
            plant=self._scene.plant,
            sample_point=slot.sample_point_id,
            line__isnull=False,
            due_at__gt=slot.due_at,
            due_at__lt=self._scene.end,
        )
        return not later.exists()


def _wrong(planted: Mapping[str, Told]) -> float:
    """Return by which factor a planted mistake makes a reading wrong."""
    return (0.1 if "slip" in planted else 1.0) * (1.06 if "amended" in planted else 1.0)
