"""Reads on people and terminals of a plant."""

from collections.abc import Sequence

from records import clock
from records.models import Pin, PinLock, Plant, Terminal


def pins_at(plant: Plant) -> set[object]:
    """Return the keys of the people who have a PIN at a plant."""
    return set(Pin.objects.filter(plant=plant).values_list("user_id", flat=True))


def locks_at(plant: Plant, terminal: Terminal | None = None) -> dict[object, PinLock]:
    """Return who is locked out now, at one terminal or at any."""
    found = PinLock.objects.filter(plant=plant, locked_until__gt=clock.now())
    if terminal is not None:
        found = found.filter(terminal=terminal)
    return {lock.user_id: lock for lock in found}


def terminals_at(plant: Plant) -> Sequence[Terminal]:
    """Return the plant's terminals, those in use first."""
    rows = list(Terminal.objects.filter(plant=plant).order_by("name"))
    return sorted(rows, key=lambda row: row.revoked_at is not None)
