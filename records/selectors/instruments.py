"""Reads on the register of instruments: what can be picked, and how it stands today."""

from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from records.models import Instrument, Plant


class Standing(StrEnum):
    """How an instrument stands on a day; anything but the first asks for a reason."""

    IN_ORDER = "in_order"
    OVERDUE = "overdue"
    FAILED = "failed"
    OUT_OF_SERVICE = "out_of_service"


def standing(instrument: Instrument, on: date) -> Standing:
    """Say how an instrument stands on a day, the gravest finding first."""
    if not instrument.in_service:
        return Standing.OUT_OF_SERVICE
    if instrument.check_failed:
        return Standing.FAILED
    if instrument.check_due_on is not None and instrument.check_due_on < on:
        return Standing.OVERDUE
    return Standing.IN_ORDER


def instruments_for_bench(plant: Plant, kinds: Iterable[str]) -> dict[str, list[Instrument]]:
    """Return the plant's instruments of the given kinds, those in service first."""
    found = Instrument.objects.filter(plant=plant, kind__in=list(kinds)).order_by(
        "-in_service", "name"
    )
    by_kind: dict[str, list[Instrument]] = {kind: [] for kind in kinds}
    for instrument in found:
        by_kind[instrument.kind].append(instrument)
    return by_kind
