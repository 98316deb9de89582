"""Register samples with their tests: the one way by which a reading becomes a record."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from uuid import UUID

from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.errors import EntryError
from records import canonical, clock
from records.actors import Actor
from records.errors import RecordError, fitting, not_here
from records.models import DueSlot, LogSheet, Sample, SamplePoint, SentSample, Shift
from records.permissions import Deed
from records.selectors.bench import (
    Draw,
    TestEntry,
    Trouble,
    WorkedTest,
    Worth,
    draw_of,
    tests_work,
)
from records.selectors.instruments import Shelf, shelf_of
from records.selectors.programs import state_at
from records.services.drafts import draft_finish
from records.services.event_slots import sample_slots_open
from records.services.follow_ups import follow_ups_answer, follow_ups_open, stops_open
from records.services.measurements import measurements_write
from records.services.once import stored_once
from records.services.sheet_opening import sheet_open_of
from records.services.slot_answers import slots_answer
from records.shifts import ShiftTime, shift_at, shifts_of, utc_offset

IN_THE_FUTURE = gettext_noop("The sample can't have been drawn later than now.")
TOO_LONG_AGO = gettext_noop("That is more than %(days)s days ago. Look at the date again.")
NOTHING_TESTED = gettext_noop("Nothing is filled in yet.")

# A clock at a bench may run this much ahead of the server's: rule of our own.
CLOCK_SLACK = timedelta(minutes=2)
# A draw older than this is a slip of the date: rule of our own.
OLDEST_DRAW = timedelta(days=30)
# Entered this long after the draw, an entry is late and says so: rule of our own.
LATE_AFTER = timedelta(hours=2)
_LONGEST_NOTE = 300


class TestsRefused(RecordError):  # noqa: N818
    """Some of what was typed can't be used; `by_test` holds the trouble by test and field."""

    __test__ = False

    def __init__(self, by_test: dict[str, dict[str, Trouble]]) -> None:
        super().__init__("tests_refused", NOTHING_TESTED)
        self.by_test = by_test


@dataclass(frozen=True, kw_only=True)
class SampleEntry:
    """One sample as typed. `key` makes a repeat harmless: a draft's id, or the sender's own."""

    key: str
    point: SamplePoint
    drawn_at: datetime
    opened_at: datetime
    tests: tuple[TestEntry, ...]
    slot: DueSlot | None = None
    note: str = ""


def samples_register(*, actor: Actor, entries: Sequence[SampleEntry]) -> list[UUID]:
    """Store samples with worked and judged tests; returns their keys, a repeat the first ones.

    Raises RecordError for a draw time that can't be, TestsRefused for readings that can't be used;
    nothing of that sample is stored then.
    """
    for entry in entries:
        actor.require(Deed.TEST, entry.point, entry.slot)
        if entry.slot is not None and entry.slot.sample_point_id != entry.point.pk:
            raise not_here()
    actor.require(Deed.TEST)
    # Read once, and only for what is new.
    shelf = lru_cache(lambda: shelf_of(actor.plant.pk))
    shifts = lru_cache(lambda: shifts_of(actor.plant))
    return [
        stored_once(
            actor=actor,
            key=entry.key,
            operation="sample_register",
            body=_body(entry),
            write=_Writer(actor, entry, shelf, shifts),
        )
        for entry in entries
    ]


def draw_check(drawn_at: datetime) -> None:
    """Raise RecordError for a draw in the future or implausibly long ago."""
    now = clock.now()
    if drawn_at > now + CLOCK_SLACK:
        raise RecordError("future_draw", IN_THE_FUTURE, field="drawn_at")
    if drawn_at < now - OLDEST_DRAW:
        raise RecordError("old_draw", TOO_LONG_AGO, field="drawn_at", days=str(OLDEST_DRAW.days))


@dataclass(frozen=True)
class _Writer:
    """Writes one sample; called once, inside the transaction of its key."""

    actor: Actor
    entry: SampleEntry
    shelf: Callable[[], Shelf]
    shifts: Callable[[], Sequence[Shift]]

    def __call__(self) -> UUID:
        entry = self.entry
        draw_check(entry.drawn_at)
        state = state_at(entry.point.boiler, entry.drawn_at)
        draw = draw_of(entry.point, state, entry.drawn_at, self.shelf())
        works = worked(draw, entry.tests)
        _refuse_trouble(works)
        shift = shift_at(self.actor.plant, entry.drawn_at, self.shifts())
        sheet = sheet_open_of(self.actor.plant, shift)
        sample = self._sample(sheet, shift, state)
        if self.actor.token is not None:
            SentSample.objects.create(plant=sample.plant, sample=sample, token=self.actor.token)
        made = measurements_write(self.actor, sample=sample, sheet=sheet, works=works)
        follow_ups_open(actor=self.actor, written=made)
        stops_open(actor=self.actor, sample=sample, written=made, past=draw.past)
        follow_ups_answer(actor=self.actor, sample=sample, tested=made.methods_trusted)
        sample_slots_open(actor=self.actor, sample=sample, results=made.results)
        tested = {each.method for each in made.measurements}
        slots_answer(actor=self.actor, sample=sample, tested=tested, chosen=entry.slot)
        draft_finish(self.actor, entry.key)
        key: UUID = sample.pk
        return key

    def _sample(self, sheet: LogSheet, shift: ShiftTime, state: str) -> Sample:
        entry, now = self.entry, clock.now()
        plant = self.actor.plant
        elsewhere = (sheet.shift_name, sheet.shift_date) != (shift.name, shift.day)
        return Sample.objects.create(  # type: ignore[no-any-return]
            plant=plant,
            sheet=sheet,
            sample_point=entry.point,
            point_name=entry.point.name,
            note=fitting(entry.note, _LONGEST_NOTE, "note"),
            boiler_state=state,
            drawn_at=entry.drawn_at,
            opened_at=entry.opened_at,
            entered_at=now,
            utc_offset=utc_offset(plant, entry.drawn_at),
            shift_name=shift.name,
            shift_date=shift.day,
            late=elsewhere or now - entry.drawn_at > LATE_AFTER,
            terminal=self.actor.terminal,
            terminal_name=self.actor.terminal.name if self.actor.terminal else "",
            **self.actor.signed_by,
        )


def worked(
    draw: Draw, entries: Sequence[TestEntry], standing_by: Mapping[str, Worth] | None = None
) -> list[WorkedTest]:
    """Work tests for the record; raises TestsRefused for one that is not known here."""
    for entry in entries:
        try:
            methods.get(entry.method, entry.version)
        except EntryError as error:
            raise TestsRefused({entry.method: {error.field: error}}) from error
    return tests_work(draw, entries, standing_by)


def _refuse_trouble(works: Sequence[WorkedTest]) -> None:
    by_test = {work.method.key: work.errors for work in works if work.errors}
    if not works:
        raise TestsRefused({"": {"": EntryError("missing", NOTHING_TESTED)}})
    if by_test:
        raise TestsRefused(by_test)


def _body(entry: SampleEntry) -> dict[str, object]:
    return {
        "point": str(entry.point.pk),
        "slot": str(entry.slot.pk) if entry.slot else "",
        "note": entry.note,
        "drawn_at": canonical.text(entry.drawn_at),
        "opened_at": canonical.text(entry.opened_at),
        "tests": [asdict(test) for test in entry.tests],
    }
