"""Put a program version in force. A version is never edited, nor back-dated over judged draws."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from uuid import UUID

from dateutil.rrule import rrulestr
from django.utils.translation import gettext_noop

from chemistry import methods, units
from chemistry.analytes import ANALYTES, Basis
from chemistry.entry import parse_number
from chemistry.errors import ChemistryError, EntryError
from chemistry.verdict import Limit as ChemistryLimit
from records import canonical, clock
from records.actors import Actor
from records.errors import RecordError, fitting, not_here
from records.models import (
    EventDraw,
    Limit,
    Program,
    ProgramVersion,
    SamplePoint,
    ScheduleLine,
    State,
    Verdict,
)
from records.permissions import Deed
from records.services.event_draws import EventEntry, event_draw_of, event_entries_of
from records.services.once import stored_once

BACK_DATED = gettext_noop(
    "Draws have been judged, or a version begins, at %(until)s UTC; a new one begins after that."
)
NO_LINES = gettext_noop("A version needs at least one limit or one scheduled test.")
SOURCE_NEEDED = gettext_noop("Say where this limit comes from.")
BAD_RECURRENCE = gettext_noop("This schedule can't be read.")
NOT_A_STATE = gettext_noop("Pick one of the states given.")
UNKNOWN_ANALYTE = gettext_noop("Pick one of the analytes given.")
BAD_GRACE = gettext_noop("Say within how many minutes the test may be late: 0 to 10080.")
# What a schedule may say; each part has a next time, so laying slots always ends.
_PARTS = frozenset(
    {"FREQ", "INTERVAL", "BYHOUR", "BYMINUTE", "BYSECOND", "BYDAY", "BYMONTHDAY", "WKST"}
)
_FREQUENCIES = frozenset({"HOURLY", "DAILY", "WEEKLY", "MONTHLY"})
_LONGEST = {"source": 200, "confidence": 40, "note": 300}
_MOST_GRACE = 7 * 24 * 60


@dataclass(frozen=True, kw_only=True)
class LimitEntry:
    """A limit as a chemist types it: texts, empty where a side is open or nothing is known."""

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


@dataclass(frozen=True, kw_only=True)
class ScheduleEntry:
    """When a test is due, as an RFC 5545 recurrence rule in the plant's local time."""

    point: SamplePoint
    state: str
    method: str
    recurrence: str
    grace_minutes: int = 90


class LimitRefused(RecordError):  # noqa: N818
    """What was typed for one limit can't be used; `row` counts from 0."""

    def __init__(self, row: int, field: str, error: ChemistryError) -> None:
        super().__init__(error.code, error.template, field=field, **error.params)
        self.row = row


def version_put_in_force(
    *,
    actor: Actor,
    program: Program,
    in_force_from: datetime,
    limits: Sequence[LimitEntry],
    schedule: Sequence[ScheduleEntry],
    key: str,
    note: str = "",
    events: Sequence[EventEntry] | None = None,
) -> UUID:
    """Write the next version of a program with its limits and schedule; returns its key.

    Without `events` the draws that events ask for are taken over from the newest version.
    """
    actor.require(Deed.SET_PROGRAM, program)
    asked = event_entries_of(_newest(program)) if events is None else events
    points = [entry.point for entry in limits] + [entry.point for entry in schedule]
    points += [entry.point for entry in asked]
    actor.require_own(*points, *(entry.watched_point for entry in asked))
    if any(point.boiler_id != program.boiler_id for point in points):
        raise not_here()
    said = fitting(note, 300, "note")
    if not limits and not schedule and not asked:
        raise RecordError("no_lines", NO_LINES)
    rows = [_limit(number, entry) for number, entry in enumerate(limits)]
    lines = [_line(entry) for entry in schedule]
    draws = [event_draw_of(entry) for entry in asked]

    def write() -> UUID:
        _refuse_back_dating(program, in_force_from)
        count = ProgramVersion.objects.filter(plant=actor.plant, program=program).count()
        version: ProgramVersion = ProgramVersion.objects.create(
            plant=actor.plant,
            program=program,
            number=count + 1,
            in_force_from=in_force_from,
            recorded_at=clock.now(),
            note=said,
            **actor.signed_by,
        )
        for row in rows:
            row.plant, row.version = actor.plant, version
        for line in lines:
            line.plant, line.version = actor.plant, version
        for draw in draws:
            draw.plant, draw.version = actor.plant, version
        Limit.objects.bulk_create(rows)
        ScheduleLine.objects.bulk_create(lines)
        EventDraw.objects.bulk_create(draws)
        new: UUID = version.pk
        return new

    body = {
        "program": str(program.pk),
        "from": canonical.text(in_force_from),
        "note": said,
        "limits": [_as_text(entry) for entry in limits],
        "schedule": [_as_text(entry) for entry in schedule],
        "events": "kept" if events is None else [_as_text(entry) for entry in events],
    }
    return stored_once(
        actor=actor, key=key, operation="version_put_in_force", body=body, write=write
    )


def _as_text(entry: LimitEntry | ScheduleEntry | EventEntry) -> dict[str, str]:
    named = {field.name: getattr(entry, field.name) for field in fields(entry)}
    return {k: str(v.pk if isinstance(v, SamplePoint) else v) for k, v in named.items()}


def _newest(program: Program) -> ProgramVersion | None:
    rows = ProgramVersion.objects.filter(plant=program.plant_id, program=program)
    found: ProgramVersion | None = rows.order_by("-number").first()
    return found


def _refuse_back_dating(program: Program, in_force_from: datetime) -> None:
    """Refuse a version that begins before a judged draw at its points, with a limit or without."""
    judged = (
        Verdict.objects.filter(
            plant=program.plant_id,
            result__measurement__sample__sample_point__boiler=program.boiler_id,
        )
        .order_by("-result__measurement__sample__drawn_at")
        .values_list("result__measurement__sample__drawn_at", flat=True)
        .first()
    )
    newest = (
        ProgramVersion.objects.filter(plant=program.plant_id, program=program)
        .order_by("-in_force_from")
        .values_list("in_force_from", flat=True)
        .first()
    )
    until = max((each for each in (judged, newest) if each is not None), default=None)
    if until is not None and in_force_from <= until:
        told = until.strftime("%Y-%m-%d %H:%M")
        raise RecordError("back_dated", BACK_DATED, field="in_force_from", until=told)


def _limit(number: int, entry: LimitEntry) -> Limit:
    texts: dict[str, str] = {}
    for field in ("low", "high", "target", "guard_band"):
        typed = getattr(entry, field)
        try:
            texts[field] = parse_number(typed).normalized if typed.strip() else ""
        except EntryError as error:
            raise LimitRefused(number, field, error) from None
    said = _said(number, entry)
    try:
        basis = Basis.parse(entry.basis)
        ends = {k: float(v) if v else None for k, v in texts.items() if k != "guard_band"}
        if ends["low"] is not None or ends["high"] is not None:
            units.convert(1.0, entry.unit, ANALYTES[entry.analyte].unit)
            ChemistryLimit(basis=basis, unit=ANALYTES[entry.analyte].unit, **ends)
    except ChemistryError as error:
        raise LimitRefused(number, "high", error) from None
    if not entry.source.strip():
        raise LimitRefused(number, "source", EntryError("missing", SOURCE_NEEDED))
    return Limit(
        sample_point=entry.point,
        state=entry.state,
        analyte=entry.analyte,
        basis=basis.text,
        unit=entry.unit,
        **said,
        **texts,
    )


def _said(number: int, entry: LimitEntry) -> dict[str, str]:
    """Return the words beside a limit, or raise where state, analyte or a text can't be."""
    if entry.state not in State.values:
        raise LimitRefused(number, "state", EntryError("not_a_state", NOT_A_STATE))
    if entry.analyte not in ANALYTES:
        raise LimitRefused(number, "analyte", EntryError("unknown_analyte", UNKNOWN_ANALYTE))
    try:
        return {k: fitting(getattr(entry, k), most, k) for k, most in _LONGEST.items()}
    except RecordError as error:
        plain = EntryError(error.code, error.template, error.params)
        raise LimitRefused(number, error.field, plain) from error


def _line(entry: ScheduleEntry) -> ScheduleLine:
    if entry.state not in State.values:
        raise RecordError("not_a_state", NOT_A_STATE, field="state")
    if not 0 <= entry.grace_minutes <= _MOST_GRACE:
        raise RecordError("bad_grace", BAD_GRACE, field="grace_minutes")
    methods.latest(entry.method)
    _refuse_recurrence(entry.recurrence)
    return ScheduleLine(
        sample_point=entry.point,
        state=entry.state,
        method=entry.method,
        recurrence=entry.recurrence,
        grace_minutes=entry.grace_minutes,
    )


def _refuse_recurrence(text: str) -> None:
    """Raise RecordError for a rule that is not one, or not one of those a schedule may use."""
    try:
        parts = dict(part.split("=", 1) for part in text.split(";"))
        if not _PARTS.issuperset(parts) or parts.get("FREQ") not in _FREQUENCIES or len(text) > 200:
            raise ValueError(text)
        rrulestr(text)
    except ValueError as error:
        raise RecordError("bad_recurrence", BAD_RECURRENCE, field="recurrence") from error
