"""Correct a measurement: by a new one before its sheet is signed, by an amendment afterwards."""

from dataclasses import asdict
from uuid import UUID

from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor
from records.errors import Moved, RecordError, fitting
from records.models import Amendment, Measurement, Result
from records.permissions import Deed
from records.selectors.bench import TestEntry, draw_of
from records.selectors.results import worths_beside
from records.selectors.sheets import is_signed
from records.services.event_slots import sample_slots_open
from records.services.follow_ups import follow_ups_renew
from records.services.measurements import measurements_write
from records.services.once import stored_once
from records.services.samples import TestsRefused, worked

REASON_NEEDED = gettext_noop("Say why it is corrected.")
CORRECTED_MEANWHILE = gettext_noop("This was corrected meanwhile. Correct the new one instead.")
OTHER_METHOD = gettext_noop("A result is corrected by the test that it came from.")

_LONGEST_REASON = 300


def result_correct(
    *, actor: Actor, measurement: Measurement, entry: TestEntry, reason: str, key: str
) -> UUID:
    """Write a measurement that corrects another; returns its key.

    On a signed sheet it is proposed as an amendment, which counts once a second person signs it.
    The sample is worked anew by the rules of the day it was drawn.
    """
    actor.require(Deed.CORRECT, measurement)
    why = fitting(reason, _LONGEST_REASON, "reason")
    if not why:
        raise RecordError("reason_needed", REASON_NEEDED, field="reason")
    if entry.method != measurement.method:
        raise RecordError("other_method", OTHER_METHOD)

    def write() -> UUID:
        if Measurement.objects.filter(plant=actor.plant, corrects=measurement).exists():
            raise Moved("corrected_meanwhile", CORRECTED_MEANWHILE)
        sample, sheet = measurement.sample, measurement.sheet
        draw = draw_of(sample.sample_point, sample.boiler_state, sample.drawn_at)
        (work,) = worked(draw, [entry], worths_beside(measurement))
        if work.errors:
            raise TestsRefused({work.method.key: work.errors})
        written = measurements_write(
            actor,
            sample=sample,
            sheet=sheet,
            works=[work],
            corrects=measurement,
            reason=why,
        )
        (new,) = written.measurements
        if is_signed(sheet):
            Amendment.objects.create(
                plant=actor.plant,
                sheet=sheet,
                measurement=new,
                at=clock.now(),
                **actor.signed_by,
            )
        else:
            follow_ups_renew(actor=actor, measurement=new)
            results = list(Result.objects.filter(plant=actor.plant, measurement__sample=sample))
            sample_slots_open(actor=actor, sample=sample, results=results)
        new_key: UUID = new.pk
        return new_key

    body = {
        "measurement": str(measurement.pk),
        "reason": why,
        "entry": asdict(entry),
    }
    return stored_once(actor=actor, key=key, operation="result_correct", body=body, write=write)
