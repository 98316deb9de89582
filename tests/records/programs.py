"""Putting program versions in force in a test."""

from datetime import datetime, timedelta
from types import SimpleNamespace
from typing import Any
from uuid import UUID

from records import clock
from records.models import Program
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from tests.records import story


def program_of(works: SimpleNamespace) -> Program:
    """Return the program of the plant's boiler."""
    return Program.objects.get(plant=works.plant, boiler=works.boiler)


def limit(works: SimpleNamespace, **changes: Any) -> LimitEntry:
    """Return a maximum of the boiler water's conductivity; `changes` says what is otherwise."""
    values: dict[str, Any] = {
        "point": works.point,
        "state": "steaming",
        "analyte": "conductivity",
        "basis": "25C|not_neutralized|",
        "unit": "umho/cm",
        "high": "1000",
        "source": "Common practice",
        "confidence": "common practice, no source",
        **changes,
    }
    return LimitEntry(**values)


def line(
    works: SimpleNamespace, recurrence: str = "FREQ=DAILY;BYHOUR=6", **changes: Any
) -> ScheduleEntry:
    """Return a test of the boiler water while steaming."""
    values = {"point": works.point, "state": "steaming", "method": "conductivity", **changes}
    return ScheduleEntry(recurrence=recurrence, **values)


def put(
    works: SimpleNamespace,
    *limits: LimitEntry,
    schedule: Any = (),
    since: datetime | None = None,
    **options: Any,
) -> UUID:
    """Put a version in force an hour from now."""
    return version_put_in_force(
        actor=options.get("actor", works.chemist),
        program=options.get("program") or program_of(works),
        in_force_from=since or clock.now() + timedelta(hours=1),
        limits=limits,
        schedule=schedule,
        key=options.get("key") or story.key(),
        note=options.get("note", ""),
    )
