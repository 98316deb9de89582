"""Reads on people and terminals of a plant."""

from collections.abc import Sequence

from records import clock
from records.models import Membership, Pin, PinLock, Plant, Role, Terminal, User


def roles_held(plant: Plant, user: User) -> Sequence[Membership]:
    """Return the roles that a person has at a plant now, each with its beginning."""
    held = Membership.objects.filter(plant=plant, user=user, until=None, since__lte=clock.now())
    return sorted(held, key=lambda row: list(Role).index(Role(row.role)))


def pin_of(plant: Plant, user: User) -> Pin | None:
    """Return a person's PIN at a plant: its hash, and since when it is theirs."""
    found: Pin | None = Pin.objects.filter(plant=plant, user=user).first()
    return found


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
