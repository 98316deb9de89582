"""Read what a chemist typed for a program: the same for looking first and for the record."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods, units
from chemistry.analytes import ANALYTES, Basis
from chemistry.entry import parse_number
from chemistry.errors import ChemistryError, EntryError
from chemistry.limit_sets import KINDS, LimitLine
from chemistry.verdict import Limit as ChemistryLimit
from records.errors import RecordError, fitting
from records.limit_library import line_of
from records.models import Limit, SamplePoint, ScheduleLine, State
from records.recurrence import refuse_recurrence
from records.selectors.rounds import MOST_GRACE

SOURCE_NEEDED = gettext_noop("Say where this limit comes from.")
NOT_A_STATE = gettext_noop("Pick one of the states given.")
UNKNOWN_ANALYTE = gettext_noop("Pick one of the analytes given.")
BAD_GRACE = gettext_noop("Say within how many minutes the test may be late: 0 to 10080.")
TWICE = gettext_noop("This stands here twice: one limit for each sample point, state and analyte.")
TEST_TWICE = gettext_noop("%(test)s is on another line of this sample point and state already.")
NOTE_NEEDED = gettext_noop("A limit with neither end needs a note that says why none is known.")
GUARD_TOO_WIDE = gettext_noop("A guard band is 0 or more, and leaves something of the range.")
CONFIRM_NEEDED = gettext_noop(
    "Check this limit against its source or your plant's experience, then confirm it here."
)
NOT_THE_SETS = gettext_noop(
    "These figures are not those of the set any more. Put them back, or say “decided for this "
    "plant”."
)
# How sure a limit is that a chemist must have confirmed before it is put in force.
MUST_CONFIRM = KINDS[1:]
CONFIRMED = "%s, confirmed"
# What is stored of a maximum that a person chose within the span that a document leaves open.
CHOSEN = {"published": gettext_noop("chosen within a published span")}
_LONGEST = {"source": 200, "confidence": 40, "note": 300}


@dataclass(frozen=True, kw_only=True)
class LimitEntry:
    """A limit as a chemist types it: texts, empty where a side is open or nothing is known.

    `proposed` names the line of a published set that it was taken from (records.limit_library);
    `confirmed` says whether the chemist confirmed it, None where nobody was asked.
    """

    point: SamplePoint
    state: str
    analyte: str
    basis: str
    unit: str
    source: str
    confidence: str
    low: str = ""
    high: str = ""
    target: str = ""
    guard_band: str = ""
    note: str = ""
    proposed: str = ""
    confirmed: bool | None = None


@dataclass(frozen=True, kw_only=True)
class ScheduleEntry:
    """When a test is due, as an RFC 5545 recurrence rule in the plant's local time."""

    point: SamplePoint
    state: str
    method: str
    recurrence: str
    grace_minutes: int = 90


class LineRefused(RecordError):  # noqa: N818
    """What was typed for one line can't be used; `row` counts from 0, `every` holds all refusals
    of the same program."""

    def __init__(self, row: int, field: str, error: ChemistryError | RecordError) -> None:
        super().__init__(error.code, error.template, field=field, **error.params)
        self.row = row
        self.every: tuple[LineRefused, ...] = (self,)


class LimitRefused(LineRefused):
    """What was typed for one limit can't be used."""


class ScheduleRefused(LineRefused):
    """What was typed for one line of the schedule can't be used."""


class LineReading:
    """One line being read: its refusals are collected, each beside its field."""

    def __init__(self, row: int, kind: type[LineRefused]) -> None:
        self._row, self._kind = row, kind
        self.refused: list[LineRefused] = []

    def refuse(self, field: str, code: str, template: str, **params: str) -> None:
        self.refused.append(self._kind(self._row, field, EntryError(code, template, params)))

    def attempt(self, field: str, read: Callable[[], str]) -> str:
        """Return what is read, or "" where it is refused."""
        try:
            return read()
        except (ChemistryError, RecordError) as error:
            self.refused.append(self._kind(self._row, field, error))
            return ""

    def state(self, state: str) -> None:
        if state not in State.values:
            self.refuse("state", "not_a_state", NOT_A_STATE)

    def grace(self, minutes: int) -> None:
        if not 0 <= minutes <= MOST_GRACE / timedelta(minutes=1):
            self.refuse("grace_minutes", "bad_grace", BAD_GRACE)


def limits_read(
    entries: Sequence[LimitEntry], held: Sequence[Limit] = ()
) -> tuple[list[Limit], list[LineRefused]]:
    """Return unsaved limits, and what is refused; `held` are those of the version that it follows,
    which were confirmed then."""
    rows, refused = [], []
    seen: set[tuple[UUID, str, str]] = set()
    for number, entry in enumerate(entries):
        reading = LineReading(number, LimitRefused)
        key = (entry.point.pk, entry.state, entry.analyte)
        row = _limit(reading, entry)
        if not reading.refused:
            _refuse_unconfirmed(reading, entry, row, held)
        if key in seen and not reading.refused:
            reading.refuse("analyte", "twice", TWICE)
        seen.add(key)
        rows.append(row)
        refused += reading.refused
    return rows, refused


def schedule_read(
    entries: Sequence[ScheduleEntry],
) -> tuple[list[ScheduleLine], list[LineRefused]]:
    """Return unsaved schedule lines, and what is refused."""
    rows, refused = [], []
    seen: set[tuple[UUID, str, str]] = set()
    for number, entry in enumerate(entries):
        reading = LineReading(number, ScheduleRefused)
        key = (entry.point.pk, entry.state, entry.method)
        reading.state(entry.state)
        name = reading.attempt("method", lambda e=entry: _(methods.latest(e.method).name))  # type: ignore[misc]
        if key in seen:
            reading.refuse("method", "twice", TEST_TWICE, test=name)
        seen.add(key)
        reading.grace(entry.grace_minutes)
        try:
            refuse_recurrence(entry.recurrence)
        except RecordError as error:
            reading.refuse("recurrence", error.code, error.template)
        rows.append(_schedule_line(entry))
        refused += reading.refused
    return rows, refused


def _schedule_line(entry: ScheduleEntry) -> ScheduleLine:
    return ScheduleLine(
        sample_point=entry.point,
        state=entry.state,
        method=entry.method,
        recurrence=entry.recurrence,
        grace_minutes=entry.grace_minutes,
    )


def _limit(reading: LineReading, entry: LimitEntry) -> Limit:
    reading.state(entry.state)
    texts = {key: _number(reading, entry, key) for key in ("low", "high", "target", "guard_band")}
    said = {
        key: reading.attempt(key, lambda k=key, n=most: fitting(getattr(entry, k), n, k))  # type: ignore[misc]
        for key, most in _LONGEST.items()
    }
    if not entry.source.strip():
        reading.refuse("source", "missing", SOURCE_NEEDED)
    if entry.analyte not in ANALYTES:
        reading.refuse("analyte", "unknown_analyte", UNKNOWN_ANALYTE)
        unit = basis = ""
    else:
        unit = reading.attempt("unit", lambda: _unit(entry))
        basis = reading.attempt("analyte", lambda: Basis.parse(entry.basis).text)
    if not entry.low.strip() and not entry.high.strip() and not entry.note.strip():
        reading.refuse("note", "note_needed", NOTE_NEEDED)
    if not reading.refused:
        _refuse_ends(reading, texts, basis, unit)
    return Limit(
        sample_point=entry.point,
        state=entry.state,
        analyte=entry.analyte,
        basis=basis,
        unit=unit,
        **said,
        **texts,
    )


def _number(reading: LineReading, entry: LimitEntry, key: str) -> str:
    typed: str = getattr(entry, key)
    return reading.attempt(key, lambda: parse_number(typed).normalized) if typed.strip() else ""


def _unit(entry: LimitEntry) -> str:
    """Return the key of a unit that measures the analyte. Errors: EntryError."""
    unit = units.unit_key(entry.unit)
    units.convert(1.0, unit, ANALYTES[entry.analyte].unit)
    return unit


def _refuse_ends(reading: LineReading, texts: dict[str, str], basis: str, unit: str) -> None:
    low, high, target, guard = (float(text) if text else None for text in texts.values())
    if low is None and high is None:
        return
    try:
        ChemistryLimit(low, high, Basis.parse(basis), unit, target)
    except ChemistryError as error:
        aimed_past = target is not None and (low is None or high is None or low <= high)
        reading.refuse("target" if aimed_past else "high", error.code, error.template)
        return
    width = high - low if low is not None and high is not None else None
    if guard is not None and (guard < 0 or (width is not None and 2 * guard >= width)):
        reading.refuse("guard_band", "guard_band", GUARD_TOO_WIDE)


def _refuse_unconfirmed(
    reading: LineReading, entry: LimitEntry, row: Limit, held: Sequence[Limit]
) -> None:
    """Refuse a limit that claims to be a set's and is not, or that still has to be confirmed."""
    if any(_same(row, each) for each in held):
        return
    line = line_of(entry.proposed)
    if line is not None and row.confidence == line.kind:
        _refuse_other_figures(reading, row, line)
    if entry.confirmed is None or row.confidence not in MUST_CONFIRM:
        return
    if entry.confirmed:
        row.confidence = CONFIRMED % row.confidence
    else:
        reading.refuse("confirmed", "unconfirmed", CONFIRM_NEEDED)


def _same(one: Limit, other: Limit) -> bool:
    keys = ("state", "analyte", "basis", "unit", "low", "high", "target", "guard_band")
    more = ("sample_point_id", "source", "confidence")
    return all(getattr(one, key) == getattr(other, key) for key in keys + more)


def _refuse_other_figures(reading: LineReading, row: Limit, line: LimitLine) -> None:
    ends = [
        units.convert(float(text), row.unit, line.unit) if text else None
        for text in (row.low, row.high)
    ]
    if line.choose_within is not None:
        try:
            line.limit(high=ends[1])
        except ChemistryError as error:
            reading.refuse("high", error.code, error.template, **error.params)
        ends[1], row.confidence = None, CHOSEN.get(row.confidence, row.confidence)
    if not all(map(_alike, ends, (line.low, line.high))):
        reading.refuse("confidence", "not_the_sets", NOT_THE_SETS)


def _alike(one: float | None, other: float | None) -> bool:
    """Say whether two ends are the same, but for the last digits of a conversion."""
    if one is None or other is None:
        return one is other
    return math.isclose(one, other, rel_tol=1e-9)
