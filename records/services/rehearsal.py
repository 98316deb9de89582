"""Try a write out: carry it out, look at what came of it, undo it."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar
from uuid import UUID, uuid4

from django.db import transaction

from records.actors import Actor
from records.services.samples import SampleEntry, samples_register

Shown = TypeVar("Shown")


def sample_rehearse(*, actor: Actor, entry: SampleEntry, show: Callable[[UUID], Shown]) -> Shown:
    """Register a sample as it would be, return what `show` makes of it, and store nothing.

    By the very code that stores, so that a rehearsal can't say something else. Its key is a new
    one: neither the sender's key nor a bench sheet of that id is touched.
    """
    with transaction.atomic():
        tried = replace(entry, key=str(uuid4()))
        shown = show(samples_register(actor=actor, entries=[tried])[0])
        transaction.set_rollback(True)
    return shown
