"""What a failed check reaches, and a chemist's decisions about results in doubt."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from dashboards.build.forms import posted
from dashboards.build.history import history_screen
from dashboards.build.look_back import ALL, look_back_screen
from dashboards.gate import at_plant
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import LookBack, Measurement
from records.permissions import Deed
from records.services.dispositions import look_back_dispose, result_dispose, results_dispose

_BEHIND = ("instrument", "check_of", "passed")


@require_GET
@at_plant(Deed.SEE)
def look_back(request: HttpRequest, actor: Actor, look_back: UUID) -> HttpResponse:
    back = row_for(actor, LookBack, look_back, related=_BEHIND)
    return render(request, "dashboards/look_back.html", {"screen": look_back_screen(actor, back)})


@require_POST
@at_plant(Deed.DISPOSE)
def decide(request: HttpRequest, actor: Actor, look_back: UUID) -> HttpResponse:
    """Decide about the results that were ticked, or about all that still wait."""
    back = row_for(actor, LookBack, look_back, related=_BEHIND)
    sent, picked = posted(request), request.POST.getlist("measurement")
    said = {"outcome": sent.get("outcome", ""), "reason": sent.get("reason", "")}
    key = sent.get("key", "")
    try:
        if sent.get("scope") == ALL:
            look_back_dispose(actor=actor, look_back=back, key=key, **said)
        else:
            rows = [row_for(actor, Measurement, _key(each)) for each in dict.fromkeys(picked)]
            results_dispose(actor=actor, measurements=rows, look_back=back, key=key, **said)
    except RecordError as error:
        screen = look_back_screen(actor, back, sent, {error.field: str(error)}, picked)
        return render(request, "dashboards/look_back.html", {"screen": screen}, status=422)
    messages.success(request, _("The decision is recorded."))
    return redirect("look-back", actor.plant.pk, back.pk)


def _key(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise Http404 from None


@require_POST
@at_plant(Deed.DISPOSE)
def decide_one(request: HttpRequest, actor: Actor, measurement: UUID) -> HttpResponse:
    """Decide about a test that was in doubt from its entry on."""
    row, sent = row_for(actor, Measurement, measurement), posted(request)
    try:
        result_dispose(
            actor=actor,
            measurement=row,
            outcome=sent.get("outcome", ""),
            reason=sent.get("reason", ""),
            key=sent.get("key", ""),
        )
    except RecordError as error:
        screen = history_screen(actor, row, sent, {error.field: str(error)})
        return render(request, "dashboards/history.html", {"screen": screen}, status=422)
    return redirect("result-history", actor.plant.pk, row.pk)
