"""The form of a new program version: its numbered lines, and what its buttons do to them.

Every button sends the whole form, so that all that was typed comes back. A limit's fields are named
`l3.high`, a schedule line's `s2.times`.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from uuid import uuid4

from django.utils.translation import gettext_noop

from chemistry.bases import BASES
from dashboards import words
from records import clock
from records.models import Limit, Plant, ProgramVersion, ScheduleLine
from records.recurrence import Recurrence, recurrence_of
from records.selectors.programs import limits_of, schedule_of

LIMIT_FIELDS = (
    "point", "state", "what", "low", "high", "target", "guard_band", "unit", "source",
    "confidence", "note", "out", "confirmed", "of", "beside",
)  # fmt: skip
LINE_FIELDS = ("point", "state", "times", "days", "every", "month_day", "rule", "grace", "out")
DAILY, ON_WEEKDAYS, NTH_DAY, MONTHLY, BY_RULE = "daily", "weekdays", "nth", "monthly", "rule"
# A form stays a form that a person can look over: rule of our own.
MOST_LIMITS, MOST_LINES = 150, 60
TOO_MANY = gettext_noop("This form holds at most %(limits)s limits and %(lines)s schedule lines.")
USUAL_GRACE = "90"
_NAME = re.compile(r"([ls])(\d{1,4})\.([\w.]{1,60})", re.ASCII)

Line = dict[str, str]


@dataclass
class ProgramForm:
    """A form as it stands: numbered limits and schedule lines, and the fields of the whole."""

    limits: dict[int, Line] = field(default_factory=dict)
    lines: dict[int, Line] = field(default_factory=dict)
    head: dict[str, str] = field(default_factory=dict)

    @property
    def key(self) -> str:
        return self.head.get("key") or str(uuid4())

    def kept_limits(self) -> dict[int, Line]:
        """Return the limits that were not taken out."""
        return {n: line for n, line in self.limits.items() if not line.get("out")}

    def kept_lines(self) -> dict[int, Line]:
        """Return the schedule lines that were not taken out."""
        return {n: line for n, line in self.lines.items() if not line.get("out")}

    def add_limit(self, line: Line) -> int:
        """Add a limit at the end; returns its number."""
        number = max(self.limits, default=-1) + 1
        self.limits[number] = line
        return number

    def add_line(self, line: Line) -> int:
        """Add a schedule line at the end; returns its number."""
        number = max(self.lines, default=-1) + 1
        self.lines[number] = line
        return number

    def limit_of(self, point: str, state: str, analyte: str) -> int | None:
        """Return the number of the limit of an analyte at a point in a state."""
        for number, line in self.kept_limits().items():
            same = line.get("point") == point and line.get("state") == state
            if same and line.get("what", "").partition("~")[0] == analyte:
                return number
        return None

    @property
    def too_long(self) -> bool:
        return len(self.limits) > MOST_LIMITS or len(self.lines) > MOST_LINES


def form_sent(sent: Mapping[str, str]) -> ProgramForm:
    """Return the form as it was sent; names that are none of ours are left."""
    form = ProgramForm()
    for name, text in sent.items():
        match = _NAME.fullmatch(name)
        if match is None:
            form.head[name] = text
            continue
        which, number, key = match.groups()
        if which == "l" and key in LIMIT_FIELDS:
            form.limits.setdefault(int(number), {})[key] = text
        elif which == "s" and (key in LINE_FIELDS or key.startswith(("test.", "day."))):
            form.lines.setdefault(int(number), {})[key] = text
    form.limits = dict(sorted(form.limits.items()))
    form.lines = dict(sorted(form.lines.items()))
    return form


def form_begun(version: ProgramVersion | None) -> ProgramForm:
    """Return a form that holds what a version says; empty for the first version of a program."""
    form = ProgramForm()
    if version is not None:
        for row in limits_of(version):
            form.add_limit(line_of_limit(row))
        for rows in shared_lines(schedule_of(version)):
            form.add_line(line_of_schedule(rows))
    return form


def line_of_limit(row: Limit) -> Line:
    """Return a stored limit as a line of the form."""
    keys = ("low", "high", "target", "guard_band", "unit", "source", "confidence", "note", "state")
    line = {key: str(getattr(row, key)) for key in keys}
    return {**line, "point": str(row.sample_point_id), "what": what(row.analyte, row.basis)}


def what(analyte: str, basis: str) -> str:
    """Return the one text by which a form names an analyte on a basis."""
    return f"{analyte}~{basis}"


def whats() -> list[tuple[str, str]]:
    """Return analyte and basis of everything that a bench test gives."""
    return [(analyte, basis.text) for analyte, bases in BASES.items() for basis in bases]


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


def new_limit(plant: Plant, point: str, state: str, chosen: str, unit: str) -> Line:
    """Return an empty limit for an analyte at a point in a state."""
    line = {"point": point, "state": state, "what": chosen, "confidence": "decided for this plant"}
    return {**line, "unit": words.plant_unit(plant, unit)}


def new_line(point: str, state: str) -> Line:
    """Return an empty schedule line."""
    return {"point": point, "state": state, "days": DAILY, "grace": USUAL_GRACE}


def begins_at(plant: Plant, form: ProgramForm) -> str:
    """Return from when the version holds as the form says it, by itself a little later than now."""
    return form.head.get("in_force_from") or words.for_input(plant, clock.now())
