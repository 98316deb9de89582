"""The fresh draw that confirms a result out of range: open its bench sheet, or say why not."""

from uuid import UUID

from django.utils.translation import gettext_noop

from chemistry.methods.drawing import in_bench_order
from chemistry.verdict import Side
from records import clock
from records.actors import Actor
from records.doubted import doubted_among
from records.errors import RecordError, fitting
from records.models import Draft, DueSlot, Result, Sample
from records.permissions import Deed
from records.selectors.confirming import CONFIRM, WITHOUT, confirmation_of
from records.services.drafts import draft_open, draft_test_add
from records.services.follow_ups import (
    ANSWER,
    ANSWER_WITHIN,
    CONFIRM_WITHIN,
    RETEST,
    follow_up_open,
    follow_up_settle,
    open_sheet_for,
)
from records.services.once import stored_once

REASON_NEEDED = gettext_noop("Say why this can be acted on without a second draw.")
NOT_OUT_OF_RANGE = gettext_noop("This result is not out of range: there is nothing to act on.")
NOTHING_OWED = gettext_noop("No fresh draw is owed for this sample any more.")
_LONGEST_REASON = 200


def confirming_draft_open(*, actor: Actor, sample: Sample) -> Draft:
    """Return a bench sheet for the sample's point with just the tests that are to be confirmed.

    Where the tester has a sheet open for that point, those tests are added to it.
    """
    actor.require(Deed.TEST, sample)
    slots = list(
        DueSlot.objects.filter(
            plant=actor.plant,
            follow_up__sample=sample,
            follow_up__why=CONFIRM,
            follow_up__settlements__isnull=True,
            answers__isnull=True,
        ).order_by("due_at", "id")
    )
    if not slots:
        raise RecordError("nothing_owed", NOTHING_OWED)
    methods = in_bench_order(dict.fromkeys(slot.method for slot in slots))
    draft = draft_open(actor=actor, point=sample.sample_point, method_keys=methods, slot=slots[0])
    for method in methods:
        if method not in draft.method_versions:
            draft = draft_test_add(actor=actor, draft=draft, method=method)
    return draft


def confirm_waive(*, actor: Actor, result: Result, reason: str, key: str) -> UUID:
    """Record why a result out of range is acted on without a second draw; returns the answer owed.

    The reason may be that the sample was itself a repeat, or that a chemist says so.
    """
    actor.require(Deed.TEST, result)
    why = fitting(reason, _LONGEST_REASON, "reason")
    if not why:
        raise RecordError("reason_needed", REASON_NEEDED, field="reason")
    side = result.verdicts.get().side
    if side not in (Side.HIGH, Side.LOW) or doubted_among(result.plant_id, [result.measurement_id]):
        raise RecordError("not_out_of_range", NOT_OUT_OF_RANGE, field="reason")

    def write() -> UUID:
        confirm_settle_without(actor, result, why)
        sheet, due = result.measurement.sheet, clock.now() + ANSWER_WITHIN
        new: UUID = follow_up_open(actor, result, ANSWER, side, due, sheet).pk
        return new

    body = {"result": str(result.pk), "reason": why}
    return stored_once(actor=actor, key=key, operation="confirm_waive", body=body, write=write)


def confirm_settle_without(actor: Actor, result: Result, why: str) -> None:
    """Settle the fresh draw that is owed for a result by the reason to act without it."""
    sheet = result.measurement.sheet
    owed = confirmation_of(result).owed
    if owed is None:  # as after a correction of the draw that had confirmed it
        due = clock.now() + CONFIRM_WITHIN
        owed = follow_up_open(actor, result, RETEST, CONFIRM, due, sheet)
    follow_up_settle(actor, owed, sheet=open_sheet_for(actor, sheet), note=f"{WITHOUT}{why}")
