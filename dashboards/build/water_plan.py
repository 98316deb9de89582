"""The page of a plan for a whole boiler water."""

import json
from collections.abc import Mapping
from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import planner_words, remedy_words
from chemistry.verdict import SIDE_WORDS
from dashboards import words
from dashboards.build.forms import choice_field, form, number_field
from dashboards.build.remedy import ADVISORY, call_words, refusal_view
from dashboards.build.results import analyte_name
from dashboards.build.ways import action_form
from dashboards.build.whole_plan import whole_plan_view
from dashboards.screens.fields import FieldView, FormView
from dashboards.screens.water_plan import WaterPlanScreen
from records.actors import Actor
from records.models import Boiler, Plant, Remedy, Sample, SampleKind
from records.permissions import Deed
from records.selectors.follow_ups import remedies_of
from records.selectors.plan_inputs import PLAN_ASKED, last_typed, plan_asks, plans_of
from records.selectors.remedies import latest_of_kind, state_to_treat
from records.selectors.remedy_inputs import Asked
from records.selectors.results import ResultStand
from records.selectors.water_plans import (
    next_retest,
    plan_refusal,
    planned_for,
    waters_of,
)

BEFORE = (*remedy_words.CAUTIONS["continuous"], *planner_words.DOSING["caustic"])
# What the record knows of a figure that is asked for.
_KNOWN = {
    "feed_conductivity": "conductivity",
    "feed_alkalinity": "m_alkalinity",
}
CHOOSE = gettext_noop("Choose")


def water_plan_screen(
    actor: Actor,
    sample: Sample,
    *,
    posted: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
    done: tuple[Mapping[str, str], Mapping[str, str]] = ({}, {}),
) -> WaterPlanScreen:
    """Return the page; what was typed and refused stays. `done` is what was sent of the form that
    records what was done, and what is wrong with it."""
    plant, boiler = actor.plant, sample.sample_point.boiler
    waters = waters_of(sample)
    out = planned_for(sample, waters)
    refused = plan_refusal(sample, waters)
    kept = next(iter(plans_of(list(remedies_of(sample)))), None)
    told = json.loads(kept.plan) if kept else {}
    plan = told if kept and not kept.refusal else None
    open_form = refused is None and boiler is not None and actor.may(Deed.TEST)
    return WaterPlanScreen(
        plant_id=str(plant.pk),
        sample_id=str(sample.pk),
        place=", ".join(words.place(sample.sample_point)),
        drawn_text=words.moment(plant, sample.drawn_at),
        out=tuple(_named(stand) for stand in out),
        blocked=words.sentence(refused) if refused else "",
        call=call_words(plant),
        form=_form(plant, boiler, sample, kept, posted or {}, errors or {})
        if open_form and boiler
        else None,
        cautions=tuple(_(text) for text in dict.fromkeys(plan["cautions"] if plan else BEFORE)),
        advisory=_(ADVISORY),
        plan=whole_plan_view(plant, plan, waters) if plan else None,
        refusal=refusal_view(plant, told) if kept and kept.refusal else None,
        done=_done_form(plant, plan, *done) if plan and actor.may(Deed.TEST) else None,
    )


def _named(stand: ResultStand) -> str:
    return f"{analyte_name(stand.result.analyte)}: {_(SIDE_WORDS[stand.side])}"


def _done_form(
    plant: Plant, plan: Mapping[str, str], posted: Mapping[str, str], errors: Mapping[str, str]
) -> FormView:
    after = timedelta(minutes=float(plan["retest_after_min"]))
    minutes = next_retest(after).total_seconds() / 60.0
    first = "blowdown" if plan["valve"] else "dose"
    return action_form(plant, posted, errors, first=first, minutes=minutes)


def _form(
    plant: Plant,
    boiler: Boiler,
    sample: Sample,
    kept: Remedy | None,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
) -> FormView:
    if kept is not None:
        inputs = json.loads(kept.inputs)
        was = {**inputs["typed"], **{f"{k}.unit": u for k, u in inputs["units"].items()}}
    else:
        was = dict(last_typed(boiler))
        for key in ("steam_flow", *_KNOWN, "mixed", "fired"):  # of the day, not of the boiler
            was.pop(key, None)
    was |= posted
    asks = plan_asks(state_to_treat(boiler, sample))
    fields = [_field(plant, sample, PLAN_ASKED[key], was, errors.get(key, "")) for key in asks]
    return form(*fields, errors=[errors[""]] if "" in errors else ())


def _field(
    plant: Plant, sample: Sample, asked: Asked, was: Mapping[str, str], error: str
) -> FieldView:
    if asked.choices:
        offered = [("", _(CHOOSE)), *((key, _(text)) for key, text in asked.choices)]
        return choice_field(asked.key, _(asked.label), offered, was, required=True, error=error)
    unit = words.plant_unit(plant, asked.unit)
    value, note = _known(plant, sample, asked, unit)
    return number_field(
        asked.key,
        _(asked.label),
        was,
        asked.units,
        unit=unit if unit in asked.units else asked.unit,
        value=value,
        help=note or (_(asked.help) if asked.help else ""),
        required=asked.required,
        error=error,
    )


def _known(plant: Plant, sample: Sample, asked: Asked, unit: str) -> tuple[str, str]:
    """Return the feedwater's newest figure, and when it was measured."""
    analyte = _KNOWN.get(asked.key, "")
    found = (
        latest_of_kind(plant, SampleKind.FEEDWATER, analyte, sample.drawn_at) if analyte else None
    )
    if found is None:
        return "", ""
    at = words.time_of(plant, found.measurement.sample.drawn_at)
    note = _("Measured %(at)s. Change it if you know better.") % {"at": at}
    return words.in_unit(found.value, found.unit, unit), note
