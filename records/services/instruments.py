"""Say how an instrument stands after its check against a standard."""

from django.db import transaction

from records.actors import Actor
from records.errors import fitting
from records.models import Instrument
from records.permissions import Deed
from records.services.people import audit

_LONGEST_FOUND = 100


def instrument_check_failed(*, actor: Actor, instrument: Instrument, found: str) -> None:
    """Note that a check failed, with what it `found`: who uses the instrument from now on is asked
    for a reason, and the result stays in doubt. Results from before are not touched.
    """
    actor.require(Deed.SIGN, instrument)
    said = fitting(found, _LONGEST_FOUND, "found")
    with transaction.atomic():
        instrument.check_failed = True
        instrument.save(update_fields=["check_failed"])
        audit(actor, "check failed", f"{instrument.name}: {said}")
