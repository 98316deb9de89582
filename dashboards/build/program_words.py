"""Words of a program that several of its screens share: limits, places, when a test is due."""

from collections.abc import Iterable, Sequence

from django.utils.dates import WEEKDAYS as WEEKDAY_NAMES
from django.utils.text import format_lazy
from django.utils.translation import gettext as _

from chemistry import methods
from dashboards import words
from dashboards.forms.program_lines import shared_lines
from records.models import Program, SamplePoint, ScheduleLine
from records.recurrence import LAST_DAY, WEEKDAYS, Recurrence, recurrence_of


def weekday_word(day: str) -> str:
    """Return the name of a weekday that RFC 5545 writes with two letters."""
    return str(WEEKDAY_NAMES[WEEKDAYS.index(day)])


def point_words(point: SamplePoint) -> str:
    """Return a sample point by its boiler and its water."""
    return ", ".join(dict.fromkeys(words.place(point)))


def place_words(point: SamplePoint, state: str) -> str:
    """Return a sample point with the state of its boiler; shared water has none, "" is any."""
    if point.boiler_id is None or not state:
        return point_words(point)
    state = words.state_word(state).lower()
    return str(format_lazy("{point}, {state}", point=point_words(point), state=state))


def span_words(low: str, high: str) -> str:
    """Return a range in words, "" where neither end is set."""
    ends = {"low": low, "high": high}
    if low and high:
        return _("%(low)s to %(high)s") % ends
    if high:
        return _("at most %(high)s") % ends
    return _("at least %(low)s") % ends if low else ""


def rule_words(text: str) -> str:
    """Return when a test is due in words; a rule that the form can't show stays as it is written.

    >>> rule_words("FREQ=DAILY;BYHOUR=6,14")
    'every day at 06:00, 14:00'
    """
    rule = recurrence_of(text)
    if rule is None:
        return text
    told = {"times": ", ".join(f"{at:%H:%M}" for at in rule.times)}
    return _("%(days)s at %(times)s") % {"days": _days_words(rule), **told}


def _days_words(rule: Recurrence) -> str:
    if rule.month_day == LAST_DAY:
        return _("on the last day of each month")
    if rule.month_day is not None:
        return _("on day %(day)s of each month") % {"day": rule.month_day}
    if rule.weekdays:
        return _("on %(days)s") % {"days": ", ".join(map(weekday_word, rule.weekdays))}
    if rule.every > 1:
        return _("every %(count)s days") % {"count": rule.every}
    return _("every day")


def test_names(keys: Iterable[str]) -> str:
    """Return the names of bench tests."""
    return ", ".join(_(methods.latest(key).name) for key in keys)


def schedule_words(rows: Sequence[ScheduleLine]) -> tuple[str, ...]:
    """Return a schedule as sentences, tests that are due together in one."""
    told = []
    for together in shared_lines(rows):
        first = together[0]
        parts = {
            "place": place_words(first.sample_point, first.state),
            "tests": test_names(row.method for row in together),
            "rule": rule_words(first.recurrence),
        }
        told.append(_("%(place)s: %(tests)s, %(rule)s") % parts)
    return tuple(told)


def program_name(program: Program) -> str:
    """Return what a program is about: its boiler, or the water that the boilers share."""
    return program.boiler.name if program.boiler else program.name


def program_about(program: Program) -> str:
    """Return kind, pressure and treatment of a program's boiler."""
    boiler = program.boiler
    if boiler is None:
        return _("Water that the plant's boilers share")
    kind = str(boiler.get_kind_display())
    if boiler.superheater:
        kind = _("%(kind)s with superheater") % {"kind": kind}
    parts = (kind, words.boiler_pressure(program.plant, boiler), boiler.treatment)
    return " · ".join(part for part in parts if part)
