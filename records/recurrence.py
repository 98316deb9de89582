"""When a test is due: the simple rules that a form can show, as RFC 5545 recurrence rules."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from itertools import islice, product

from dateutil.rrule import rrulestr
from django.utils.translation import gettext_noop

from records.errors import RecordError
from records.models import Plant
from records.shifts import from_local, local

BAD_RECURRENCE = gettext_noop("This schedule can't be read.")
NOT_TIMES = gettext_noop("“%(typed)s” is not a time of day. Write times such as 06:00 14:00 22:00.")
TIMES_NEEDED = gettext_noop("Write at least one time of day, such as 06:00.")
TOO_MANY_TIMES = gettext_noop("At most %(most)s times a day fit into one line.")
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
LAST_DAY = -1
# The longest rule, the most times of one line, the most days between two: rule of our own.
_LONGEST, _MOST_TIMES, _MOST_DAYS = 200, 24, 366
_A_MIDNIGHT = datetime(2000, 1, 1)
# What a schedule may say, and how (RFC 5545, 2009, 3.3.10): nothing that has no next time or
# repeats one, so that laying slots always ends.
_DAY = f"(?:{'|'.join(WEEKDAYS)})"
_HOUR, _SIXTIETH = r"(?:[01]?\d|2[0-3])", r"[0-5]?\d"
_PARTS = {
    "FREQ": re.compile("HOURLY|DAILY|WEEKLY|MONTHLY"),
    "INTERVAL": re.compile(r"[1-9]\d{0,2}", re.ASCII),
    "BYHOUR": re.compile(rf"{_HOUR}(,{_HOUR})*", re.ASCII),
    "BYMINUTE": re.compile(rf"{_SIXTIETH}(,{_SIXTIETH})*", re.ASCII),
    "BYSECOND": re.compile(rf"{_SIXTIETH}(,{_SIXTIETH})*", re.ASCII),
    "BYDAY": re.compile(rf"(?:[+-]?[1-5])?{_DAY}(,(?:[+-]?[1-5])?{_DAY})*", re.ASCII),
    "BYMONTHDAY": re.compile(r"-?(?:[1-9]|[12]\d|3[01])(,-?(?:[1-9]|[12]\d|3[01]))*", re.ASCII),
    "WKST": re.compile(_DAY),
}
_TIME = re.compile(r"(\d{1,2})(?::?(\d{2}))?", re.ASCII)
_BETWEEN_TIMES = re.compile(r"[\s,;]+")


@dataclass(frozen=True, kw_only=True)
class Recurrence:
    """Times of the day, on every day, on some weekdays, on every n-th day or on a day of the month.

    `month_day` is 1 to 28, or LAST_DAY; None where the month does not matter.
    """

    times: tuple[time, ...]
    weekdays: tuple[str, ...] = ()
    every: int = 1
    month_day: int | None = None

    @property
    def text(self) -> str:
        """The rule as RFC 5545, 3.3.10 writes it; BYSETPOS picks the times among hour x minute."""
        hours = sorted({at.hour for at in self.times})
        minutes = sorted({at.minute for at in self.times})
        grid = [time(hour, minute) for hour, minute in product(hours, minutes)]
        picked = [str(n) for n, at in enumerate(grid, 1) if at in self.times]
        parts = ["FREQ=DAILY" if self.month_day is None else "FREQ=MONTHLY"]
        parts += [f"INTERVAL={self.every}"] if self.every > 1 else []
        parts += [f"BYDAY={','.join(self.weekdays)}"] if self.weekdays else []
        parts += [f"BYMONTHDAY={self.month_day}"] if self.month_day is not None else []
        parts += [f"BYHOUR={_listed(hours)}", f"BYMINUTE={_listed(minutes)}", "BYSECOND=0"]
        parts += [f"BYSETPOS={','.join(picked)}"] if len(picked) < len(grid) else []
        return ";".join(parts)


def recurrence_of(text: str) -> Recurrence | None:
    """Return a rule as the form shows it, or None for one that the form can't show.

    >>> recurrence_of("FREQ=DAILY;BYHOUR=6,14;BYMINUTE=30").times
    (datetime.time(6, 30), datetime.time(14, 30))
    """
    try:
        parts = dict(part.split("=", 1) for part in text.split(";"))
        if len(parts) < len(text.split(";")):  # a part twice
            return None
        hours = [int(each) for each in parts.pop("BYHOUR").split(",")]
        minutes = [int(each) for each in parts.pop("BYMINUTE", "0").split(",")]
        if int(parts.pop("BYSECOND", "0")):
            return None
        times = [time(hour, minute) for hour, minute in product(sorted(hours), sorted(minutes))]
        if "BYSETPOS" in parts:
            places = [int(each) for each in parts.pop("BYSETPOS").split(",")]
            times = [times[place - 1] for place in sorted(places) if place >= 1]
        return _on_days(tuple(times), parts)
    except (KeyError, ValueError, IndexError):
        return None


def _on_days(times: tuple[time, ...], parts: dict[str, str]) -> Recurrence | None:
    """Return the rule with its days; None where a part is left that the form can't show."""
    frequency, every = parts.pop("FREQ"), int(parts.pop("INTERVAL", "1"))
    weekdays = tuple(parts.pop("BYDAY").split(",")) if "BYDAY" in parts else ()
    day = int(parts.pop("BYMONTHDAY")) if "BYMONTHDAY" in parts else None
    daily = frequency == "DAILY" and day is None and not (weekdays and every > 1)
    weekly = frequency == "WEEKLY" and day is None and weekdays and every == 1
    monthly = frequency == "MONTHLY" and day is not None and not weekdays and every == 1
    possible = day is None or day == LAST_DAY or 1 <= day <= 28
    if (
        parts
        or not times
        or not 1 <= every <= _MOST_DAYS
        or not possible
        or not (daily or weekly or monthly)
    ):
        return None
    if not set(WEEKDAYS).issuperset(weekdays):
        return None
    return Recurrence(times=times, weekdays=weekdays, every=every, month_day=day)


def times_of(typed: str) -> tuple[time, ...]:
    """Return the times of day in a text such as "02 06:00, 14:30"; raises RecordError."""
    found = set()
    for each in _BETWEEN_TIMES.split(typed.strip()):
        if not each:
            continue
        match = _TIME.fullmatch(each)
        hour, minute = (int(part or 0) for part in match.groups()) if match else (99, 0)
        if hour > 23 or minute > 59:
            raise RecordError("not_times", NOT_TIMES, field="times", typed=each[:20])
        found.add(time(hour, minute))
    if not found:
        raise RecordError("times_needed", TIMES_NEEDED, field="times")
    if len(found) > _MOST_TIMES:
        raise RecordError("too_many", TOO_MANY_TIMES, field="times", most=str(_MOST_TIMES))
    return tuple(sorted(found))


def refuse_recurrence(text: str) -> None:
    """Raise RecordError for a rule that is not one, or not one of those a schedule may use."""
    try:
        if len(text) > _LONGEST or not (_is_plain(text) or recurrence_of(text)):
            raise ValueError(text)
        # As slots are laid: from a midnight, here one of a long month.
        if rrulestr(text, dtstart=_A_MIDNIGHT).after(_A_MIDNIGHT) is None:
            raise ValueError(text)
    except (ValueError, IndexError) as error:
        raise RecordError("bad_recurrence", BAD_RECURRENCE, field="recurrence") from error


def _is_plain(text: str) -> bool:
    """Say whether a rule holds only parts that a schedule may have, each once and well written."""
    found: dict[str, str] = {}
    for part in text.split(";"):
        name, _sign, value = part.partition("=")
        known = _PARTS.get(name)
        if known is None or name in found or not known.fullmatch(value):
            return False
        found[name] = value
    # “The first Monday” is one of a month.
    numbered = any(sign.isdigit() for sign in found.get("BYDAY", ""))
    return "FREQ" in found and (not numbered or found["FREQ"] == "MONTHLY")


def next_times(plant: Plant, text: str, begin: datetime, count: int) -> Sequence[datetime]:
    """Return the first instants of a rule from an instant on, as slots are laid from it."""
    here = local(plant, begin).replace(tzinfo=None)
    rule = rrulestr(text, dtstart=here.replace(hour=0, minute=0, second=0, microsecond=0))
    until = here + timedelta(days=400)
    walls = rule.xafter(here, count=count, inc=True)
    return [from_local(plant, wall) for wall in islice(walls, count) if wall <= until]


def _listed(numbers: Sequence[int]) -> str:
    return ",".join(map(str, numbers))
