"""What changed from one version of a program to the next."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from records.models import Limit, Program, ProgramVersion, ScheduleLine
from records.recurrence import recurrence_of
from records.selectors.programs import limits_of, schedule_of

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
    """A limit or a scheduled test, before and after; `fields` names what differs."""

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


def changes_of(version: ProgramVersion) -> Changes:
    """Return what a version changed against the one before it."""
    earlier = version_before(version.program, version)
    return Changes(
        earlier=earlier,
        limits=limit_changes(limits_of(earlier) if earlier else (), limits_of(version)),
        schedule=schedule_changes(schedule_of(earlier) if earlier else (), schedule_of(version)),
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
