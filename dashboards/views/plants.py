"""The plants of a person, and the desk of one plant."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from dashboards.build.plants import desk_screen, plants_screen
from dashboards.gate import at_plant, render_inside, signed_in
from records.actors import Actor
from records.permissions import Deed
from records.services.slots import slots_expand


@require_GET
@signed_in
def plants(request: HttpRequest) -> HttpResponse:
    terminal, user = request.presence.terminal, request.presence.person  # type: ignore[attr-defined]
    if terminal is not None:  # a terminal shows its own plant only
        return redirect("round", terminal.plant_id)
    return render_inside(render(request, "dashboards/plants.html", {"screen": plants_screen(user)}))


@require_GET
@at_plant(Deed.SIGN)
def desk(request: HttpRequest, actor: Actor) -> HttpResponse:
    slots_expand(actor.plant)
    return render(request, "dashboards/plant.html", {"screen": desk_screen(actor)})
