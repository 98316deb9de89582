"""Put a program version in force. A version is never edited, nor back-dated over judged draws."""

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime
from uuid import UUID

from django.utils.translation import gettext_noop

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
)
from records.permissions import Deed
from records.selectors.event_draws import EventEntry, EventRefused, event_entries_of, events_read
from records.selectors.program_entry import (
    LimitEntry,
    LimitRefused,
    LineRefused,
    ScheduleEntry,
    ScheduleRefused,
    limits_read,
    schedule_read,
)
from records.selectors.programs import limits_of, newest_version, refuse_back_dating
from records.services.once import stored_once

__all__ = [
    "EventEntry",
    "EventRefused",
    "LimitEntry",
    "LimitRefused",
    "ScheduleEntry",
    "ScheduleRefused",
    "version_put_in_force",
]

NO_LINES = gettext_noop("A version needs at least one limit or one scheduled test.")


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

    What is wrong with its lines raises the first LineRefused, which holds `every` one of them.
    Without `events` the draws that events ask for are taken over from the newest version.
    """
    actor.require(Deed.SET_PROGRAM, program)
    asked = event_entries_of(newest_version(program)) if events is None else events
    points = [entry.point for entry in limits] + [entry.point for entry in schedule]
    points += [entry.point for entry in asked]
    actor.require_own(*points, *(entry.watched_point for entry in asked))
    if any(point.boiler_id != program.boiler_id for point in points):
        raise not_here()
    said = fitting(note, 300, "note")
    if not limits and not schedule and not asked:
        raise RecordError("no_lines", NO_LINES)
    rows, lines, draws = _read(program, limits, schedule, asked)

    def write() -> UUID:
        refuse_back_dating(program, in_force_from)
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


def _read(
    program: Program,
    limits: Sequence[LimitEntry],
    schedule: Sequence[ScheduleEntry],
    events: Sequence[EventEntry],
) -> tuple[list[Limit], list[ScheduleLine], list[EventDraw]]:
    before = newest_version(program)
    rows, bad_limits = limits_read(limits, limits_of(before) if before else ())
    lines, bad_lines = schedule_read(schedule)
    draws, bad_draws = events_read(events)
    refused: tuple[LineRefused, ...] = (*bad_limits, *bad_lines, *bad_draws)
    if refused:
        refused[0].every = refused
        raise refused[0]
    return rows, lines, draws


def _as_text(entry: LimitEntry | ScheduleEntry | EventEntry) -> dict[str, str]:
    named = {field.name: getattr(entry, field.name) for field in fields(entry)}
    return {k: str(v.pk if isinstance(v, SamplePoint) else v) for k, v in named.items()}
