"""Expand schedules into due slots: rows that exist before their time, so that missing one shows."""

from datetime import datetime, timedelta

from dateutil.rrule import rrulestr

from records import clock
from records.models import DueSlot, Plant, ProgramVersion, ScheduleLine
from records.shifts import from_local, local

# How far ahead slots are laid: rule of our own.
AHEAD = timedelta(hours=36)
# A clock is set by less than this.
_CLOCK_CHANGE = timedelta(hours=3)


def slots_expand(plant: Plant, until: datetime | None = None) -> int:
    """Lay the slots of all versions in force up to an instant; returns how many are new.

    Recurrences are local time in the plant's zone (RFC 5545); a slot is unique per line and time,
    so doing this twice, or from two places at once, changes nothing.
    """
    horizon = until or clock.now() + AHEAD
    slots: list[DueSlot] = []
    versions = list(ProgramVersion.objects.filter(plant=plant).order_by("program", "in_force_from"))
    for version, end in _with_ends(versions, horizon):
        for line in ScheduleLine.objects.filter(plant=plant, version=version):
            # Nobody owed a test before the version was written down.
            begin = max(version.in_force_from, version.recorded_at)
            slots += _slots_of(plant, line, begin, end)
    before = DueSlot.objects.filter(plant=plant).count()
    DueSlot.objects.bulk_create(slots, ignore_conflicts=True, batch_size=500)
    return int(DueSlot.objects.filter(plant=plant).count()) - before


def _with_ends(
    versions: list[ProgramVersion], horizon: datetime
) -> list[tuple[ProgramVersion, datetime]]:
    """Return each version with the instant at which the next one of its program takes over."""
    pairs = []
    for number, version in enumerate(versions):
        after = versions[number + 1] if number + 1 < len(versions) else None
        same = after is not None and after.program_id == version.program_id
        end = min(after.in_force_from, horizon) if same and after else horizon
        pairs.append((version, end))
    return pairs


def _slots_of(plant: Plant, line: ScheduleLine, start: datetime, end: datetime) -> list[DueSlot]:
    newest = (
        DueSlot.objects.filter(plant=plant, line=line)
        .order_by("-due_at")
        .values_list("due_at", flat=True)
        .first()
    )
    begin = local(plant, start).replace(tzinfo=None)
    rule = rrulestr(
        line.recurrence, dtstart=begin.replace(hour=0, minute=0, second=0, microsecond=0)
    )
    # Wall times are looked through a little further than asked: where the clock is set, their order
    # is not that of the instants. What counts is the instant.
    after = max(start, newest) if newest else start
    walls = rule.between(
        local(plant, after).replace(tzinfo=None) - _CLOCK_CHANGE,
        local(plant, end).replace(tzinfo=None) + _CLOCK_CHANGE,
        inc=True,
    )
    grace = timedelta(minutes=line.grace_minutes)
    times = sorted({from_local(plant, wall) for wall in walls})
    return [
        DueSlot(
            plant=plant,
            sample_point_id=line.sample_point_id,
            method=line.method,
            line=line,
            due_at=due,
            missed_after=due + grace,
        )
        for due in times
        if start <= due < end and (newest is None or due > newest)
    ]
