"""Work a plan out for a whole boiler water, keep it as shown, and record what was done of it."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext_noop

from chemistry.errors import ChemistryError, Refused
from chemistry.planner_plan import plan_remedy
from records import canonical, clock
from records.actors import Actor
from records.errors import RecordError
from records.models import Remedy, Sample
from records.permissions import Deed
from records.selectors.plan_inputs import PLAN_ASKED, WHOLE, plan_asks
from records.selectors.remedies import state_to_treat
from records.selectors.remedy_inputs import RemedyInputs, read_inputs
from records.selectors.water_plans import plan_case, planned_for, waters_of
from records.services.actions import (
    Done,
    InputsRefused,
    action_record,
    inputs_as_text,
    plan_as_text,
    refusal_as_text,
)
from records.services.follow_ups import open_sheet_for
from records.services.once import stored_once

NOTHING_OUT = gettext_noop("Nothing on this sample is out of range, so there is nothing to plan.")


def water_plan(
    *, actor: Actor, sample: Sample, typed: Mapping[str, str], units: Mapping[str, str], key: str
) -> UUID:
    """Work out what brings all of a boiler water into range, and keep the plan or its refusal.

    It is kept with the first of the results out of range. Errors: InputsRefused, RecordError.
    """
    actor.require(Deed.TEST, sample)
    boiler, out = sample.sample_point.boiler, planned_for(sample, waters_of(sample))
    if not out or boiler is None:
        raise RecordError("nothing_out", NOTHING_OUT)
    asks = plan_asks(state_to_treat(boiler, sample))
    inputs = read_inputs(asks, typed, units, PLAN_ASKED)
    if inputs.errors:
        raise InputsRefused(inputs.errors)

    def write() -> UUID:
        remedy: Remedy = Remedy.objects.create(
            plant=actor.plant,
            sheet=open_sheet_for(actor, sample.sheet),
            sample=sample,
            result=out[0].result,
            kind=WHOLE,
            version="1",
            at=clock.now(),
            **_outcome(sample, inputs),
            **actor.signed_by,
        )
        new: UUID = remedy.pk
        return new

    body = {"sample": str(sample.pk), "typed": dict(inputs.typed), "units": dict(inputs.units)}
    return stored_once(actor=actor, key=key, operation="water_plan", body=body, write=write)


def _outcome(sample: Sample, inputs: RemedyInputs) -> dict[str, str]:
    case: Any = None
    try:
        case = plan_case(sample, inputs)
        plan = plan_remedy(case)
    except ChemistryError as error:
        missing = error.missing if isinstance(error, Refused) else ()
        told = canonical.dumps(refusal_as_text(error, missing))
        return {"refusal": error.code, "plan": told, "inputs": inputs_as_text(inputs, case)}
    kept = plan_as_text(plan) | {"good": str(plan.good)}
    return {
        "refusal": "",
        "plan": canonical.dumps(kept),
        "inputs": inputs_as_text(inputs, case),
    }


def plan_record(*, actor: Actor, sample: Sample, plan: Remedy, done: Done, key: str) -> None:
    """Record what was done of a plan, once for each result that it is about: all of them owe a
    retest. Errors: those of `action_record`; nothing is stored then."""
    with transaction.atomic():
        for number, stand in enumerate(planned_for(sample, waters_of(sample))):
            action_record(
                actor=actor,
                sample=sample,
                result=stand.result,
                done=done,
                remedy=plan,
                key=f"{key[:40]}/{number}" if key else "",
            )
