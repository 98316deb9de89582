"""A plan for a whole boiler water: work it out, and record what was done of it."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from dashboards import words
from dashboards.build.forms import posted
from dashboards.build.water_plan import water_plan_screen
from dashboards.forms.bench import instant_of
from dashboards.gate import at_plant
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import Sample
from records.permissions import Deed
from records.selectors.follow_ups import remedies_of
from records.selectors.plan_inputs import PLAN_ASKED, plans_of
from records.services.actions import Done, InputsRefused
from records.services.water_plans import plan_record, water_plan

_PAGE = "dashboards/water_plan.html"


@require_http_methods(["GET", "POST"])
@at_plant(Deed.TEST)
def plan(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    """Show the newest plan; sent, work one out from what was typed and keep it as shown."""
    row, sent = row_for(actor, Sample, sample), posted(request)
    if request.method == "GET":
        return render(request, _PAGE, {"screen": water_plan_screen(actor, row)})
    units = {key: sent.get(f"{key}.unit", "") for key in PLAN_ASKED}
    try:
        water_plan(actor=actor, sample=row, typed=sent, units=units, key=sent.get("key", ""))
    except InputsRefused as refused:
        errors = {field: words.sentence(error) for field, error in refused.by_field.items()}
    except RecordError as error:
        errors = {error.field: str(error)}
    else:
        return redirect(words.with_anchor("water-plan", "plan", actor.plant.pk, row.pk))
    screen = water_plan_screen(actor, row, posted=sent, errors=errors)
    return render(request, _PAGE, {"screen": screen}, status=422)


@require_POST
@at_plant(Deed.TEST)
def done(request: HttpRequest, actor: Actor, sample: UUID) -> HttpResponse:
    """Record what was done of the plan: every result that it is about then owes a retest."""
    row, sent = row_for(actor, Sample, sample), posted(request)
    kept = next((each for each in plans_of(list(remedies_of(row))) if not each.refusal), None)
    if kept is None:
        return redirect("water-plan", actor.plant.pk, row.pk)
    try:
        told = Done(
            kind=sent.get("kind", ""),
            done_at=instant_of(actor.plant, sent.get("done_at", ""), field="done_at"),
            amount=sent.get("amount", ""),
            note=sent.get("note", ""),
            retest_at=instant_of(actor.plant, sent.get("retest_at", ""), field="retest_at"),
        )
        plan_record(actor=actor, sample=row, plan=kept, done=told, key=sent.get("key", ""))
    except RecordError as error:
        screen = water_plan_screen(actor, row, done=(sent, {error.field: str(error)}))
        return render(request, _PAGE, {"screen": screen}, status=422)
    return redirect("sample", actor.plant.pk, row.pk)
