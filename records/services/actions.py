"""Ask for a remedy, and record what was really done."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Q
from django.utils.translation import gettext_noop

from chemistry.errors import ChemistryError, EntryError, Refused
from chemistry.verdict import Side
from records import canonical, clock
from records.actors import Actor
from records.errors import RecordError, fitting, not_here
from records.models import Action, FollowUp, LogSheet, Remedy, Result, Sample
from records.permissions import Deed
from records.selectors.confirming import confirmation_of
from records.selectors.remedies import case_for, kind_for, stopped
from records.selectors.remedy_inputs import RemedyInputs, read_inputs
from records.selectors.stopping import STOP_LOOK
from records.services.confirming import confirm_settle_without
from records.services.event_slots import action_slots_open
from records.services.follow_ups import (
    AFTER_ACTION,
    ANSWER,
    RETEST,
    follow_up_open,
    follow_up_settle,
    open_sheet_for,
)
from records.services.once import stored_once

# What is kept where no remedy answers a result.
NO_KIND = "none"
KIND_NEEDED = gettext_noop("Say what was done.")
NOTE_NEEDED = gettext_noop("Say in a few words what was done, whom you called, or why nothing was.")
AMOUNT_NEEDED = gettext_noop("Say how much, and of what, in your own figures.")
WHY_UNCONFIRMED = gettext_noop(
    "No second draw has confirmed this result. Say why it was acted on all the same."
)
DONE_IN_FUTURE = gettext_noop("This can't have been done later than now.")
RETEST_NEEDED = gettext_noop("Say when to test again: between 10 minutes and 24 hours from now.")
# What can have been done about a result out of range.
KINDS = ("blowdown", "dose", "feed_set", "valve_set", "called", "other", "nothing")
# Those that change the water and so want it confirmed, and those that are an amount.
TREATS = ("blowdown", "dose", "feed_set", "valve_set")
AMOUNTS = ("blowdown", "dose")
_SOONEST, _LATEST = timedelta(minutes=10), timedelta(hours=24)


class InputsRefused(RecordError):  # noqa: N818
    """What was typed for a remedy can't be used; `by_field` holds the trouble."""

    def __init__(self, by_field: dict[str, EntryError]) -> None:
        super().__init__("inputs_refused", KIND_NEEDED)
        self.by_field = by_field


def remedy_plan(
    *, actor: Actor, result: Result, typed: Mapping[str, str], units: Mapping[str, str], key: str
) -> UUID:
    """Work a remedy out for a result and keep it as it was shown, or keep why it was refused."""
    actor.require(Deed.TEST, result)
    kind = kind_for(result)
    inputs = read_inputs(kind.asks if kind else (), typed, units)
    if inputs.errors:
        raise InputsRefused(inputs.errors)

    def write() -> UUID:
        sample = result.measurement.sample
        remedy: Remedy = Remedy.objects.create(
            plant=actor.plant,
            sheet=open_sheet_for(actor, sample.sheet),
            sample=sample,
            result=result,
            kind=kind.key if kind else NO_KIND,
            version="1",
            at=clock.now(),
            **_outcome(result, inputs),
            **actor.signed_by,
        )
        new: UUID = remedy.pk
        return new

    body = {"result": str(result.pk), "typed": dict(inputs.typed), "units": dict(inputs.units)}
    return stored_once(actor=actor, key=key, operation="remedy_plan", body=body, write=write)


def _outcome(result: Result, inputs: RemedyInputs) -> dict[str, str]:
    case: Any = None
    try:
        case = case_for(result, inputs)
        kind = kind_for(result)
        plan = kind.planner(case) if kind else None
    except ChemistryError as error:
        missing = error.missing if isinstance(error, Refused) else ()
        told = canonical.dumps(refusal_as_text(error, missing))
        return {"refusal": error.code, "plan": told, "inputs": inputs_as_text(inputs, case)}
    return {
        "refusal": "",
        "plan": canonical.dumps(plan_as_text(plan)),
        "inputs": inputs_as_text(inputs, case),
    }


def refusal_as_text(error: ChemistryError, missing: Sequence[str]) -> dict[str, object]:
    """Return why an advice was refused as it is kept: the sentence as marked, what is missing."""
    return {"template": error.template, "params": error.params, "missing": list(missing)}


def inputs_as_text(inputs: RemedyInputs, case: Any) -> str:
    """Return what was typed for an advice, and the case made of it, as it is kept."""
    computed = plan_as_text(case) if case else {}
    kept = {"typed": dict(inputs.typed), "units": dict(inputs.units), "case": computed}
    return canonical.dumps(kept)


def plan_as_text(plan: Any) -> dict[str, object]:
    """Return a plan or a case as texts: numbers with six significant digits, sentences as
    marked."""
    return {k: _number(v) for k, v in asdict(plan).items() if v is not None}


def _number(value: object) -> object:
    if isinstance(value, dict):
        return {str(k): _number(v) for k, v in value.items() if v is not None}
    if isinstance(value, (tuple, list, frozenset)):
        return [_number(each) for each in value]
    return f"{value:.6g}" if isinstance(value, float) else str(value)


@dataclass(frozen=True, kw_only=True)
class Done:
    """What a person says was done, and when the water is to be tested again."""

    kind: str
    done_at: datetime
    amount: str
    note: str
    retest_at: datetime


def action_record(
    *,
    actor: Actor,
    sample: Sample,
    result: Result | None,
    done: Done,
    key: str,
    remedy: Remedy | None = None,
) -> UUID:
    """Record what was done about a result: settles the answer that was owed, and owes a retest.

    What was done about what a look at the sample showed has no result, and so no retest.
    """
    actor.require(Deed.TEST, sample, result, remedy)
    of_sample = result is None or result.measurement.sample_id == sample.pk
    if not of_sample or (remedy and remedy.sample_id != sample.pk):
        raise not_here()
    done = _checked(done)
    without = result is not None and _unconfirmed(sample, result, done)

    def write() -> UUID:
        sheet = open_sheet_for(actor, sample.sheet)
        action: Action = Action.objects.create(
            plant=actor.plant,
            sheet=sheet,
            sample=sample,
            boiler=sample.sample_point.boiler,
            remedy=remedy,
            kind=done.kind,
            done_at=done.done_at,
            amount=done.amount,
            note=done.note,
            at=clock.now(),
            **actor.signed_by,
        )
        action_slots_open(actor=actor, action=action)
        if without and result is not None:
            confirm_settle_without(actor, result, done.note)
        _settle_answers(actor, sample, result, done, sheet)
        if result is not None:
            due, at = done.retest_at, action.at
            follow_up_open(actor, result, RETEST, AFTER_ACTION, due, sheet, at=at)
        new: UUID = action.pk
        return new

    body = {
        "sample": str(sample.pk),
        "result": str(result.pk) if result else "",
        "remedy": str(remedy.pk) if remedy else "",
        "kind": done.kind,
        "done_at": canonical.text(done.done_at),
        "amount": done.amount,
        "note": done.note,
        "retest_at": canonical.text(done.retest_at),
    }
    return stored_once(actor=actor, key=key, operation="action_record", body=body, write=write)


def _unconfirmed(sample: Sample, result: Result, done: Done) -> bool:
    """Say whether this treats what no second draw has confirmed; refused without its reason."""
    known = confirmation_of(result)
    if done.kind not in TREATS or stopped(sample) or known.confirmed or known.said_again:
        return False
    if not done.note:
        raise RecordError("why_unconfirmed", WHY_UNCONFIRMED, field="note")
    return result.verdicts.get().side in (Side.HIGH, Side.LOW)


def _settle_answers(
    actor: Actor, sample: Sample, result: Result | None, done: Done, sheet: LogSheet
) -> None:
    """Settle what was owed about a result, or about what a look at the sample showed."""
    about = (
        Q(why=STOP_LOOK)
        if result is None
        else ~Q(why=STOP_LOOK) & Q(result__analyte=result.analyte)
    )
    owed = FollowUp.objects.filter(
        about, plant=actor.plant, sample=sample, kind=ANSWER, settlements__isnull=True
    )
    for follow_up in owed:
        follow_up_settle(actor, follow_up, sheet=sheet, note=done.kind)


def _checked(done: Done) -> Done:
    now = clock.now()
    note = fitting(done.note, 300, "note")
    if done.kind not in KINDS:
        raise RecordError("kind_needed", KIND_NEEDED, field="kind")
    if done.kind in AMOUNTS and not done.amount.strip():
        raise RecordError("amount_needed", AMOUNT_NEEDED, field="amount")
    if done.kind in ("called", "other", "nothing") and not note:
        raise RecordError("note_needed", NOTE_NEEDED, field="note")
    if done.done_at > now + timedelta(minutes=2):
        raise RecordError("done_in_future", DONE_IN_FUTURE, field="done_at")
    if not _SOONEST <= done.retest_at - now <= _LATEST:
        raise RecordError("retest_needed", RETEST_NEEDED, field="retest_at")
    return replace(done, note=note, amount=fitting(done.amount, 60, "amount"))
