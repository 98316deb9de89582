"""Open the draws that something happening asks for: once for each cause.

Called from where states, actions and results are written, in the same transaction.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import QuerySet

from chemistry import units
from records import clock
from records.actors import Actor
from records.models import (
    Action,
    BoilerState,
    DrawEvent,
    DueSlot,
    EventDraw,
    Plant,
    Program,
    Result,
    Sample,
    State,
)
from records.selectors.programs import version_in_force
from records.services.slot_answers import slot_answer_by_earlier

# A boiler in one of these is hot: raising its steam is no light-off. Rule of our own.
HOT = frozenset({State.RAISING_STEAM, State.STEAMING, State.BANKED})
# Water drawn this long after its time tells nothing of a dose or a light-off: rule of our own.
TOLD_LATE = timedelta(hours=8)
_FIRED = frozenset({State.RAISING_STEAM, State.STEAMING})
_OF_ACTION = {"dose": DrawEvent.DOSE, "blowdown": DrawEvent.BLOWDOWN}


def state_slots_open(*, actor: Actor, changed: BoilerState, before: str) -> None:
    """Open what a change of a boiler's state asks for; the same state once more is no change."""
    if changed.state == before or _told_later(changed):
        return
    events = [DrawEvent.STATE_CHANGE]
    if changed.state in _FIRED and before not in HOT:
        events.append(DrawEvent.LIGHT_OFF)
    draws = _asked_by(actor.plant, changed.boiler_id, changed.since).filter(event__in=events)
    _open(actor, draws, cause=changed.pk, at=changed.since)


def _told_later(changed: BoilerState) -> bool:
    """Say whether the same change is on record already, with a later hour."""
    after = BoilerState.objects.filter(
        plant=changed.plant_id, boiler=changed.boiler_id, since__gt=changed.since
    )
    following = after.order_by("since", "recorded_at").first()
    return following is not None and following.state == changed.state


def action_slots_open(*, actor: Actor, action: Action) -> None:
    """Open what a dose or a blowdown asks for."""
    event = _OF_ACTION.get(action.kind)
    if event is not None:
        draws = _asked_by(actor.plant, action.boiler_id, action.done_at).filter(event=event)
        _open(actor, draws, cause=action.pk, at=action.done_at)


def sample_slots_open(*, actor: Actor, sample: Sample, results: Sequence[Result]) -> None:
    """Open what the results of a sample ask for that lie above a trigger.

    Any result counts, one in doubt or on another basis too: to test once more is no verdict.
    """
    watched = EventDraw.objects.filter(plant=actor.plant, watched_point=sample.sample_point_id)
    draws = [d for d in watched.select_related("version__program") if _in_force(d, sample.drawn_at)]
    if not draws:
        return
    asked = [draw for draw in draws if any(is_above(result, draw) for result in results)]
    _open(actor, asked, cause=sample.pk, at=sample.drawn_at)


def is_above(result: Result, draw: EventDraw) -> bool:
    """Say whether a result lies above a draw's trigger, in the result's own unit."""
    if result.analyte != draw.watched_analyte or result.qualifier == "<":
        return False
    trigger = units.convert(float(draw.trigger_value), draw.trigger_unit, result.unit)
    value = float(result.value)
    return value > trigger or (result.qualifier == ">" and value >= trigger)


def _in_force(draw: EventDraw, instant: datetime) -> bool:
    return version_in_force(draw.version.program, instant) == draw.version


def _asked_by(plant: Plant, boiler: UUID | None, instant: datetime) -> QuerySet[EventDraw]:
    """Return the draws of the program in force for a boiler, or for the shared water."""
    program = Program.objects.filter(plant=plant, boiler=boiler).order_by("name").first()
    version = version_in_force(program, instant)
    return EventDraw.objects.filter(plant=plant, version=version)


def _due(draw: EventDraw, at: datetime) -> datetime | None:
    """Return when a draw is due, or None where it is too late for it to tell anything.

    A result above its trigger still asks for its test, however late it is entered: then now.
    """
    due = at + timedelta(minutes=draw.minutes_after)
    if clock.now() - due <= TOLD_LATE:
        return due
    return clock.now() if draw.event == DrawEvent.RESULT_ABOVE else None


def _open(actor: Actor, draws: Iterable[EventDraw], *, cause: UUID, at: datetime) -> None:
    """Put draws on the list of what is due.

    Nobody could know before it was written down: their grace begins then at the earliest.
    """
    for draw in draws:
        due = _due(draw, at)
        if due is None:
            continue
        grace = timedelta(minutes=draw.grace_minutes)
        slot, opened = DueSlot.objects.get_or_create(
            plant=actor.plant,
            event_draw=draw,
            cause=cause,
            defaults={
                "sample_point_id": draw.sample_point_id,
                "method": draw.method,
                "happened_at": at,
                "due_at": due,
                "missed_after": max(due, clock.now()) + grace,
            },
        )
        if opened:
            slot_answer_by_earlier(actor=actor, slot=slot)
