"""From a stored version to the lines of a program's form."""

from collections.abc import Iterable, Sequence

from dashboards.forms.program import (
    BY_RULE,
    DAILY,
    MONTHLY,
    NTH_DAY,
    ON_WEEKDAYS,
    Line,
    ProgramForm,
    what,
)
from records.models import EventDraw, Limit, ProgramVersion, ScheduleLine
from records.recurrence import Recurrence, recurrence_of
from records.selectors.programs import event_draws_of, limits_of, schedule_of


def form_begun(version: ProgramVersion | None) -> ProgramForm:
    """Return a form that holds what a version says; empty for the first version of a program."""
    form = ProgramForm()
    if version is not None:
        for row in limits_of(version):
            form.add_limit(line_of_limit(row))
        for rows in shared_lines(schedule_of(version)):
            form.add_line(line_of_schedule(rows))
        for draws in shared_events(event_draws_of(version)):
            form.add_event(line_of_event(draws))
    return form


def line_of_limit(row: Limit) -> Line:
    """Return a stored limit as a line of the form."""
    keys = ("low", "high", "target", "guard_band", "unit", "source", "confidence", "note", "state")
    line = {key: str(getattr(row, key)) for key in keys}
    return {**line, "point": str(row.sample_point_id), "what": what(row.analyte, row.basis)}


def shared_lines(rows: Iterable[ScheduleLine]) -> list[list[ScheduleLine]]:
    """Return schedule lines of one point, state, rule and grace together, in their order."""
    found: dict[tuple[object, ...], list[ScheduleLine]] = {}
    for row in rows:
        rule = recurrence_of(row.recurrence) or row.recurrence
        key = (row.sample_point_id, row.state, rule, row.grace_minutes)
        found.setdefault(key, []).append(row)
    return list(found.values())


def line_of_schedule(rows: Sequence[ScheduleLine]) -> Line:
    """Return tests that are due at the same times as one line of the form."""
    first = rows[0]
    line = {
        "point": str(first.sample_point_id),
        "state": first.state,
        "grace": str(first.grace_minutes),
        **{f"test.{row.method}": "on" for row in rows},
    }
    return {**line, **_days(first.recurrence)}


def shared_events(rows: Iterable[EventDraw]) -> list[list[EventDraw]]:
    """Return draws together that differ by their test only, in their order."""
    found: dict[tuple[str, ...], list[EventDraw]] = {}
    for row in rows:
        found.setdefault(tuple(_event_fields(row).values()), []).append(row)
    return list(found.values())


def _event_fields(row: EventDraw) -> Line:
    return {
        "event": row.event,
        "point": str(row.sample_point_id),
        "state": row.state,
        "after": str(row.minutes_after),
        "grace": str(row.grace_minutes),
        "source": row.source,
        "watched": str(row.watched_point_id or ""),
        "analyte": row.watched_analyte,
        "trigger": row.trigger_value,
        "unit": row.trigger_unit,
    }


def line_of_event(rows: Sequence[EventDraw]) -> Line:
    """Return tests that one event asks for at the same time as one line of the form."""
    return {**_event_fields(rows[0]), **{f"test.{row.method}": "on" for row in rows}}


def _days(text: str) -> Line:
    rule = recurrence_of(text)
    if rule is None:
        return {"days": BY_RULE, "rule": text}
    times = " ".join(f"{at:%H:%M}" for at in rule.times)
    return {"times": times, **_which_days(rule)}


def _which_days(rule: Recurrence) -> Line:
    if rule.month_day is not None:
        return {"days": MONTHLY, "month_day": str(rule.month_day)}
    if rule.weekdays:
        return {"days": ON_WEEKDAYS, **{f"day.{day}": "on" for day in rule.weekdays}}
    if rule.every > 1:
        return {"days": NTH_DAY, "every": str(rule.every)}
    return {"days": DAILY}
