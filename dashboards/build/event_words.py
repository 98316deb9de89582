"""What happened that asks for a draw, in words."""

from collections.abc import Sequence
from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.analytes import ANALYTES
from dashboards import words
from dashboards.build.program_words import place_words, point_words, test_names
from dashboards.forms.program_lines import shared_events
from dashboards.screens.program import EventLine
from records.models import DrawEvent, DueSlot, EventDraw, Plant, SamplePoint

_AFTER = {
    DrawEvent.LIGHT_OFF: gettext_noop("%(span)s after light-off at %(at)s."),
    DrawEvent.STATE_CHANGE: gettext_noop("%(span)s after the change of state at %(at)s."),
    DrawEvent.DOSE: gettext_noop("%(span)s after the dose at %(at)s."),
    DrawEvent.BLOWDOWN: gettext_noop("%(span)s after the blowdown at %(at)s."),
}
_AT_ONCE = {
    DrawEvent.LIGHT_OFF: gettext_noop("Light-off at %(at)s."),
    DrawEvent.STATE_CHANGE: gettext_noop("The state changed at %(at)s."),
    DrawEvent.DOSE: gettext_noop("After the dose at %(at)s."),
    DrawEvent.BLOWDOWN: gettext_noop("After the blowdown at %(at)s."),
}
# What asks for a draw, as a program's page and form begin a sentence with it.
_HAPPENS = {
    DrawEvent.LIGHT_OFF: gettext_noop("After light-off"),
    DrawEvent.STATE_CHANGE: gettext_noop("After a change of state"),
    DrawEvent.DOSE: gettext_noop("After a dose"),
    DrawEvent.BLOWDOWN: gettext_noop("After a blowdown"),
}
_ABOVE = gettext_noop("%(what)s of %(where)s was above %(trigger)s %(unit)s at %(at)s.")


def event_why(plant: Plant, slot: DueSlot) -> str:
    """Return why an event asked for a slot's test, or "" where none did."""
    draw = slot.event_draw
    if draw is None or slot.happened_at is None:
        return ""
    told = {"at": words.time_of(plant, slot.happened_at)}
    if draw.event == DrawEvent.RESULT_ABOVE:
        return _(_ABOVE) % {**told, **_watched(draw)}
    said = _AFTER if draw.minutes_after else _AT_ONCE
    span = words.span(timedelta(minutes=draw.minutes_after))
    return _(said[DrawEvent(draw.event)]) % {**told, "span": span}


def happening_words(event: str, watched: SamplePoint | None, analyte: str) -> str:
    """Return what asks for a draw, without the trigger of a result."""
    if event in _HAPPENS:
        return _(_HAPPENS[DrawEvent(event)])
    what = {
        "what": _(ANALYTES[analyte].name) if analyte in ANALYTES else _("A result"),
        "where": point_words(watched) if watched else _("another place"),
    }
    return _("%(what)s of %(where)s above a trigger") % what


def draw_happening(draw: EventDraw) -> str:
    """Return what asks for a stored draw, with the trigger as the program gives it."""
    if draw.event in _HAPPENS:
        return _(_HAPPENS[DrawEvent(draw.event)])
    told = _("%(what)s of %(where)s above %(trigger)s %(unit)s")
    where = {"where": point_words(draw.watched_point)} if draw.watched_point else {}
    return told % {**_watched(draw), **where}


def event_lines(rows: Sequence[EventDraw]) -> tuple[EventLine, ...]:
    """Return a program's draws after events as sentences, tests asked for together in one."""
    return tuple(
        EventLine(text=_asked(together), source=together[0].source)
        for together in shared_events(rows)
    )


def _asked(rows: Sequence[EventDraw]) -> str:
    first = rows[0]
    told = _("%(happened)s: %(tests)s at %(place)s, %(times)s")
    return told % {
        "happened": draw_happening(first),
        "tests": test_names(row.method for row in rows),
        "place": place_words(first.sample_point, first.state),
        "times": times_words(first.minutes_after, first.grace_minutes),
    }


def times_words(after: int, grace: int) -> str:
    """Return how long after an event a draw is due, and how late it may be."""
    due = words.span(timedelta(minutes=after))
    told = {"due": due, "late": words.span(timedelta(minutes=grace))}
    if not after:
        return _("at once, may be late by %(late)s") % told
    return _("%(due)s later, may be late by %(late)s") % told


def _watched(draw: EventDraw) -> dict[str, str]:
    """Return what is watched where, and its trigger as the program gives it."""
    place = words.place(draw.watched_point)[0] if draw.watched_point else ""
    return {
        "what": _(ANALYTES[draw.watched_analyte].name),
        "where": place,
        "trigger": draw.trigger_value,
        "unit": units.label(draw.trigger_unit),
    }
