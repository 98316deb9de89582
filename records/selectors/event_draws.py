"""The draws that a program asks for when something happens, as a chemist gives them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods, units
from chemistry.analytes import ANALYTES
from chemistry.entry import parse_number
from records.errors import fitting
from records.models import DrawEvent, EventDraw, ProgramVersion, SamplePoint, State
from records.selectors.program_entry import LineReading, LineRefused
from records.selectors.programs import event_draws_of

NOT_AN_EVENT = gettext_noop("Pick one of the events given.")
NOT_A_STATE = gettext_noop("Pick one of the states given, or none.")
BAD_MINUTES = gettext_noop("Say how many minutes afterwards: 0 to 1440.")
SOURCE_NEEDED = gettext_noop("Say where this comes from.")
WATCHED_NEEDED = gettext_noop("Say which result is watched, and above which figure it counts.")
NOTHING_WATCHED = gettext_noop("Only a result that lies above a trigger has something to watch.")
NOT_OF_SHARED = gettext_noop("This happens to a boiler, not to the water that boilers share.")
ASKED_TWICE = gettext_noop("%(test)s is asked for once more by the same event, at the same time.")
# A draw longer after the event says nothing of it: rule of our own.
MOST_MINUTES = 24 * 60
# What happens to a boiler alone: the water that boilers share has no state of its own.
_OF_A_BOILER = frozenset({DrawEvent.LIGHT_OFF, DrawEvent.STATE_CHANGE, DrawEvent.BLOWDOWN})
_LONGEST_SOURCE = 200


@dataclass(frozen=True, kw_only=True)
class EventEntry:
    """A test asked for when something happens; what is watched only with a result above a trigger.

    `state` is the boiler's when the test falls due, blank for any; texts as typed.
    """

    point: SamplePoint
    method: str
    event: str
    minutes_after: int
    source: str
    state: str = ""
    grace_minutes: int = 90
    watched_point: SamplePoint | None = None
    watched_analyte: str = ""
    trigger_value: str = ""
    trigger_unit: str = ""

    @property
    def points(self) -> list[SamplePoint]:
        return [each for each in (self.point, self.watched_point) if each is not None]

    @property
    def same(self) -> tuple[object, ...]:
        """What two draws have in common that would ask for the same test twice."""
        watched = (self.watched_point and self.watched_point.pk, self.watched_analyte)
        trigger = (self.trigger_value, self.trigger_unit)
        asked = (self.event, self.point.pk, self.state, self.method, self.minutes_after)
        return (*asked, *watched, *trigger)


class EventRefused(LineRefused):
    """What was typed for one draw can't be used."""


def events_at(point: SamplePoint) -> list[DrawEvent]:
    """Return what can happen at a sample point that asks for a draw there."""
    return [each for each in DrawEvent if point.boiler_id or each not in _OF_A_BOILER]


def events_read(
    entries: Sequence[EventEntry],
) -> tuple[list[EventDraw], list[LineRefused]]:
    """Return unsaved draws, and what is refused."""
    rows, refused = [], []
    seen: set[tuple[object, ...]] = set()
    for number, entry in enumerate(entries):
        reading = LineReading(number, EventRefused)
        rows.append(_draw(reading, entry))
        if entry.same in seen and not reading.refused:
            name = _(methods.latest(entry.method).name)
            reading.refuse("method", "twice", ASKED_TWICE, test=name)
        seen.add(entry.same)
        refused += reading.refused
    return rows, refused


def _draw(reading: LineReading, entry: EventEntry) -> EventDraw:
    if entry.event not in DrawEvent.values:
        reading.refuse("event", "not_an_event", NOT_AN_EVENT)
    elif entry.event not in events_at(entry.point):
        reading.refuse("event", "not_of_shared_water", NOT_OF_SHARED)
    if entry.state and entry.state not in State.values:
        reading.refuse("state", "not_a_state", NOT_A_STATE)
    if not 0 <= entry.minutes_after <= MOST_MINUTES:
        reading.refuse("minutes_after", "bad_minutes", BAD_MINUTES)
    reading.grace(entry.grace_minutes)
    source = reading.attempt("source", lambda: fitting(entry.source, _LONGEST_SOURCE, "source"))
    if not entry.source.strip():
        reading.refuse("source", "source_needed", SOURCE_NEEDED)
    reading.attempt("method", lambda: methods.latest(entry.method).key)
    return EventDraw(
        sample_point=entry.point,
        state=entry.state,
        method=entry.method,
        event=entry.event,
        minutes_after=entry.minutes_after,
        grace_minutes=entry.grace_minutes,
        source=source,
        **_watched(reading, entry),
    )


def _watched(reading: LineReading, entry: EventEntry) -> dict[str, Any]:
    """Return what is watched, with its trigger as a plain figure and the key of its unit."""
    watched = (entry.watched_point, entry.watched_analyte, entry.trigger_value, entry.trigger_unit)
    if entry.event != DrawEvent.RESULT_ABOVE:
        if any(watched):
            reading.refuse("event", "nothing_watched", NOTHING_WATCHED)
        return {}
    if not all(watched) or entry.watched_analyte not in ANALYTES:
        reading.refuse("trigger_value", "watched_needed", WATCHED_NEEDED)
        return {}
    return {
        "watched_point": entry.watched_point,
        "watched_analyte": entry.watched_analyte,
        "trigger_value": reading.attempt(
            "trigger_value", lambda: parse_number(entry.trigger_value).normalized
        ),
        "trigger_unit": reading.attempt("trigger_unit", lambda: _unit(entry)),
    }


def _unit(entry: EventEntry) -> str:
    """Return the key of a unit that measures what is watched. Errors: EntryError."""
    unit = units.unit_key(entry.trigger_unit)
    units.convert(1.0, unit, ANALYTES[entry.watched_analyte].unit)
    return unit


def event_entries_of(version: ProgramVersion | None) -> Sequence[EventEntry]:
    """Return the draws of a version as entries, to be taken over by the next one."""
    if version is None:
        return []
    return [
        EventEntry(
            point=row.sample_point,
            method=row.method,
            event=row.event,
            minutes_after=row.minutes_after,
            source=row.source,
            state=row.state,
            grace_minutes=row.grace_minutes,
            watched_point=row.watched_point,
            watched_analyte=row.watched_analyte,
            trigger_value=row.trigger_value,
            trigger_unit=row.trigger_unit,
        )
        for row in event_draws_of(version)
    ]
