"""The page of one boiler."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from dashboards.build.boiler import boiler_screen
from dashboards.gate import at_plant
from records.access import row_for
from records.actors import Actor
from records.models import Boiler
from records.permissions import Deed


@require_GET
@at_plant(Deed.SEE)
def boiler(request: HttpRequest, actor: Actor, boiler: UUID) -> HttpResponse:
    screen = boiler_screen(actor, row_for(actor, Boiler, boiler))
    return render(request, "dashboards/boiler.html", {"screen": screen})
