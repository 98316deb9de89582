"""Read the form of a new program version: entries for the service, and trouble by field name."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import time

from django.utils.translation import gettext_noop

from dashboards.forms.program import (
    BY_RULE,
    MONTHLY,
    NTH_DAY,
    ON_WEEKDAYS,
    Line,
    ProgramForm,
    refuse_more,
    whats,
)
from dashboards.words import told
from records.errors import RecordError
from records.models import Limit, SamplePoint
from records.recurrence import LAST_DAY, WEEKDAYS, Recurrence, times_of
from records.selectors.event_draws import BAD_MINUTES, EventEntry, events_read
from records.selectors.program_entry import (
    BAD_GRACE,
    UNKNOWN_ANALYTE,
    LimitEntry,
    LineRefused,
    ScheduleEntry,
    limits_read,
    schedule_read,
)

NOT_A_POINT = gettext_noop("Pick one of the sample points given.")
NO_TEST = gettext_noop("Tick at least one test.")
NO_WEEKDAY = gettext_noop("Tick at least one weekday.")
BAD_EVERY = gettext_noop("Write a whole number of days from 2 to 366.")
BAD_DAY = gettext_noop("Pick one of the days given.")
_GOOD_DAYS = (*range(1, 29), LAST_DAY)
# Fields of an entry that stand under another name in the form.
_LIMIT_FIELDS = {"analyte": "what", "state": "what", "point": "what"}
_LINE_FIELDS = {"method": "tests", "state": "tests", "grace_minutes": "grace"}
_EVENT_FIELDS = {
    "method": "tests",
    "event": "tests",
    "minutes_after": "after",
    "grace_minutes": "grace",
    "trigger_value": "trigger",
    "trigger_unit": "unit",
}


@dataclass(kw_only=True)
class ReadForm:
    """What a form holds: entries, the limits that they make, and trouble by field name."""

    limits: list[LimitEntry] = field(default_factory=list)
    schedule: list[ScheduleEntry] = field(default_factory=list)
    events: list[EventEntry] = field(default_factory=list)
    rows: list[Limit] = field(default_factory=list)
    errors: dict[str, str] = field(default_factory=dict)


class _FieldError(Exception):
    """One field of the form can't be read."""

    def __init__(self, name: str, template: str, params: Mapping[str, str] | None = None) -> None:
        super().__init__(name)
        self.name, self.sentence = name, told(template, params or {})


def form_read(
    form: ProgramForm,
    points: Mapping[str, SamplePoint],
    watched: Mapping[str, SamplePoint],
    held: Sequence[Limit],
) -> ReadForm:
    """Return what a form holds; nothing is raised for what is wrong with it."""
    read = ReadForm()
    try:
        refuse_more(form, 0)
    except RecordError as error:
        read.errors[""] = str(error)
        return read
    numbers = []
    for number, line in form.kept_limits().items():
        try:
            read.limits.append(_limit_entry(line, points))
            numbers.append(f"l{number}")
        except _FieldError as bad:
            read.errors[f"l{number}.{bad.name}"] = bad.sentence
    read.rows, refused = limits_read(read.limits, held)
    _keep(read, refused, lambda row, key: f"{numbers[row]}.{_LIMIT_FIELDS.get(key, key)}")
    _read_schedule(read, form, points)
    _read_events(read, form, points, watched)
    return read


def _read_schedule(read: ReadForm, form: ProgramForm, points: Mapping[str, SamplePoint]) -> None:
    numbers: list[tuple[str, str]] = []
    for number, line in form.kept_lines().items():
        try:
            found = _schedule_entries(line, points)
            when = "rule" if line.get("days") == BY_RULE else "times"
            read.schedule += found
            numbers += [(f"s{number}", when)] * len(found)
        except _FieldError as bad:
            read.errors[f"s{number}.{bad.name}"] = bad.sentence
    _, refused = schedule_read(read.schedule)

    def name(row: int, key: str) -> str:
        line, when = numbers[row]
        return f"{line}.{when if key == 'recurrence' else _LINE_FIELDS.get(key, key)}"

    _keep(read, refused, name)


def _read_events(
    read: ReadForm,
    form: ProgramForm,
    points: Mapping[str, SamplePoint],
    watched: Mapping[str, SamplePoint],
) -> None:
    numbers: list[str] = []
    for number, line in form.kept_events().items():
        try:
            found = _event_entries(line, points, watched)
            read.events += found
            numbers += [f"e{number}"] * len(found)
        except _FieldError as bad:
            read.errors[f"e{number}.{bad.name}"] = bad.sentence
    _, refused = events_read(read.events)
    _keep(read, refused, lambda row, key: f"{numbers[row]}.{_EVENT_FIELDS.get(key, key)}")


def _keep(read: ReadForm, refused: Sequence[LineRefused], name: Callable[[int, str], str]) -> None:
    for each in refused:
        read.errors.setdefault(name(each.row, each.field), str(each))


def _limit_entry(line: Line, points: Mapping[str, SamplePoint]) -> LimitEntry:
    point = points.get(line.get("point", ""))
    if point is None:
        raise _FieldError("what", NOT_A_POINT)
    analyte, _, basis = line.get("what", "").partition("~")
    if (analyte, basis) not in whats():
        raise _FieldError("what", UNKNOWN_ANALYTE)
    keys = ("state", "unit", "source", "confidence", "low", "high", "target", "guard_band", "note")
    return LimitEntry(
        point=point,
        analyte=analyte,
        basis=basis,
        proposed=line.get("of", ""),
        confirmed=bool(line.get("confirmed")),
        **{key: line.get(key, "") for key in keys},  # type: ignore[arg-type]
    )


def _schedule_entries(line: Line, points: Mapping[str, SamplePoint]) -> list[ScheduleEntry]:
    point = points.get(line.get("point", ""))
    if point is None:
        raise _FieldError("tests", NOT_A_POINT)
    tests = tests_ticked(line)
    if not tests:
        raise _FieldError("tests", NO_TEST)
    rule, grace = line_rule(line), _minutes(line, "grace", BAD_GRACE)
    return [
        ScheduleEntry(
            point=point,
            state=line.get("state", ""),
            method=test,
            recurrence=rule,
            grace_minutes=grace,
        )
        for test in tests
    ]


def _event_entries(
    line: Line, points: Mapping[str, SamplePoint], watched: Mapping[str, SamplePoint]
) -> list[EventEntry]:
    point = points.get(line.get("point", ""))
    if point is None:
        raise _FieldError("tests", NOT_A_POINT)
    tests = tests_ticked(line)
    if not tests:
        raise _FieldError("tests", NO_TEST)
    after, grace = _minutes(line, "after", BAD_MINUTES), _minutes(line, "grace", BAD_GRACE)
    return [
        EventEntry(
            point=point,
            state=line.get("state", ""),
            method=test,
            event=line.get("event", ""),
            minutes_after=after,
            grace_minutes=grace,
            source=line.get("source", ""),
            watched_point=watched.get(line.get("watched", "")),
            watched_analyte=line.get("analyte", ""),
            trigger_value=line.get("trigger", "").strip(),
            trigger_unit=line.get("unit", ""),
        )
        for test in tests
    ]


def _minutes(line: Line, key: str, template: str) -> int:
    typed = line.get(key, "").strip()
    if not (typed.isascii() and typed.isdigit() and len(typed) < 7):
        raise _FieldError(key, template)
    return int(typed)


def tests_ticked(line: Line) -> list[str]:
    """Return the methods ticked on a schedule line, or on a draw after an event."""
    return [key.removeprefix("test.") for key in line if key.startswith("test.") and line[key]]


def line_rule(line: Line) -> str:
    """Return the rule of a schedule line as RFC 5545 writes it."""
    days = line.get("days", "")
    if days == BY_RULE:
        return line.get("rule", "").strip()
    times = _times(line)
    if days == ON_WEEKDAYS:
        ticked = tuple(day for day in WEEKDAYS if line.get(f"day.{day}"))
        if not ticked:
            raise _FieldError("days", NO_WEEKDAY)
        return Recurrence(times=times, weekdays=ticked).text
    if days == NTH_DAY:
        every = line.get("every", "").strip()
        if not (every.isascii() and every.isdigit() and 2 <= int(every[:6]) <= 366):
            raise _FieldError("every", BAD_EVERY)
        return Recurrence(times=times, every=int(every)).text
    if days == MONTHLY:
        day = line.get("month_day", "")
        if day not in map(str, _GOOD_DAYS):
            raise _FieldError("month_day", BAD_DAY)
        return Recurrence(times=times, month_day=int(day)).text
    return Recurrence(times=times).text


def _times(line: Line) -> tuple[time, ...]:
    try:
        return times_of(line.get("times", ""))
    except RecordError as error:
        raise _FieldError("times", error.template, error.params) from error


def rule_or_none(line: Line) -> str | None:
    """Return the rule of a schedule line, or None where it can't be read yet."""
    try:
        return line_rule(line)
    except _FieldError:
        return None
