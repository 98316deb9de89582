"""The draws that a program asks for when something happens, as a chemist gives them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from django.utils.translation import gettext_noop

from chemistry import methods, units
from chemistry.analytes import ANALYTES
from chemistry.entry import parse_number
from chemistry.errors import ChemistryError
from records.errors import RecordError, fitting
from records.models import DrawEvent, EventDraw, ProgramVersion, SamplePoint, State
from records.selectors.rounds import MOST_GRACE

NOT_AN_EVENT = gettext_noop("Pick one of the events given.")
NOT_A_STATE = gettext_noop("Pick one of the states given, or none.")
BAD_MINUTES = gettext_noop("Say how many minutes afterwards: 0 to 1440.")
BAD_GRACE = gettext_noop("Say within how many minutes the test may be late: 0 to 10080.")
SOURCE_NEEDED = gettext_noop("Say where this comes from.")
WATCHED_NEEDED = gettext_noop("Say which result is watched, and above which figure it counts.")
NOTHING_WATCHED = gettext_noop("Only a result that lies above a trigger has something to watch.")
# A draw longer after the event says nothing of it: rule of our own.
_MOST_MINUTES = 24 * 60


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


def event_draw_of(entry: EventEntry) -> EventDraw:
    """Return the row of an entry, without plant and version; raises RecordError by field."""
    if entry.event not in DrawEvent.values:
        raise RecordError("not_an_event", NOT_AN_EVENT, field="event")
    if entry.state and entry.state not in State.values:
        raise RecordError("not_a_state", NOT_A_STATE, field="state")
    if not 0 <= entry.minutes_after <= _MOST_MINUTES:
        raise RecordError("bad_minutes", BAD_MINUTES, field="minutes_after")
    if not 0 <= entry.grace_minutes <= MOST_GRACE / timedelta(minutes=1):
        raise RecordError("bad_grace", BAD_GRACE, field="grace_minutes")
    source = fitting(entry.source, 200, "source")
    if not source:
        raise RecordError("source_needed", SOURCE_NEEDED, field="source")
    methods.latest(entry.method)
    return EventDraw(
        sample_point=entry.point,
        state=entry.state,
        method=entry.method,
        event=entry.event,
        minutes_after=entry.minutes_after,
        grace_minutes=entry.grace_minutes,
        watched_point=entry.watched_point,
        watched_analyte=entry.watched_analyte,
        trigger_value=_trigger(entry),
        trigger_unit=entry.trigger_unit,
        source=source,
    )


def _trigger(entry: EventEntry) -> str:
    """Return the trigger as a plain figure; raises RecordError where it is none of its kind."""
    watched = (entry.watched_point, entry.watched_analyte, entry.trigger_value, entry.trigger_unit)
    if entry.event != DrawEvent.RESULT_ABOVE:
        if any(watched):
            raise RecordError("nothing_watched", NOTHING_WATCHED, field="event")
        return ""
    if not all(watched) or entry.watched_analyte not in ANALYTES:
        raise RecordError("watched_needed", WATCHED_NEEDED, field="trigger_value")
    try:
        text = parse_number(entry.trigger_value).normalized
        units.convert(float(text), entry.trigger_unit, ANALYTES[entry.watched_analyte].unit)
    except ChemistryError as error:
        raise RecordError(
            error.code, error.template, field="trigger_value", **error.params
        ) from error
    return text


def event_entries_of(version: ProgramVersion | None) -> Sequence[EventEntry]:
    """Return the draws of a version as entries, to be taken over by the next one."""
    if version is None:
        return []
    kept = EventDraw.objects.filter(plant=version.plant_id, version=version)
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
        for row in kept.select_related("sample_point", "watched_point").order_by("id")
    ]
