"""The plant's own time: its zone, and the shift that an instant falls in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils.translation import gettext_noop

from records.errors import RecordError
from records.models import Plant, Shift

NO_SUCH_TIME = gettext_noop(
    "The clocks were set forward past this time, so it did not exist. Look at the clock again."
)


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
    """Return the instant of a naive time on the plant's clock, in UTC.

    RFC 5545, 3.3.5: in the hour that a clock set back repeats, the first pass is meant; a time that
    a clock set forward leaves out is read with the offset before the gap (02:30 becomes 03:30).
    """
    return _pass(plant, wall, 0)


def _pass(plant: Plant, wall: datetime, fold: int) -> datetime:
    """Return the first or second pass of a wall time: in UTC, since Python compares times of one
    zone by the wall alone and calls a repeated time equal to no instant."""
    return wall.replace(tzinfo=ZoneInfo(plant.timezone), fold=fold).astimezone(UTC)


def drawn_from_local(plant: Plant, wall: datetime, now: datetime) -> datetime:
    """Return the instant of a past naive time: in a repeated hour, the last pass before `now`.

    Raises RecordError for a time that a clock set forward has left out.
    """
    first = from_local(plant, wall)
    second = _pass(plant, wall, 1)
    if local(plant, first).replace(tzinfo=None, fold=0) != wall.replace(fold=0):
        raise RecordError("no_such_time", NO_SUCH_TIME, field="drawn_at")
    return second if second <= now else first


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
    begun = sorted((from_local(plant, wall), wall, name) for wall, name in starts)
    last = max(i for i, (start, _, _) in enumerate(begun) if start <= instant)
    start, wall, name = begun[last]
    later = [s for s, _, _ in begun[last + 1 :]]
    end = later[0] if later else start + timedelta(days=1)
    return ShiftTime(name=name, day=wall.date(), starts_at=start, ends_at=end)
