"""The form of a new program version: its numbered lines, and what its buttons do to them.

Every button sends the whole form, so that all that was typed comes back. A limit's fields are named
`l3.high`, a schedule line's `s2.times`, a draw's that an event asks for `e1.after`.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import uuid4

from django.utils.translation import gettext_noop

from chemistry.bases import BASES
from dashboards import words
from records.errors import RecordError
from records.models import Plant

LIMIT_FIELDS = (
    "point", "state", "what", "low", "high", "target", "guard_band", "unit", "source",
    "confidence", "note", "out", "confirmed", "of", "beside",
)  # fmt: skip
LINE_FIELDS = ("point", "state", "times", "days", "every", "month_day", "rule", "grace", "out")
EVENT_FIELDS = (
    "event", "point", "state", "after", "grace", "source", "watched", "analyte", "trigger", "unit",
    "out",
)  # fmt: skip
DAILY, ON_WEEKDAYS, NTH_DAY, MONTHLY, BY_RULE = "daily", "weekdays", "nth", "monthly", "rule"
# A form stays a form that a person can look over: rule of our own.
MOST_LIMITS, MOST_LINES, MOST_EVENTS = 150, 60, 40
TOO_MANY = gettext_noop(
    "This form holds at most %(limits)s limits, %(lines)s schedule lines and %(events)s draws that "
    "events ask for."
)
USUAL_GRACE = "90"
_NAME = re.compile(r"([lse])(\d{1,4})\.([\w.]{1,60})", re.ASCII)

_LINE_NAME = re.compile(r"([lse])(\d{1,4})", re.ASCII)
# What a line of each kind may hold: its fields, and what its ticks begin with.
_FIELDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "l": (LIMIT_FIELDS, ()),
    "s": (LINE_FIELDS, ("test.", "day.")),
    "e": (EVENT_FIELDS, ("test.",)),
}

Line = dict[str, str]


@dataclass
class ProgramForm:
    """A form as it stands: numbered limits, schedule lines and draws, and the fields of the whole.

    `events` are the draws that something happening asks for.
    """

    limits: dict[int, Line] = field(default_factory=dict)
    lines: dict[int, Line] = field(default_factory=dict)
    events: dict[int, Line] = field(default_factory=dict)
    head: dict[str, str] = field(default_factory=dict)

    @property
    def key(self) -> str:
        return self.head.get("key") or str(uuid4())

    def kept_limits(self) -> dict[int, Line]:
        """Return the limits that were not taken out."""
        return _kept(self.limits)

    def kept_lines(self) -> dict[int, Line]:
        """Return the schedule lines that were not taken out."""
        return _kept(self.lines)

    def kept_events(self) -> dict[int, Line]:
        """Return the draws after events that were not taken out."""
        return _kept(self.events)

    def add_limit(self, line: Line) -> None:
        """Add a limit at the end."""
        self.limits[next_number(self.limits)] = line

    def add_line(self, line: Line) -> None:
        """Add a schedule line at the end."""
        self.lines[next_number(self.lines)] = line

    def add_event(self, line: Line) -> None:
        """Add a draw after an event at the end."""
        self.events[next_number(self.events)] = line

    def named(self, name: str) -> Line | None:
        """Return what a name such as "l3" stands for, or None."""
        match = _LINE_NAME.fullmatch(name)
        return self._of(match[1]).get(int(match[2])) if match else None

    def _of(self, which: str) -> dict[int, Line]:
        return {"l": self.limits, "s": self.lines, "e": self.events}[which]

    def limit_of(self, point: str, state: str, analyte: str) -> int | None:
        """Return the number of the limit of an analyte at a point in a state."""
        for number, line in self.kept_limits().items():
            same = line.get("point") == point and line.get("state") == state
            if same and line.get("what", "").partition("~")[0] == analyte:
                return number
        return None

    def beyond(self, more: int) -> bool:
        """Say whether it would hold more than a form may with so many lines of each kind more."""
        held = ((self.limits, MOST_LIMITS), (self.lines, MOST_LINES), (self.events, MOST_EVENTS))
        return any(len(lines) + more > most for lines, most in held)

    def _take(self, which: str, number: int, key: str, text: str) -> None:
        """Take what was sent for one field of a line; a name that is none of ours is left."""
        fields, ticks = _FIELDS[which]
        if key in fields or key.startswith(ticks):
            self._of(which).setdefault(number, {})[key] = text

    def take_in(self, name: str, text: str) -> None:
        """Take one field as it was sent."""
        match = _NAME.fullmatch(name)
        if match is None:
            self.head[name] = text
        else:
            self._take(match[1], int(match[2]), match[3], text)


def _kept(lines: dict[int, Line]) -> dict[int, Line]:
    return {number: line for number, line in lines.items() if not line.get("out")}


def refuse_more(form: ProgramForm, more: int = 1) -> None:
    """Refuse a form that would be too long with one more line. Errors: RecordError too_many."""
    if form.beyond(more):
        most = {"limits": MOST_LIMITS, "lines": MOST_LINES, "events": MOST_EVENTS}
        raise RecordError("too_many", TOO_MANY, **{key: str(n) for key, n in most.items()})


def next_number(lines: Mapping[int, Line]) -> int:
    """Return the number of the line that is added next."""
    return max(lines, default=-1) + 1


def form_sent(sent: Mapping[str, str]) -> ProgramForm:
    """Return the form as it was sent; names that are none of ours are left."""
    form = ProgramForm()
    for name, text in sent.items():
        form.take_in(name, text)
    form.limits = dict(sorted(form.limits.items()))
    form.lines = dict(sorted(form.lines.items()))
    form.events = dict(sorted(form.events.items()))
    return form


def what(analyte: str, basis: str) -> str:
    """Return the one text by which a form names an analyte on a basis."""
    return f"{analyte}~{basis}"


def whats() -> list[tuple[str, str]]:
    """Return analyte and basis of everything that a bench test gives."""
    return [(analyte, basis.text) for analyte, bases in BASES.items() for basis in bases]


def new_limit(plant: Plant, point: str, state: str, chosen: str, unit: str) -> Line:
    """Return an empty limit for an analyte at a point in a state."""
    line = {"point": point, "state": state, "what": chosen, "confidence": "decided for this plant"}
    return {**line, "unit": words.plant_unit(plant, unit)}


def new_line(point: str, state: str) -> Line:
    """Return an empty schedule line."""
    return {"point": point, "state": state, "days": DAILY, "grace": USUAL_GRACE}


def new_event(event: str, point: str) -> Line:
    """Return an empty draw after an event."""
    return {"event": event, "point": point, "after": "0", "grace": USUAL_GRACE}


def watching(plant: Plant, line: Line, watched: str, analyte: str, unit: str) -> Line:
    """Return an empty draw that a result of an analyte above a trigger asks for."""
    more = {"watched": watched, "analyte": analyte, "unit": words.plant_unit(plant, unit)}
    return {**line, **more}
