"""Keep the register of instruments: new ones, what is known of them, what happens to them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor
from records.errors import RecordError, fitting
from records.models import (
    Happening,
    Instrument,
    InstrumentCard,
    InstrumentEvent,
    InstrumentKind,
)
from records.permissions import Deed
from records.selectors.card_entry import instrument_figures
from records.selectors.cards import card_of
from records.services.ledger import ledger_append, ledger_lock
from records.services.once import stored_once
from records.services.people import audit

WHY_NEEDED = gettext_noop("Say why.")
NOT_A_HAPPENING = gettext_noop("Pick what happened.")
IN_FUTURE = gettext_noop("This lies in the future. When was it?")
ALREADY_OUT = gettext_noop("It is out of service already.")
ALREADY_IN = gettext_noop("It is in service already.")
CHECK_FIRST = gettext_noop(
    "Its last check failed. It goes back in service once a check of it has passed."
)
NOT_A_KIND = gettext_noop("Pick what kind of instrument it is.")
NAME_NEEDED = gettext_noop("Give it the name that stands on it.")
NAME_TAKEN = gettext_noop("This name is taken at this plant.")
NOTHING_CHANGED = gettext_noop("Nothing on the card was changed.")

_LONGEST_WHY = 300
# What anybody who tests may write down; putting back in service is for who keeps the instruments.
_BY_TESTERS = (Happening.OUT_OF_SERVICE, Happening.NOTED)
_TOLD = (
    Happening.MOVED,
    Happening.REPAIRED,
    Happening.OUT_OF_SERVICE,
    Happening.BACK_IN_SERVICE,
    Happening.NOTED,
)


@dataclass(frozen=True, kw_only=True)
class InstrumentEntry:
    """A new instrument as typed; `figures` are the texts of its card."""

    kind: str
    name: str
    serial: str = ""
    figures: Mapping[str, str] = field(default_factory=dict)


def instrument_register(*, actor: Actor, entry: InstrumentEntry, key: str) -> UUID:
    """Add an instrument with its card; returns its key. Raises RecordError beside the field."""
    actor.require(Deed.KEEP_INSTRUMENTS)
    figures = instrument_figures(entry.figures)
    name, serial = fitting(entry.name, 80, "name"), fitting(entry.serial, 60, "serial")
    if entry.kind not in InstrumentKind.values:
        raise RecordError("not_a_kind", NOT_A_KIND, field="kind")
    if not name:
        raise RecordError("name_needed", NAME_NEEDED, field="name")

    def write() -> UUID:
        if Instrument.objects.filter(plant=actor.plant, name=name).exists():
            raise RecordError("name_taken", NAME_TAKEN, field="name")
        row: Instrument = Instrument.objects.create(
            plant=actor.plant, kind=entry.kind, name=name, serial=serial
        )
        card_write(actor, row, figures)
        event_write(actor, row, Happening.REGISTERED, "")
        audit(actor, "instrument added", name)
        new: UUID = row.pk
        return new

    body = {"kind": entry.kind, "name": name, "serial": serial, "figures": dict(entry.figures)}
    return stored_once(
        actor=actor, key=key, operation="instrument_register", body=body, write=write
    )


def instrument_change(
    *, actor: Actor, instrument: Instrument, figures: Mapping[str, str], why: str, key: str
) -> UUID:
    """Write a new card for an instrument, and why; the old card stays readable."""
    actor.require(Deed.KEEP_INSTRUMENTS, instrument)
    read, said = instrument_figures(figures), _why(why)
    before = card_of(instrument)
    if before is not None and all(getattr(before, name) == value for name, value in read.items()):
        raise RecordError("nothing_changed", NOTHING_CHANGED)

    def write() -> UUID:
        card = card_write(actor, instrument, read)
        moved = before is not None and before.place != card.place
        event_write(actor, instrument, Happening.MOVED if moved else Happening.CHANGED, said)
        new: UUID = card.pk
        return new

    body = {"instrument": str(instrument.pk), "figures": dict(figures), "why": said}
    return stored_once(actor=actor, key=key, operation="instrument_change", body=body, write=write)


def instrument_event_record(
    *, actor: Actor, instrument: Instrument, kind: str, why: str, happened_at: datetime, key: str
) -> UUID:
    """Write down what happened to an instrument. Whoever tests may take one out of service; back
    it goes by who keeps the instruments, and only after a check that passed."""
    if kind not in _TOLD:
        raise RecordError("not_a_happening", NOT_A_HAPPENING, field="kind")
    happening = Happening(kind)
    deed = Deed.CHECK if happening in _BY_TESTERS else Deed.KEEP_INSTRUMENTS
    actor.require(deed, instrument)
    said = _why(why)
    if happened_at > clock.now():
        raise RecordError("in_future", IN_FUTURE, field="happened_at")

    def write() -> UUID:
        fresh = Instrument.objects.get(plant=actor.plant, pk=instrument.pk)
        _set_service(fresh, happening)
        new: UUID = event_write(actor, fresh, happening, said, happened_at).pk
        return new

    body = {
        "instrument": str(instrument.pk),
        "kind": kind,
        "why": said,
        "happened_at": happened_at.isoformat(),
    }
    return stored_once(
        actor=actor, key=key, operation="instrument_event_record", body=body, write=write
    )


def _set_service(instrument: Instrument, happening: Happening) -> None:
    """Take an instrument out of service or put it back; raises RecordError where that can't be."""
    if happening not in (Happening.OUT_OF_SERVICE, Happening.BACK_IN_SERVICE):
        return
    back = happening is Happening.BACK_IN_SERVICE
    if instrument.in_service == back:
        told = ALREADY_IN if back else ALREADY_OUT
        raise RecordError("no_change", told, field="kind")
    if back and instrument.check_failed:
        raise RecordError("check_first", CHECK_FIRST, field="kind")
    instrument.in_service = back
    instrument.save(update_fields=["in_service"])


def card_write(actor: Actor, instrument: Instrument, figures: Mapping[str, Any]) -> InstrumentCard:
    """Write an instrument's card and seal it, inside the transaction of the write."""
    card: InstrumentCard = InstrumentCard.objects.create(
        plant=actor.plant, instrument=instrument, at=clock.now(), **figures, **actor.signed_by
    )
    ledger_append(ledger_lock(actor.plant), [card])
    return card


def event_write(
    actor: Actor,
    instrument: Instrument,
    kind: Happening,
    why: str,
    happened_at: datetime | None = None,
) -> InstrumentEvent:
    """Write what happened to an instrument and seal it, inside the transaction of the write."""
    event: InstrumentEvent = InstrumentEvent.objects.create(
        plant=actor.plant,
        instrument=instrument,
        kind=kind,
        why=why,
        happened_at=happened_at or clock.now(),
        at=clock.now(),
        **actor.signed_by,
    )
    ledger_append(ledger_lock(actor.plant), [event])
    return event


def _why(text: str) -> str:
    said = fitting(text, _LONGEST_WHY, "why")
    if not said:
        raise RecordError("why_needed", WHY_NEEDED, field="why")
    return said
