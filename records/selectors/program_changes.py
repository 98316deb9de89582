"""What changed from one version of a program to the next."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from records.models import EventDraw, Limit, Program, ProgramVersion, ScheduleLine
from records.recurrence import recurrence_of
from records.selectors.programs import event_draws_of, limits_of, schedule_of

_LIMIT = (
    "basis", "unit", "low", "high", "target", "guard_band", "source", "confidence", "note",
)  # fmt: skip


class How(StrEnum):
    """What became of a line."""

    ADDED = "added"
    TAKEN_OUT = "taken_out"
    CHANGED = "changed"


@dataclass(frozen=True, kw_only=True)
class Change:
    """A limit, a scheduled test or a draw after an event, before and after.

    `fields` names what differs.
    """

    how: How
    before: Any
    after: Any
    fields: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Changes:
    """All that differs between a version and the one before it (None for the first)."""

    earlier: ProgramVersion | None
    limits: Sequence[Change]
    schedule: Sequence[Change]
    events: Sequence[Change]


def changes_of(version: ProgramVersion) -> Changes:
    """Return what a version changed against the one before it."""
    earlier = version_before(version.program, version)
    return Changes(
        earlier=earlier,
        limits=limit_changes(limits_of(earlier) if earlier else (), limits_of(version)),
        schedule=schedule_changes(schedule_of(earlier) if earlier else (), schedule_of(version)),
        events=event_changes(event_draws_of(earlier) if earlier else (), event_draws_of(version)),
    )


def version_before(program: Program, version: ProgramVersion) -> ProgramVersion | None:
    """Return the version that another one followed."""
    found: ProgramVersion | None = ProgramVersion.objects.filter(
        plant=program.plant_id, program=program, number=version.number - 1
    ).first()
    return found


def limit_changes(before: Iterable[Limit], after: Iterable[Limit]) -> list[Change]:
    """Return what differs between the limits of two versions."""
    return _compared(
        {_limit_key(row): row for row in before},
        {_limit_key(row): row for row in after},
        lambda row: {key: getattr(row, key) for key in _LIMIT},
    )


def schedule_changes(before: Iterable[ScheduleLine], after: Iterable[ScheduleLine]) -> list[Change]:
    """Return what differs between two schedules; a rule written in another way is the same."""
    return _compared(
        {_test_key(row): row for row in before},
        {_test_key(row): row for row in after},
        lambda row: {"recurrence": _rule(row.recurrence), "grace_minutes": row.grace_minutes},
    )


def event_changes(before: Sequence[EventDraw], after: Sequence[EventDraw]) -> list[Change]:
    """Return what differs between the draws that events ask for in two versions.

    A test that an event asks for at several times is told apart by its time and trigger.
    """
    several = {
        key
        for rows in (before, after)
        for key, count in Counter(map(_draw_key, rows)).items()
        if count > 1
    }

    def by_key(rows: Sequence[EventDraw]) -> dict[object, EventDraw]:
        return {
            (_draw_key(row), _draw_told(row)["times"], _draw_told(row)["trigger"])
            if _draw_key(row) in several
            else _draw_key(row): row
            for row in rows
        }

    return _compared(by_key(before), by_key(after), _draw_told)


def _draw_key(row: EventDraw) -> tuple[object, ...]:
    watched = (row.watched_point_id, row.watched_analyte)
    return (row.event, row.sample_point_id, row.state, row.method, *watched)


def _draw_told(row: EventDraw) -> dict[str, object]:
    return {
        "times": (row.minutes_after, row.grace_minutes),
        "trigger": (row.trigger_value, row.trigger_unit),
        "source": row.source,
    }


def _limit_key(row: Limit) -> tuple[UUID, str, str]:
    return row.sample_point_id, row.state, row.analyte


def _test_key(row: ScheduleLine) -> tuple[UUID, str, str]:
    return row.sample_point_id, row.state, row.method


def _rule(text: str) -> object:
    return recurrence_of(text) or text


def _compared(before: Mapping[Any, Any], after: Mapping[Any, Any], told: Any) -> list[Change]:
    found = []
    for key in dict.fromkeys((*before, *after)):
        old, new = before.get(key), after.get(key)
        if new is None or old is None:
            how = How.TAKEN_OUT if new is None else How.ADDED
            found.append(Change(how=how, before=old, after=new))
            continue
        was, now = told(old), told(new)
        fields = tuple(name for name in was if was[name] != now[name])
        if fields:
            found.append(Change(how=How.CHANGED, before=old, after=new, fields=fields))
    return found
