"""Set a plant up: the plant with its shifts, boilers with their states, points, instruments,
lots."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from math import inf
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import CharField, FloatField
from django.utils.translation import gettext_noop
from django_scopes import scope

from records import clock
from records.actors import Actor
from records.errors import RecordError, fitting
from records.models import (
    Boiler,
    BoilerState,
    Instrument,
    Lot,
    Organization,
    Plant,
    Program,
    SampleKind,
    SamplePoint,
    Shift,
    State,
)
from records.permissions import Deed
from records.selectors.programs import state_entry_at
from records.services.ledger import ledger_lock
from records.services.people import audit

UNKNOWN_ZONE = gettext_noop("“%(zone)s” is not a time zone. Write one like America/Chicago.")
BAD_FIGURE = gettext_noop("Look at this again: %(why)s")
STATE_IN_FUTURE = gettext_noop("A state can't be recorded for a time to come.")
NAME_TAKEN = gettext_noop("Another one of this plant has this name already.")
NAME_NEEDED = gettext_noop("Give it a name.")
PLANT_TAKEN = gettext_noop("The organization has a plant of this name already.")
NOT_POSITIVE = gettext_noop("This figure must be above zero. Leave it empty where it isn't known.")
LOT_NUMBER_NEEDED = gettext_noop("Give the lot number on the label.")
LOT_TAKEN = gettext_noop("This lot is on the register already.")
NOT_A_STATE = gettext_noop("Pick one of the states given.")
THREE_SHIFTS = (("Day", time(6)), ("Evening", time(14)), ("Night", time(22)))


@dataclass(frozen=True, kw_only=True)
class NewPlant:
    """A plant to be set up; units are what its people read and speak in."""

    organization: str
    name: str
    timezone: str
    units: Mapping[str, str]
    whom_to_call: str = ""
    shifts: Sequence[tuple[str, time]] = THREE_SHIFTS


def plant_create(new: NewPlant) -> Plant:
    """Create a plant with its shifts: at a first start and by the demo, before anyone acts."""
    try:
        ZoneInfo(new.timezone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:  # a folder, or far too long
        raise RecordError(
            "unknown_zone", UNKNOWN_ZONE, field="timezone", zone=new.timezone
        ) from error
    names = {
        "organization": fitting(new.organization, 120, "organization"),
        "plant": fitting(new.name, 120, "plant"),
    }
    for field, text in names.items():
        if not text:
            raise RecordError("name_needed", NAME_NEEDED, field=field)
    with transaction.atomic():
        organization = Organization.objects.get_or_create(name=names["organization"])[0]
        if Plant.objects.filter(organization=organization, name=names["plant"]).exists():
            raise RecordError("plant_taken", PLANT_TAKEN, field="plant")
        plant = Plant.objects.create(
            organization=organization,
            name=names["plant"],
            timezone=new.timezone,
            whom_to_call=fitting(new.whom_to_call, 200, "whom_to_call"),
            **new.units,
        )
        with scope(plant=plant):
            Shift.objects.bulk_create(
                [Shift(plant=plant, name=name, starts_at=start) for name, start in new.shifts]
            )
            # The water that the boilers share has a program of its own.
            Program.objects.create(plant=plant, name="Shared water")
    return plant


def boiler_add(*, actor: Actor, state: State = State.STEAMING, **figures: Any) -> Boiler:
    """Add a boiler in its present state, with its program and its boiler-water sample point."""
    actor.require(Deed.SET_UP)
    boiler = Boiler(plant=actor.plant, **figures)
    with transaction.atomic():
        _save_checked(boiler)
        _state_write(actor, boiler, state, clock.now(), "")
        Program.objects.create(plant=actor.plant, boiler=boiler, name=boiler.name)
        point_add(
            actor=actor,
            name=f"{boiler.name} water",
            kind=SampleKind.BOILER_WATER,
            boiler=boiler,
        )
        audit(actor, "boiler added", boiler.name)
    return boiler


def point_add(
    *, actor: Actor, name: str, kind: SampleKind, boiler: Boiler | None = None
) -> SamplePoint:
    """Add a place where samples are drawn."""
    actor.require(Deed.SET_UP, boiler)
    position = SamplePoint.objects.filter(plant=actor.plant).count()
    point = SamplePoint(
        plant=actor.plant, name=name.strip(), kind=kind, boiler=boiler, position=position
    )
    _save_checked(point)
    audit(actor, "sample point added", point.name)
    return point


def instrument_add(*, actor: Actor, **figures: Any) -> Instrument:
    """Add an instrument to the register."""
    actor.require(Deed.SET_UP)
    instrument = Instrument(plant=actor.plant, **figures)
    _save_checked(instrument)
    audit(actor, "instrument added", instrument.name)
    return instrument


def lot_add(*, actor: Actor, **figures: Any) -> Lot:
    """Add a bottle of a reagent or standard solution to the register, by its lot number."""
    actor.require(Deed.SET_UP)
    lot = Lot(plant=actor.plant, **figures)
    same = {"kind": lot.kind, "name": lot.name.strip(), "lot_number": lot.lot_number.strip()}
    if not same["lot_number"]:
        raise RecordError("lot_number_needed", LOT_NUMBER_NEEDED, field="lot_number")
    if Lot.objects.filter(plant=actor.plant, **same).exists():
        raise RecordError("name_taken", LOT_TAKEN, field="lot_number")
    _clean(lot)
    lot.save()
    audit(actor, "lot added", f"{lot.name}, {lot.lot_number}")
    return lot


def boiler_state_set(
    *, actor: Actor, boiler: Boiler, state: str, since: datetime, note: str = ""
) -> BoilerState:
    """Record that a boiler is in a state since an instant; earlier entries stay.

    The same once more changes nothing."""
    actor.require(Deed.SET_STATE, boiler)
    said = fitting(note, 200, "note")
    if state not in State.values:
        raise RecordError("not_a_state", NOT_A_STATE, field="state")
    if since > clock.now():
        raise RecordError("state_in_future", STATE_IN_FUTURE, field="since")
    with transaction.atomic():
        ledger_lock(actor.plant)  # a form sent twice at once: the second one finds the first
        held = state_entry_at(boiler, since)
        if held is not None and (held.state, held.since, held.note) == (state, since, said):
            return held
        return _state_write(actor, boiler, state, since, said)


def _state_write(
    actor: Actor, boiler: Boiler, state: str, since: datetime, note: str
) -> BoilerState:
    """Insert a state: a change of it, or the first one, which comes with setting the boiler up."""
    written: BoilerState = BoilerState.objects.create(
        plant=actor.plant,
        boiler=boiler,
        state=state,
        since=since,
        recorded_at=clock.now(),
        note=note,
        **actor.signed_by,
    )
    return written


def _save_checked(row: Boiler | SamplePoint | Instrument) -> None:
    """Save a row of the set-up under a name that no other one has."""
    if type(row).objects.filter(plant=row.plant_id, name=row.name).exists():
        raise RecordError("name_taken", NAME_TAKEN, field="name")
    _clean(row)
    row.save()


def _clean(row: Boiler | SamplePoint | Instrument | Lot) -> None:
    """Raise with the field named where a row's figures can't be."""
    for column in row._meta.concrete_fields:
        if isinstance(column, CharField) and column.max_length:
            text = fitting(getattr(row, column.attname), column.max_length, column.name)
            setattr(row, column.attname, text)
    if not row.name:
        raise RecordError("name_needed", NAME_NEEDED, field="name")
    for column in row._meta.concrete_fields:
        value = getattr(row, column.attname)
        if isinstance(column, FloatField) and value is not None and not 0 < value < inf:
            raise RecordError("not_positive", NOT_POSITIVE, field=column.name)
    try:
        row.full_clean(exclude=["plant"])
    except ValidationError as error:
        field, messages = next(iter(error.message_dict.items()))
        why = " ".join(messages)
        raise RecordError("bad_figure", BAD_FIGURE, field=field, why=why) from error
