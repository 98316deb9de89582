"""A finished sample: verdicts, the remedy, what was done, what is owed."""

import json
from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods, remedy_words, units
from chemistry.verdict import Side
from dashboards import words
from dashboards.build.forms import choice_field, form, number_field, text_field
from dashboards.build.results import (
    corrections_of,
    outcome_view,
    raw_of,
    result_view,
    stand_view,
    verdict_view,
)
from dashboards.build.sheets import KIND_WORDS, STATUS_WORDS, action_view, follow_up_view
from dashboards.screens.fields import FieldView, FormView
from dashboards.screens.results import Figure
from dashboards.screens.sample import (
    RefusalView,
    RemedyPlanView,
    RemedyView,
    SampleResult,
    SampleScreen,
)
from records import clock
from records.actors import Actor
from records.models import Plant, Remedy, Result, Sample
from records.permissions import Deed
from records.selectors.follow_ups import actions_of, follow_ups_of, remedies_of
from records.selectors.remedies import ASKED, latest_feed
from records.selectors.results import ResultStand, outcomes_of, results_of_sample
from records.selectors.sheets import stand_of

CONFIRM_FIRST = gettext_noop(
    "First draw a fresh sample and test again. Treat only what the second test confirms."
)
ADVISORY = gettext_noop(
    "This is advice, worked out from the figures shown. It orders nothing: your plant's "
    "procedures, local codes, the maker's instructions and licensed practice decide."
)


def sample_screen(
    actor: Actor,
    sample: Sample,
    *,
    remedy_posted: Mapping[str, str] | None = None,
    remedy_errors: Mapping[str, str] | None = None,
    action_posted: Mapping[str, str] | None = None,
    action_errors: Mapping[str, str] | None = None,
) -> SampleScreen:
    """Return the page of a sample; what was typed and refused stays in its form."""
    plant = actor.plant
    stands = results_of_sample(sample)
    boiler_name, point_name = words.place(sample.sample_point)
    open_stand = next((s for s in stands if s.current and s.out_of_range), None)
    may_act = actor.may(Deed.TEST)
    remedy = None
    if open_stand is not None and open_stand.side is Side.HIGH and may_act:
        remedy = _remedy(plant, sample, open_stand, remedy_posted or {}, remedy_errors or {})
    action_form = None
    if open_stand is not None and may_act:
        action_form = _action_form(plant, sample, action_posted or {}, action_errors or {})
    return SampleScreen(
        plant_id=str(plant.pk),
        sample_id=str(sample.pk),
        boiler_name=boiler_name,
        point_name=point_name,
        state_word=words.state_word(sample.boiler_state),
        drawn_text=words.moment(plant, sample.drawn_at),
        tester_name=sample.by_name,
        results=tuple(_result(actor, stand, stands) for stand in stands if stand.current),
        outcomes=tuple(
            outcome_view(o.what, o.outcome, reason=o.reason, remark=o.remark, witness=o.witness)
            for o in outcomes_of(sample)
        ),
        sheet_id=str(sample.sheet_id),
        sheet_status_word=_(STATUS_WORDS[stand_of(sample.sheet).status]),
        late_mark=_("entered late") if sample.late else "",
        remedy=remedy,
        action_form=action_form,
        actions=tuple(action_view(plant, action) for action in actions_of(sample)),
        follow_ups=tuple(follow_up_view(plant, f) for f in follow_ups_of(sample)),
    )


def _result(actor: Actor, stand: ResultStand, all_of: Sequence[ResultStand]) -> SampleResult:
    measurement = stand.measurement
    method = methods.get(measurement.method, measurement.method_version)
    signed = stand_of(measurement.sheet).signed
    return SampleResult(
        measurement_id=str(measurement.pk),
        result=stand_view(actor.plant, stand),
        method_name=_(method.name),
        mode_label=_(method.mode(measurement.mode).label),
        raw=raw_of(measurement),
        instruments=tuple(use.label for use in measurement.uses.all()),
        corrections=corrections_of(actor.plant, stand, all_of),
        can_correct=actor.may(Deed.AMEND if signed else Deed.CORRECT),
        correct_word=_("Amend") if signed else _("Correct"),
    )


def _remedy(
    plant: Plant,
    sample: Sample,
    stand: ResultStand,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
) -> RemedyView:
    stored = next(iter(remedies_of(sample)), None)
    if stored is not None and stored.result_id != stand.result.pk:
        stored = None
    plan = json.loads(stored.plan) if stored else {}
    refused = stored is not None and bool(stored.refusal)
    cautions = plan.get("cautions") or remedy_words.CAUTIONS["continuous"]
    return RemedyView(
        form=_remedy_form(plant, sample, stored, posted, errors),
        advisory=(_(ADVISORY),),
        cautions=tuple(_(text) for text in cautions),
        confirm_first=_(CONFIRM_FIRST),
        plan=_plan(plant, plan, stand) if stored and not refused else None,
        refusal=_refusal(plant, plan) if refused else None,
    )


def _remedy_form(
    plant: Plant,
    sample: Sample,
    stored: Remedy | None,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
) -> FormView:
    kept = json.loads(stored.inputs) if stored else {"typed": {}, "units": {}}
    was = {**kept["typed"], **{f"{k}.unit": u for k, u in kept["units"].items()}, **posted}
    feed = latest_feed(plant, sample.drawn_at)
    fields: list[FieldView] = []
    for asked in ASKED:
        unit = words.plant_unit(plant, asked.unit)
        value, note = "", ""
        if asked.key == "feed_conductivity" and feed is not None:
            value = words.in_unit(feed.value, feed.unit, unit)
            at = words.time_of(plant, feed.measurement.sample.drawn_at)
            note = _("Measured %(at)s. Change it if you know better.") % {"at": at}
        fields.append(
            number_field(
                asked.key,
                _(asked.label),
                was,
                asked.units,
                unit=unit,
                value=value,
                help=note,
                required=True,
                error=errors.get(asked.key, ""),
            )
        )
    return form(*fields, errors=[errors[""]] if "" in errors else ())


def _plan(plant: Plant, plan: dict[str, Any], stand: ResultStand) -> RemedyPlanView:
    flow, mass = words.plant_unit(plant, "kg/h"), words.plant_unit(plant, "kg")
    said = _PlanWords(plant, plan)
    limit = stand.verdict.limit
    retest = words.span(timedelta(minutes=float(plan["retest_after_min"])))
    return RemedyPlanView(
        headline=said.headline(),
        steps=tuple(said.steps()),
        figures=(
            Figure(
                label=_("Extra water blown"),
                value=said.amount("extra_water_kg", "kg"),
                unit=words.unit_label(mass),
            ),
            Figure(
                label=_("Blowdown now, by balance"),
                value=said.amount("present_kg_h", "kg/h"),
                unit=words.unit_label(flow),
            ),
            Figure(
                label=_("Blowdown at the target"),
                value=said.amount("hold_kg_h", "kg/h"),
                unit=words.unit_label(flow),
                note=_("%(percent)s %% of feedwater")
                % {"percent": words.figure(float(plan["percent_of_feedwater"]), 2)},
            ),
            Figure(
                label=_("Cycles of concentration"),
                value=words.figure(float(plan["cycles_target"])),
                note=_("now %(now)s") % {"now": words.figure(float(plan["cycles_now"]))},
            ),
            Figure(
                label=_("Heat lost with the extra water"),
                value=words.figure(float(plan["heat_lost_kwh"]), 2),
                unit="kWh",
            ),
        ),
        predicted=result_view(
            plant,
            analyte=stand.result.analyte,
            value=f"{float(plan['predicted']):.0f}",
            unit=stand.result.unit,
            expanded=f"{float(plan['predicted_expanded']):.0f}",
            basis=stand.result.basis,
            verdict=verdict_view(Side.IN_RANGE.value),
            limit=limit,
        ),
        retest_text=_("Test again after %(span)s.") % {"span": retest},
        assumptions=tuple(_(text) for text in plan["assumptions"]),
        source=plan["source"],
    )


class _PlanWords:
    """A plan's sentences in the plant's units."""

    def __init__(self, plant: Plant, plan: dict[str, Any]) -> None:
        self._plant, self._plan = plant, plan

    def amount(self, key: str, unit: str) -> str:
        """Return one figure of the plan in the plant's unit, two digits."""
        shown = words.plant_unit(self._plant, unit)
        value = units.convert(float(self._plan[key]), unit, shown)
        return words.figure(value, 2)

    def flow(self, key: str) -> str:
        unit = words.unit_label(words.plant_unit(self._plant, "kg/h"))
        return f"{self.amount(key, 'kg/h')} {unit}"

    def headline(self) -> str:
        if self._plan["valve"] == "bottom":
            return _("%(n)s bottom blows, one at a time") % {"n": self._plan["blows"]}
        length = words.span(timedelta(hours=float(self._plan["hours"])))
        return _("Continuous (surface) blowdown at %(flow)s for %(span)s") % {
            "flow": self.flow("raise_to_kg_h"),
            "span": length,
        }

    def steps(self) -> list[str]:
        if self._plan["valve"] == "bottom":
            return [
                _("Blow %(n)s times as your procedure says; let the level recover in between.")
                % {"n": self._plan["blows"]},
                _("Never blow a waterwall header while firing."),
            ]
        length = words.span(timedelta(hours=float(self._plan["hours"])))
        return [
            _("Open the continuous blowdown valve to about %(flow)s.")
            % {"flow": self.flow("raise_to_kg_h")},
            _("After %(span)s set it back to about %(flow)s, which holds the target at this load.")
            % {"span": length, "flow": self.flow("hold_kg_h")},
        ]


def _refusal(plant: Plant, told: dict[str, Any]) -> RefusalView:
    missing = [remedy_words.MISSING_WORDS.get(key, key) for key in told.get("missing", [])]
    return RefusalView(
        reason=words.told(told["template"], told["params"]),
        missing=tuple(_(text) for text in missing),
        call=_("Call: %(whom)s") % {"whom": plant.whom_to_call} if plant.whom_to_call else "",
    )


def _action_form(
    plant: Plant, sample: Sample, posted: Mapping[str, str], errors: Mapping[str, str]
) -> FormView:
    now = clock.now()
    stored = next(iter(remedies_of(sample)), None)
    minutes = 60.0
    if stored is not None and not stored.refusal:
        minutes = float(json.loads(stored.plan)["retest_after_min"])
    retest = words.for_input(plant, now + timedelta(minutes=minutes))
    return form(
        choice_field(
            "kind",
            _("What was done"),
            [(key, _(text)) for key, text in KIND_WORDS.items()],
            posted,
            kind="radio",
            value="blowdown",
            required=True,
            error=errors.get("kind", ""),
        ),
        text_field(
            "amount",
            _("How much, in your own figures"),
            posted,
            help=_("As you read it: “valve at 3 for 2 h”, “two blows of 15 s”."),
            error=errors.get("amount", ""),
        ),
        text_field("note", _("Remark"), posted, error=errors.get("note", "")),
        text_field(
            "done_at",
            _("Done at"),
            posted,
            kind="datetime-local",
            value=words.for_input(plant, now),
            required=True,
            error=errors.get("done_at", ""),
        ),
        text_field(
            "retest_at",
            _("Test again at"),
            posted,
            kind="datetime-local",
            value=retest,
            required=True,
            error=errors.get("retest_at", ""),
        ),
        errors=[errors[""]] if "" in errors else (),
    )


def result_to_act_on(sample: Sample) -> Result | None:
    """Return the result of a sample that something has to be done about."""
    stands = [s for s in results_of_sample(sample) if s.current and s.out_of_range]
    return stands[0].result if stands else None
