"""A finished sample: its remedy, what was done, and correcting a result."""

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from chemistry import methods
from dashboards import words
from dashboards.build.correct import correct_screen, typed_of
from dashboards.build.forms import posted
from dashboards.build.sample import result_to_act_on, sample_screen
from dashboards.build.ways import NO_RESULT, SentBack
from dashboards.forms.bench import entry_of, instant_of, typed_in
from dashboards.gate import at_plant
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import Measurement, Sample
from records.permissions import Deed
from records.selectors.plan_inputs import remedy_behind
from records.selectors.remedy_inputs import ASKED
from records.selectors.stopping import stop_findings
from records.services.actions import Done, InputsRefused, action_record, remedy_plan
from records.services.confirming import confirm_waive, confirming_draft_open
from records.services.corrections import result_correct
from records.services.samples import TestsRefused


@require_GET
@at_plant(Deed.SEE)
def sample(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    row = row_for(actor, Sample, sample)
    return render(request, "dashboards/sample.html", {"screen": sample_screen(actor, row)})


@require_POST
@at_plant(Deed.TEST)
def confirm(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    """Open a bench sheet with just the tests that are to be confirmed."""
    row = row_for(actor, Sample, sample)
    try:
        draft = confirming_draft_open(actor=actor, sample=row)
    except RecordError as error:
        messages.info(request, str(error))
        return redirect("sample", actor.plant.pk, row.pk)
    return redirect("bench", actor.plant.pk, draft.pk)


@require_POST
@at_plant(Deed.TEST)
def without(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    """Record why a result is acted on without a second draw."""
    row, sent = row_for(actor, Sample, sample), posted(request)
    result = result_to_act_on(row, sent.get("result", ""))
    if result is None:
        return redirect("sample", actor.plant.pk, row.pk)
    try:
        confirm_waive(
            actor=actor, result=result, reason=sent.get("reason", ""), key=sent.get("key", "")
        )
    except RecordError as error:
        back = SentBack(form="without", result=str(result.pk), posted=sent, errors=_by(error))
        return _sent_back(request, actor, row, back)
    return redirect(words.with_anchor("sample", f"way-{result.analyte}", actor.plant.pk, row.pk))


@require_POST
@at_plant(Deed.TEST)
def plan(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    """Work a remedy out from what was typed beside it, and keep it as shown."""
    row, sent = row_for(actor, Sample, sample), posted(request)
    result = result_to_act_on(row, sent.get("result", ""))
    if result is None:
        return redirect("sample", actor.plant.pk, row.pk)
    units = {key: sent.get(f"{key}.unit", "") for key in ASKED}
    try:
        remedy_plan(actor=actor, result=result, typed=sent, units=units, key=sent.get("key", ""))
    except InputsRefused as refused:
        errors = {field: words.sentence(error) for field, error in refused.by_field.items()}
    except RecordError as error:
        errors = _by(error)
    else:
        return redirect(
            words.with_anchor("sample", f"advice-{result.analyte}", actor.plant.pk, row.pk)
        )
    back = SentBack(form="remedy", result=str(result.pk), posted=sent, errors=errors)
    return _sent_back(request, actor, row, back)


@require_POST
@at_plant(Deed.TEST)
def act(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    """Record what was really done, and owe a retest."""
    row, sent = row_for(actor, Sample, sample), posted(request)
    result = result_to_act_on(row, sent.get("result", ""))
    if result is None and not stop_findings(row):
        return redirect("sample", actor.plant.pk, row.pk)
    remedy = remedy_behind(row, result)
    try:
        done = Done(
            kind=sent.get("kind", ""),
            done_at=_instant(actor, sent, "done_at"),
            amount=sent.get("amount", ""),
            note=sent.get("note", ""),
            retest_at=_instant(actor, sent, "retest_at"),
        )
        action_record(
            actor=actor,
            sample=row,
            result=result,
            done=done,
            remedy=remedy,
            key=sent.get("key", ""),
        )
    except RecordError as error:
        about = str(result.pk) if result else NO_RESULT
        back = SentBack(form="action", result=about, posted=sent, errors=_by(error))
        return _sent_back(request, actor, row, back)
    anchor = f"done-{result.analyte}" if result else "done-look"
    return redirect(words.with_anchor("sample", anchor, actor.plant.pk, row.pk))


def _by(error: RecordError) -> dict[str, str]:
    return {error.field: str(error)}


def _sent_back(request: HttpRequest, actor: Actor, sample: Sample, back: SentBack) -> HttpResponse:
    screen = sample_screen(actor, sample, sent=back)
    return render(request, "dashboards/sample.html", {"screen": screen}, status=422)


def _instant(actor: Actor, sent: Mapping[str, str], field: str) -> datetime:
    return instant_of(actor.plant, sent.get(field, ""), field=field)


@require_http_methods(["GET", "POST"])
@at_plant(Deed.CORRECT)
def correct(request: HttpRequest, actor: Actor, measurement: UUID) -> HttpResponse:
    """Correct a result or a check before its sheet is signed, propose an amendment afterwards."""
    row = row_for(actor, Measurement, measurement)
    sent = posted(request)
    method = methods.get(row.method, row.method_version)
    typed = typed_in(sent, [method]) if sent else typed_of(row)
    if request.headers.get("HX-Request"):
        screen = correct_screen(actor, row, typed, sent)
        return render(request, "dashboards/parts/correct_reply.html", {"screen": screen})
    errors: dict[str, str] = {}
    if request.method == "POST":
        try:
            result_correct(
                actor=actor,
                measurement=row,
                entry=entry_of(method, typed),
                reason=sent.get("reason", ""),
                key=sent.get("key", ""),
            )
            return redirect("sheet", actor.plant.pk, row.sheet_id)
        except TestsRefused:
            errors = {"": _("Some readings can't be used yet. They are marked below.")}
        except RecordError as error:
            errors = {error.field: str(error)}
    screen = correct_screen(actor, row, typed, sent, errors=errors, finishing=bool(errors))
    status = 422 if errors else 200
    return render(request, "dashboards/correct.html", {"screen": screen}, status=status)
