"""The plant's own time: its zone, and the shift that an instant falls in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from records.models import Plant, Shift


@dataclass(frozen=True, kw_only=True)
class ShiftTime:
    """One shift of one day: `day` is the local date on which it began."""

    name: str
    day: date
    starts_at: datetime
    ends_at: datetime


def local(plant: Plant, instant: datetime) -> datetime:
    """Return the instant on the plant's own clock."""
    return instant.astimezone(ZoneInfo(plant.timezone))


def utc_offset(plant: Plant, instant: datetime) -> str:
    """Return the plant's offset from UTC at an instant, as in `-05:00`."""
    return local(plant, instant).isoformat()[-6:]


def from_local(plant: Plant, wall: datetime) -> datetime:
    """Return the instant of a naive time on the plant's clock.

    In the hour that a clock set back repeats, the first pass is meant.
    """
    return wall.replace(tzinfo=ZoneInfo(plant.timezone))


def shifts_of(plant: Plant) -> list[Shift]:
    """Return the plant's shifts in the order of the day."""
    return list(Shift.objects.filter(plant=plant).order_by("starts_at"))


def shift_at(plant: Plant, instant: datetime, shifts: Sequence[Shift] | None = None) -> ShiftTime:
    """Return the shift in which an instant lies; a plant without shifts has one, the day."""
    known = shifts_of(plant) if shifts is None else list(shifts)
    here = local(plant, instant)
    midnight = here.replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None)
    starts = [
        (midnight + timedelta(days=day, hours=s.starts_at.hour, minutes=s.starts_at.minute), s.name)
        for day in (-1, 0, 1)
        for s in known
    ] or [(midnight + timedelta(days=day), "Day") for day in (-1, 0, 1)]
    begun = [(from_local(plant, wall), wall, name) for wall, name in starts]
    last = max(i for i, (start, _, _) in enumerate(begun) if start <= instant)
    start, wall, name = begun[last]
    later = [s for s, _, _ in begun[last + 1 :]]
    end = later[0] if later else start + timedelta(days=1)
    return ShiftTime(name=name, day=wall.date(), starts_at=start, ends_at=end)
