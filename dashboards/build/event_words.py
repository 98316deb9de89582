"""What happened that asks for a draw, in words."""

from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.analytes import ANALYTES
from dashboards import words
from records.models import DrawEvent, DueSlot, EventDraw, Plant

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
_ABOVE = gettext_noop("%(what)s of %(where)s was above %(trigger)s %(unit)s at %(at)s.")


def event_why(plant: Plant, slot: DueSlot) -> str:
    """Return why an event asked for a slot's test, or "" where none did."""
    draw = slot.event_draw
    if draw is None or slot.happened_at is None:
        return ""
    told = {"at": words.time_of(plant, slot.happened_at)}
    if draw.event == DrawEvent.RESULT_ABOVE:
        return _(_ABOVE) % {**told, **_watched(plant, draw)}
    said = _AFTER if draw.minutes_after else _AT_ONCE
    span = words.span(timedelta(minutes=draw.minutes_after))
    return _(said[DrawEvent(draw.event)]) % {**told, "span": span}


def _watched(plant: Plant, draw: EventDraw) -> dict[str, str]:
    """Return what is watched where, and its trigger as the program gives it."""
    place = words.place(draw.watched_point)[0] if draw.watched_point else ""
    return {
        "what": _(ANALYTES[draw.watched_analyte].name),
        "where": place,
        "trigger": draw.trigger_value,
        "unit": units.label(draw.trigger_unit),
    }
