"""The advice on one result: what it asks for, the plan, or why there is none."""

import json
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import dosing_words, planner_words, remedy_words
from chemistry.dosing_plan import kind_of
from chemistry.remedies import RemedyKind
from dashboards import words
from dashboards.build.forms import choice_field, form, number_field
from dashboards.build.plans import plan_view
from dashboards.screens.fields import FieldView, FormView
from dashboards.screens.sample import RefusalView, RemedyView
from records import clock
from records.models import Plant, Remedy, Result, SampleKind
from records.selectors.remedies import latest_of_kind, next_slot
from records.selectors.remedy_inputs import ASKED, Asked
from records.selectors.results import ResultStand

ADVISORY = gettext_noop(
    "This is advice, worked out from the figures shown. It orders nothing: your plant's "
    "procedures, local codes, the maker's instructions and licensed practice decide."
)
BUTTONS = {
    "blowdown": gettext_noop("Work out the blowdown"),
    "feed_stop": gettext_noop("Work out how long"),
    "feed_down": gettext_noop("Show the advice"),
}
DOSE_BUTTON = gettext_noop("Work out the dose")
MISSING_WORDS = {
    **planner_words.MISSING_WORDS,
    **dosing_words.MISSING_WORDS,
    **remedy_words.MISSING_WORDS,
}


def remedy_view(
    plant: Plant,
    stand: ResultStand,
    kind: RemedyKind,
    stored: Remedy | None,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
) -> RemedyView:
    """Return the advice on a result: the newest that was worked out for it, if any."""
    plan = json.loads(stored.plan) if stored else {}
    refused = stored is not None and bool(stored.refusal)
    cautions = plan.get("cautions") or _cautions(kind.key, stand.result.analyte)
    dosing = kind.key.startswith("dose")
    title = _("Before you touch the chemical") if dosing else _("Before you touch a valve")
    return RemedyView(
        form=_form(plant, stand.result, kind, stored, posted, errors),
        advisory=(_(ADVISORY),),
        cautions=tuple(_(text) for text in cautions),
        cautions_title=title,
        button=_(BUTTONS.get(kind.key, DOSE_BUTTON)),
        plan=plan_view(plant, kind.key, plan, stand) if stored and not refused else None,
        refusal=refusal_view(plant, plan) if refused else None,
    )


def _cautions(kind: str, analyte: str) -> tuple[str, ...]:
    if kind == "blowdown":
        return remedy_words.CAUTIONS["continuous"]
    if kind.startswith("feed"):
        return dosing_words.CAUTIONS["feed_stop"]
    return dosing_words.CAUTIONS[kind_of(analyte)]


def refusal_view(plant: Plant, told: dict[str, Any]) -> RefusalView:
    """Return why no figure is given, with whom to call."""
    missing = [MISSING_WORDS.get(key, key) for key in told.get("missing", [])]
    return RefusalView(
        reason=words.told(told["template"], told["params"]),
        missing=tuple(_(text) for text in missing),
        call=call_words(plant),
    )


def call_words(plant: Plant) -> str:
    """Return whom to call at a plant, or ""."""
    return _("Call: %(whom)s") % {"whom": plant.whom_to_call} if plant.whom_to_call else ""


def _form(
    plant: Plant,
    result: Result,
    kind: RemedyKind,
    stored: Remedy | None,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
) -> FormView:
    kept = json.loads(stored.inputs) if stored else {"typed": {}, "units": {}}
    was = {**kept["typed"], **{f"{k}.unit": u for k, u in kept["units"].items()}, **posted}
    fields = [_field(plant, result, kind, ASKED[key], was, errors) for key in kind.asks]
    return form(*fields, errors=[errors[""]] if "" in errors else ())


def _field(
    plant: Plant,
    result: Result,
    kind: RemedyKind,
    asked: Asked,
    was: Mapping[str, str],
    errors: Mapping[str, str],
) -> FieldView:
    error = errors.get(asked.key, "")
    if asked.choices:
        offered = [(k, _(text)) for k, text in asked.choices]
        if asked.key == "chemical":
            offered = [pair for pair in offered if pair[0] in kind.chemicals]
        first = "" if len(offered) > 1 else offered[0][0]
        if not first:
            offered = [("", _("Choose")), *offered]
        return choice_field(
            asked.key, _(asked.label), offered, was, value=first, required=True, error=error
        )
    unit = words.plant_unit(plant, asked.unit)
    value, note = _known(plant, result, asked, unit)
    return number_field(
        asked.key,
        _(asked.label),
        was,
        asked.units,
        unit=unit,
        value=value,
        help=note or (_(asked.help) if asked.help else ""),
        required=asked.required,
        error=error,
    )


def _known(plant: Plant, result: Result, asked: Asked, unit: str) -> tuple[str, str]:
    """Return what the record knows of a figure that is asked for, and where from."""
    if asked.key == "next_test":
        slot = next_slot(result)
        if slot is None:
            return "", ""
        hours = (slot.due_at - clock.now()) / timedelta(hours=1)
        at = words.time_of(plant, slot.due_at)
        return f"{max(hours, 0.5):.1f}", _("Due %(at)s. Change it if you know better.") % {"at": at}
    sample = result.measurement.sample
    waters = {
        "feed_conductivity": (SampleKind.FEEDWATER, "conductivity", None),
        "feed_oxygen": (SampleKind.FEEDWATER, "oxygen", None),
        "boiler_conductivity": (
            SampleKind.BOILER_WATER,
            "conductivity",
            sample.sample_point.boiler,
        ),
    }
    if asked.key not in waters:
        return "", ""
    kind, analyte, boiler = waters[asked.key]
    found = latest_of_kind(plant, kind, analyte, sample.drawn_at, boiler)
    if found is None:
        return "", ""
    at = words.time_of(plant, found.measurement.sample.drawn_at)
    note = _("Measured %(at)s. Change it if you know better.") % {"at": at}
    return words.in_unit(found.value, found.unit, unit), note
