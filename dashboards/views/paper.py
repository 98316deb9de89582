"""Paper forms for a power cut."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from dashboards.build.paper import paper_screen
from dashboards.gate import at_plant
from records.actors import Actor
from records.permissions import Deed


@require_GET
@at_plant(Deed.SEE)
def forms(request: HttpRequest, actor: Actor) -> HttpResponse:
    screen = paper_screen(actor, request.GET.get("point", ""))
    return render(request, "dashboards/paper_forms.html", {"screen": screen})
