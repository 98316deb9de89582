"""Keep the standards and reagents of a plant by lot: new ones, opened ones, used-up ones."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor
from records.errors import RecordError, fitting
from records.models import Lot, LotCard, LotKind
from records.permissions import Deed
from records.selectors.card_entry import figures_of, lot_figures
from records.selectors.cards import card_of_lot
from records.services.ledger import ledger_append, ledger_lock
from records.services.once import stored_once
from records.services.people import audit

NOT_A_KIND = gettext_noop("Pick what it is.")
NAME_NEEDED = gettext_noop("Write what it is and how strong, as on the label.")
NUMBER_NEEDED = gettext_noop("Write the lot number that stands on the label.")
LOT_TAKEN = gettext_noop("This lot is on the list already.")
NOTHING_CHANGED = gettext_noop("Nothing on the card was changed.")
OPEN_ALREADY = gettext_noop("It was opened on %(day)s already.")
NOT_YET = gettext_noop("This lies in the future. When was it opened?")


@dataclass(frozen=True, kw_only=True)
class LotEntry:
    """A new lot as typed; `figures` are the texts of its card."""

    kind: str
    name: str
    lot_number: str
    figures: Mapping[str, str] = field(default_factory=dict)


def lot_register(*, actor: Actor, entry: LotEntry, key: str) -> UUID:
    """Add a lot with its card; returns its key. Raises RecordError beside the field."""
    actor.require(Deed.KEEP_INSTRUMENTS)
    name, number = fitting(entry.name, 80, "name"), fitting(entry.lot_number, 60, "lot_number")
    if entry.kind not in LotKind.values:
        raise RecordError("not_a_kind", NOT_A_KIND, field="kind")
    if not name:
        raise RecordError("name_needed", NAME_NEEDED, field="name")
    if not number:
        raise RecordError("lot_number_needed", NUMBER_NEEDED, field="lot_number")
    figures = lot_figures(entry.figures)

    def write() -> UUID:
        same = {"kind": entry.kind, "name": name, "lot_number": number}
        if Lot.objects.filter(plant=actor.plant, **same).exists():
            raise RecordError("name_taken", LOT_TAKEN, field="lot_number")
        row: Lot = Lot.objects.create(plant=actor.plant, **same, expires_on=last_day(figures))
        _card_write(actor, row, figures)
        audit(actor, "lot added", f"{name}, {number}")
        new: UUID = row.pk
        return new

    body = {
        "kind": entry.kind, "name": name, "lot_number": number, "figures": dict(entry.figures)
    }  # fmt: skip
    return stored_once(actor=actor, key=key, operation="lot_register", body=body, write=write)


def lot_change(*, actor: Actor, lot: Lot, figures: Mapping[str, str], key: str) -> UUID:
    """Write a new card for a lot; the old card stays readable."""
    actor.require(Deed.KEEP_INSTRUMENTS, lot)
    read, before = lot_figures(figures), card_of_lot(lot)
    if before is not None and all(getattr(before, name) == value for name, value in read.items()):
        raise RecordError("nothing_changed", NOTHING_CHANGED)

    def write() -> UUID:
        return _changed(actor, lot, read)

    body = {"lot": str(lot.pk), "figures": dict(figures)}
    return stored_once(actor=actor, key=key, operation="lot_change", body=body, write=write)


def lot_open(*, actor: Actor, lot: Lot, opened_on: date, key: str) -> UUID:
    """Write down that a bottle was opened: whoever tests may; its days in use begin to count."""
    actor.require(Deed.CHECK, lot)
    if opened_on > clock.now().date() + timedelta(days=1):
        raise RecordError("not_yet", NOT_YET, field="opened_on")
    card = card_of_lot(lot)
    if card is not None and card.opened_on is not None:
        day = card.opened_on.isoformat()
        raise RecordError("open_already", OPEN_ALREADY, field="opened_on", day=day)
    typed = {"shelf": lot.expires_on.isoformat() if lot.expires_on else "", **figures_of(card)}
    read = lot_figures({**typed, "opened_on": opened_on.isoformat()})

    def write() -> UUID:
        return _changed(actor, lot, read)

    body = {"lot": str(lot.pk), "opened_on": opened_on.isoformat()}
    return stored_once(actor=actor, key=key, operation="lot_open", body=body, write=write)


def last_day(figures: Mapping[str, Any]) -> date | None:
    """Return the last day on which a lot may be used: by its label, or once it is open."""
    ends = [figures["shelf"]]
    if figures["opened_on"] and figures["use_days"]:
        ends.append(figures["opened_on"] + timedelta(days=figures["use_days"]))
    return min((end for end in ends if end), default=None)


def _changed(actor: Actor, lot: Lot, figures: Mapping[str, Any]) -> UUID:
    fresh = Lot.objects.get(plant=actor.plant, pk=lot.pk)
    fresh.expires_on = last_day(figures)
    fresh.save(update_fields=["expires_on"])
    new: UUID = _card_write(actor, fresh, figures).pk
    return new


def _card_write(actor: Actor, lot: Lot, figures: Mapping[str, Any]) -> LotCard:
    card: LotCard = LotCard.objects.create(
        plant=actor.plant, lot=lot, at=clock.now(), **figures, **actor.signed_by
    )
    ledger_append(ledger_lock(actor.plant), [card])
    return card
