"""Put a program version in force. A version is never edited and never back-dated over judged draws."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from dateutil.rrule import rrulestr
from django.utils.translation import gettext_noop

from chemistry.analytes import ANALYTES, Basis
from chemistry.entry import parse_number
from chemistry.errors import ChemistryError, EntryError
from chemistry.verdict import Limit as ChemistryLimit
from records import clock
from records.actors import Actor
from records.errors import RecordError
from records.models import Limit, Program, ProgramVersion, SamplePoint, ScheduleLine, Verdict
from records.permissions import Deed
from records.services.once import stored_once

BACK_DATED = gettext_noop(
    "Draws have been judged by the present version up to %(until)s UTC; a new one begins after that."
)
NO_LINES = gettext_noop("A version needs at least one limit or one scheduled test.")
SOURCE_NEEDED = gettext_noop("Say where this limit comes from.")
BAD_RECURRENCE = gettext_noop("This schedule can't be read.")


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


class LimitRefused(RecordError):
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
) -> UUID:
    """Write the next version of a program with its limits and schedule; returns its key."""
    actor.require(Deed.SET_PROGRAM)
    if not limits and not schedule:
        raise RecordError("no_lines", NO_LINES)
    rows = [_limit(number, entry) for number, entry in enumerate(limits)]
    lines = [_line(entry) for entry in schedule]

    def write() -> UUID:
        _refuse_back_dating(program, in_force_from)
        count = ProgramVersion.objects.filter(plant=actor.plant, program=program).count()
        version: ProgramVersion = ProgramVersion.objects.create(
            plant=actor.plant,
            program=program,
            number=count + 1,
            in_force_from=in_force_from,
            recorded_at=clock.now(),
            note=note.strip(),
            **actor.signed_by,
        )
        for row in (*rows, *lines):
            row.plant, row.version = actor.plant, version
        Limit.objects.bulk_create(rows)
        ScheduleLine.objects.bulk_create(lines)
        new: UUID = version.pk
        return new

    body = {
        "program": str(program.pk),
        "from": in_force_from.isoformat(),
        "note": note,
        "limits": [[r.analyte, r.state, r.low, r.high, r.target, r.source] for r in rows],
        "schedule": [[s.method, s.state, s.recurrence] for s in lines],
    }
    return stored_once(
        actor=actor, key=key, operation="version_put_in_force", body=body, write=write
    )


def _refuse_back_dating(program: Program, in_force_from: datetime) -> None:
    judged = (
        Verdict.objects.filter(plant=program.plant_id, program_version__program=program)
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
    try:
        basis = Basis.parse(entry.basis)
        ends = {k: float(v) if v else None for k, v in texts.items() if k != "guard_band"}
        if ends["low"] is not None or ends["high"] is not None:
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
        source=entry.source.strip(),
        confidence=entry.confidence,
        note=entry.note.strip(),
        **texts,
    )


def _line(entry: ScheduleEntry) -> ScheduleLine:
    try:
        rrulestr(entry.recurrence)
    except ValueError as error:
        raise RecordError("bad_recurrence", BAD_RECURRENCE, field="recurrence") from error
    return ScheduleLine(
        sample_point=entry.point,
        state=entry.state,
        method=entry.method,
        recurrence=entry.recurrence,
        grace_minutes=entry.grace_minutes,
    )
