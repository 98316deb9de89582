"""A finished sample: verdicts, what stops, and the way on for each result out of range."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from chemistry import methods
from chemistry.planner_case import PARAMETERS
from dashboards import words
from dashboards.build.checks import check_rows
from dashboards.build.results import corrections_of, raw_of, stand_view
from dashboards.build.sheets import STATUS_WORDS, follow_up_view
from dashboards.build.ways import SentBack, Ways, stop_view, to_act_on
from dashboards.screens.sample import SampleResult, SampleScreen
from records.actors import Actor
from records.models import Result, Sample, SampleKind
from records.permissions import Deed
from records.selectors.follow_ups import follow_ups_of
from records.selectors.results import ResultStand, outcomes_of, results_of_sample
from records.selectors.sheets import stand_of
from records.selectors.stopping import stop_findings
from records.selectors.tokens import token_behind


def sample_screen(actor: Actor, sample: Sample, *, sent: SentBack | None = None) -> SampleScreen:
    """Return the page of a sample; what was typed and refused stays in its form."""
    plant = actor.plant
    stands = results_of_sample(sample)
    boiler_name, point_name = words.place(sample.sample_point)
    found = stop_findings(sample)
    acted_on = to_act_on(stands, found)
    stop = stop_view(plant, sample, found) if acted_on else None
    maker = Ways(actor, sample, stop, sent or SentBack())
    sheet = stand_of(sample.sheet)
    items = {s.result.pk: _result(actor, s, stands) for s in stands if s.current}
    shown = {stand.result.pk for stand, _finding in acted_on if stand}
    return SampleScreen(
        plant_id=str(plant.pk),
        sample_id=str(sample.pk),
        boiler_id=str(sample.sample_point.boiler_id or ""),
        boiler_name=boiler_name,
        point_name=point_name,
        state_word=words.state_word(sample.boiler_state),
        drawn_text=words.moment(plant, sample.drawn_at),
        tester_name=sample.by_name,
        results=tuple(item for pk, item in items.items() if pk not in shown),
        checks=check_rows(actor, outcomes_of(sample), signed=sheet.signed),
        sheet_id=str(sample.sheet_id),
        sheet_status_word=_(STATUS_WORDS[sheet.status]),
        late_mark=_("entered late") if sample.late else "",
        sent_mark=_sent_mark(sample),
        remark=sample.note,
        stop=stop,
        ways=tuple(
            maker.of(number, stand, finding, items[stand.result.pk] if stand else None)
            for number, (stand, finding) in enumerate(acted_on)
        ),
        plans=stop is None and actor.may(Deed.TEST) and _can_be_planned(sample, stands),
        actions=maker.elsewhere(shown),
        follow_ups=tuple(
            follow_up_view(plant, f) for f in follow_ups_of(sample) if f.result_id not in shown
        ),
    )


def _can_be_planned(sample: Sample, stands: Sequence[ResultStand]) -> bool:
    """Say whether more is out of range than a remedy of its own answers best."""
    of_boiler = sample.sample_point.kind == SampleKind.BOILER_WATER
    out = [s for s in stands if s.current and s.out_of_range and s.result.analyte in PARAMETERS]
    return of_boiler and len(out) > 1


def _sent_mark(sample: Sample) -> str:
    token = token_behind(sample)
    return _("sent with the token %(label)s") % {"label": token.label} if token else ""


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


def result_to_act_on(sample: Sample, wanted: str = "") -> Result | None:
    """Return the result of a sample that a form is about: the one named, or the first of those
    that something has to be done about."""
    ways = to_act_on(results_of_sample(sample), stop_findings(sample))
    results = [stand.result for stand, _finding in ways if stand]
    named = [result for result in results if str(result.pk) == wanted]
    if wanted:
        return named[0] if named else None
    return results[0] if results else None
