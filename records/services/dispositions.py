"""A chemist's decision about results in doubt: one by one, or all that a failed check reached."""

from collections.abc import Sequence
from uuid import UUID

from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor
from records.errors import Moved, RecordError, fitting
from records.models import Disposition, LookBack, Measurement, Outcome
from records.permissions import Deed
from records.selectors.doubts import VOID, doubts_of_each
from records.selectors.look_backs import undecided
from records.services.ledger import ledger_append, ledger_lock
from records.services.once import stored_once

NOT_AN_OUTCOME = gettext_noop("Pick what becomes of it.")
REASON_NEEDED = gettext_noop("Say why. Whoever reads the record later has only this.")
NOT_IN_DOUBT = gettext_noop("This is not in doubt any more. Look at it again.")
AMEND_FIRST = gettext_noop(
    "Correct it first: the amendment is what stands then. Only where the cause and the correction "
    "are known."
)
AMEND_EACH = gettext_noop("Amendments are made one result at a time.")

NONE_PICKED = gettext_noop("Tick the results that this is about, or decide about all.")

_LONGEST_REASON = 300


def result_dispose(
    *,
    actor: Actor,
    measurement: Measurement,
    outcome: str,
    reason: str,
    key: str,
    look_back: LookBack | None = None,
) -> UUID:
    """Decide about one measurement in doubt; a bulk of one."""
    return results_dispose(
        actor=actor,
        measurements=[measurement],
        outcome=outcome,
        reason=reason,
        key=key,
        look_back=look_back,
    )


def results_dispose(
    *,
    actor: Actor,
    measurements: Sequence[Measurement],
    outcome: str,
    reason: str,
    key: str,
    look_back: LookBack | None = None,
) -> UUID:
    """Decide about measurements in doubt, all alike: by what a failed check reached, or by what was
    said on entry. The measurements themselves stay as they are. Returns the last decision's key."""
    actor.require(Deed.DISPOSE, *measurements, look_back)
    said = _reason(outcome, reason)
    if not measurements:
        raise RecordError("none_picked", NONE_PICKED)
    if outcome == Outcome.AMENDED and any(each.corrects_id is None for each in measurements):
        raise RecordError("amend_first", AMEND_FIRST, field="outcome")

    def write() -> UUID:
        every = doubts_of_each(measurements)
        back = look_back.pk if look_back else None
        for measurement in measurements:
            open_now = every.get(measurement.pk, ())
            if not any(each.look_back == back and each.cause != VOID for each in open_now):
                raise Moved("not_in_doubt", NOT_IN_DOUBT)
        keys = [_write(actor, look_back, each, outcome, said) for each in measurements]
        return keys[-1]

    body = {
        "measurements": [str(each.pk) for each in measurements],
        "look_back": str(look_back.pk) if look_back else "",
        "outcome": outcome,
        "reason": said,
    }
    return stored_once(actor=actor, key=key, operation="results_dispose", body=body, write=write)


def look_back_dispose(
    *, actor: Actor, look_back: LookBack, outcome: str, reason: str, key: str
) -> UUID:
    """Decide about all that a look-back reached and that is not decided yet."""
    actor.require(Deed.DISPOSE, look_back)
    said = _reason(outcome, reason)
    if outcome == Outcome.AMENDED:
        raise RecordError("amend_each", AMEND_EACH, field="outcome")

    def write() -> UUID:
        if not undecided(look_back):
            raise Moved("not_in_doubt", NOT_IN_DOUBT)
        return _write(actor, look_back, None, outcome, said)

    body = {"look_back": str(look_back.pk), "outcome": outcome, "reason": said}
    return stored_once(actor=actor, key=key, operation="look_back_dispose", body=body, write=write)


def _reason(outcome: str, reason: str) -> str:
    if outcome not in Outcome.values:
        raise RecordError("not_an_outcome", NOT_AN_OUTCOME, field="outcome")
    said = fitting(reason, _LONGEST_REASON, "reason")
    if not said:
        raise RecordError("reason_needed", REASON_NEEDED, field="reason")
    return said


def _write(
    actor: Actor,
    look_back: LookBack | None,
    measurement: Measurement | None,
    outcome: str,
    reason: str,
) -> UUID:
    row: Disposition = Disposition.objects.create(
        plant=actor.plant,
        look_back=look_back,
        measurement=measurement,
        outcome=outcome,
        reason=reason,
        at=clock.now(),
        **actor.signed_by,
    )
    ledger_append(ledger_lock(actor.plant), [row])
    new: UUID = row.pk
    return new
