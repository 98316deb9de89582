"""Say why tests that were due could not be done."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from dashboards.build.forms import posted
from dashboards.build.untested import back_url, not_tested_screen
from dashboards.gate import at_plant
from records import clock
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import DueSlot
from records.permissions import Deed
from records.selectors.rounds import line_of
from records.services.slot_answers import EARLY, slots_excuse


@require_http_methods(["GET", "POST"])
@at_plant(Deed.TEST)
def not_tested(request: HttpRequest, actor: Actor, slot: UUID) -> HttpResponse:
    """Record a reason for the tests picked; what can't be used is told beside its field."""
    row = row_for(actor, DueSlot, slot)
    sent, chosen, errors = posted(request), request.POST.getlist("slots"), {}
    if request.method == "POST":
        try:
            _excuse(actor, row, sent, chosen)
            return redirect(back_url(actor, row, sent.get("back", "")))
        except RecordError as error:
            errors = {error.field: str(error)}
    else:
        sent = {"back": request.GET.get("back", "round")}
    screen = not_tested_screen(actor, row, sent=sent, chosen=chosen, errors=errors)
    status = 422 if errors else 200
    return render(request, "dashboards/not_tested.html", {"screen": screen}, status=status)


def _excuse(actor: Actor, row: DueSlot, sent: dict[str, str], chosen: list[str]) -> None:
    now = clock.now()
    line = line_of(row, now=now, early=now + EARLY)
    slots_excuse(
        actor=actor,
        slots=[stand.slot for stand in line if str(stand.slot.pk) in chosen],
        reason=sent.get("reason", ""),
        words=sent.get("words", ""),
        key=sent.get("key", ""),
    )
