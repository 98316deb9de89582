"""Reads on the register of instruments: what can be picked, and how it stands today."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from uuid import UUID

from chemistry.methods.base import InstrumentRole, LotRole
from records.models import Instrument, Lot, Plant


class Standing(StrEnum):
    """How an instrument or lot stands on a day; anything but the first asks for a reason."""

    IN_ORDER = "in_order"
    OVERDUE = "overdue"
    FAILED = "failed"
    OUT_OF_SERVICE = "out_of_service"
    EXPIRED = "expired"


def standing(used: Instrument | Lot, on: date) -> Standing:
    """Say how an instrument or a lot stands on a day, the gravest finding first."""
    if isinstance(used, Lot):
        past = used.expires_on is not None and used.expires_on < on
        return Standing.EXPIRED if past else Standing.IN_ORDER
    instrument = used
    if not instrument.in_service:
        return Standing.OUT_OF_SERVICE
    if instrument.check_failed:
        return Standing.FAILED
    if instrument.check_due_on is not None and instrument.check_due_on < on:
        return Standing.OVERDUE
    return Standing.IN_ORDER


@dataclass(frozen=True)
class Shelf:
    """The plant's instruments and lots by kind: what a bench can pick from, in service first."""

    instruments: Mapping[str, Sequence[Instrument]]
    lots: Mapping[str, Sequence[Lot]]

    def offered(self, role: InstrumentRole | LotRole) -> Sequence[Instrument | Lot]:
        """Return what can be picked for a role."""
        by_kind = self.lots if isinstance(role, LotRole) else self.instruments
        return by_kind.get(role.kind, ())

    def picked(self, role: InstrumentRole | LotRole, key: str) -> Instrument | Lot | None:
        """Return the one with this key, where it can be picked for the role."""
        return next((each for each in self.offered(role) if str(each.pk) == key), None)


def shelf_of(plant: Plant | UUID) -> Shelf:
    """Return all that a plant tests with, read in two queries."""
    instruments: dict[str, list[Instrument]] = {}
    for instrument in Instrument.objects.filter(plant=plant).order_by("-in_service", "name"):
        instruments.setdefault(instrument.kind, []).append(instrument)
    lots: dict[str, list[Lot]] = {}
    for lot in Lot.objects.filter(plant=plant).order_by("name", "-lot_number"):
        lots.setdefault(lot.kind, []).append(lot)
    return Shelf(instruments, lots)


def label_of(used: Instrument | Lot) -> str:
    """Return what an instrument or lot is called on screens and in the record."""
    if isinstance(used, Lot):
        return f"{used.name}, {used.lot_number}"
    return " ".join(filter(None, [used.name, used.serial]))
