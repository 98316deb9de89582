"""The handover of a shift: read it, print it, and leave a note for the next one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from dashboards.build.forms import posted
from dashboards.build.handover import handed_over, handover_screen
from dashboards.gate import at_plant
from dashboards.words import with_anchor
from records.actors import Actor
from records.errors import RecordError
from records.permissions import Deed
from records.services.handover import handover_note_write
from records.services.slots import slots_expand


@require_http_methods(["GET", "POST"])
@at_plant(Deed.TEST)
def handover(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Show what a shift hands over, or write its note down."""
    sent = posted(request)
    which = sent.get("shift", "") or request.GET.get("shift", "")
    errors: dict[str, str] = {}
    if request.method == "POST":
        try:
            handover_note_write(
                actor=actor,
                shift_of=handed_over(actor.plant, which).starts_at,
                text=sent.get("text", ""),
                key=sent.get("key", ""),
            )
        except RecordError as error:
            errors = {error.field: str(error)}
        else:
            back = with_anchor("handover", "h-notes", actor.plant.pk)
            before = which == "before"
            return redirect(back.replace("#", "?shift=before#") if before else back)
    slots_expand(actor.plant)
    screen = handover_screen(actor, which, sent=sent, errors=errors)
    status = 422 if errors else 200
    return render(request, "dashboards/handover.html", {"screen": screen}, status=status)
