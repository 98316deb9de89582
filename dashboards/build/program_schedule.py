"""The schedule lines of a program's form: which tests, on which days, at which times."""

from collections.abc import Mapping
from datetime import datetime

from django.utils.translation import gettext as _

from chemistry import methods
from dashboards import words
from dashboards.build.forms import choice_field, text_field
from dashboards.build.program_edit import Edited
from dashboards.build.program_words import place_words, test_names, weekday_word
from dashboards.forms.program import (
    BY_RULE,
    DAILY,
    MONTHLY,
    NTH_DAY,
    ON_WEEKDAYS,
    USUAL_GRACE,
    Line,
)
from dashboards.forms.program_read import rule_or_none, tests_ticked
from dashboards.screens.fields import FieldView
from dashboards.screens.program_edit import ScheduleEdit, TestTick
from records.errors import RecordError
from records.models import SamplePoint, State
from records.recurrence import LAST_DAY, WEEKDAYS, next_times, refuse_recurrence

# How many of the next times are shown: rule of our own.
SHOWN_TIMES = 6


def schedule_lines(edited: Edited, begin: datetime) -> tuple[ScheduleEdit, ...]:
    """Return the schedule lines of the form; their next times are counted from `begin`."""
    return tuple(
        _line(edited, f"s{number}", line, point, begin)
        for number, line in edited.form.lines.items()
        if (point := edited.points.get(line.get("point", ""))) is not None
    )


def _line(
    edited: Edited, name: str, line: Line, point: SamplePoint, begin: datetime
) -> ScheduleEdit:
    out = bool(line.get("out"))
    errors = {} if out else errors_of(edited.errors, name)
    kept = list(line) if out else ["point", "state"]
    tests = [key for key in tests_ticked(line) if key in _names()]
    state = line.get("state", "")
    return ScheduleEdit(
        name=name,
        title=place_words(point, state if state in State.values else ""),
        hidden=tuple((f"{name}.{key}", line[key]) for key in kept if line.get(key)),
        out=out,
        tests_text=test_names(tests) or _("no test yet"),
        ticks=test_ticks(name, line, point),
        days=_days(name, line, errors),
        times=text_field(
            f"{name}.times",
            _("Times of the day"),
            {},
            value=line.get("times", ""),
            help=_("On the plant's clock, such as 02:00 06:00 10:00."),
            required=True,
            error=errors.get("times", ""),
        ),
        grace=text_field(
            f"{name}.grace",
            _("May be late by"),
            {},
            kind="number",
            value=line.get("grace", USUAL_GRACE),
            unit=_("min"),
            required=True,
            error=errors.get("grace", ""),
        ),
        more=_more(name, line, errors),
        weekdays=tuple(
            TestTick(
                name=f"{name}.day.{day}",
                label=weekday_word(day),
                ticked=bool(line.get(f"day.{day}")),
            )
            for day in WEEKDAYS
        ),
        next_times=() if out else _next(edited, line, begin),
        tests_error=errors.get("tests", ""),
        open=not tests or "tests" in errors,
        more_open=line.get("days", DAILY) != DAILY,
    )


def errors_of(errors: Mapping[str, str], name: str) -> dict[str, str]:
    """Return what is wrong with one line of the form, by field."""
    start = f"{name}."
    return {key.removeprefix(start): text for key, text in errors.items() if key.startswith(start)}


def _names() -> dict[str, str]:
    """Return the bench tests by name."""
    named = {key: _(methods.latest(key).name) for key, _version in methods.METHODS}
    return dict(sorted(named.items(), key=lambda each: each[1].lower()))


def test_ticks(name: str, line: Line, point: SamplePoint) -> tuple[TestTick, ...]:
    """Return the tests that can be ticked; a check of a boiler is offered at a boiler only."""
    return tuple(
        TestTick(name=f"{name}.test.{key}", label=label, ticked=bool(line.get(f"test.{key}")))
        for key, label in _names().items()
        if point.boiler_id or not methods.latest(key).checks or line.get(f"test.{key}")
    )


def _days(name: str, line: Line, errors: Mapping[str, str]) -> FieldView:
    choices = [
        (DAILY, _("Every day")),
        (ON_WEEKDAYS, _("On the weekdays ticked")),
        (NTH_DAY, _("Every so many days")),
        (MONTHLY, _("Once a month")),
        (BY_RULE, _("By a rule of its own")),
    ]
    typed = {f"{name}.days": line.get("days", DAILY)}
    return choice_field(
        f"{name}.days",
        _("On which days"),
        choices,
        typed,
        required=True,
        error=errors.get("days", ""),
    )


def _more(name: str, line: Line, errors: Mapping[str, str]) -> tuple[FieldView, ...]:
    """Return the fields that one choice of days asks for; the others keep what stands in them."""
    month = [(str(day), _("day %(day)s") % {"day": day}) for day in range(1, 29)]
    return (
        text_field(
            f"{name}.every",
            _("Every so many days: how many"),
            {},
            kind="number",
            value=line.get("every", ""),
            help=_("Counted from the day on which the version begins."),
            error=errors.get("every", ""),
        ),
        choice_field(
            f"{name}.month_day",
            _("Once a month: which day"),
            [*month, (str(LAST_DAY), _("the last day"))],
            {f"{name}.month_day": line.get("month_day", "1")},
            required=True,
            error=errors.get("month_day", ""),
        ),
        text_field(
            f"{name}.rule",
            _("A rule of its own, as the calendar standard RFC 5545 writes it"),
            {},
            value=line.get("rule", ""),
            help=_("Such as FREQ=MONTHLY;BYDAY=1MO;BYHOUR=9 for the first Monday at 09:00."),
            error=errors.get("rule", ""),
        ),
    )


def _next(edited: Edited, line: Line, begin: datetime) -> tuple[str, ...]:
    """Return the next times of a line in words, nothing where its rule can't be read yet."""
    rule = rule_or_none(line)
    try:
        refuse_recurrence(rule or "")
    except RecordError:
        return ()
    times = next_times(edited.plant, rule or "", begin, SHOWN_TIMES)
    return tuple(words.moment(edited.plant, instant) for instant in times)
