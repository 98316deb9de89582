"""The first start, with a one-time code from the console, and the plant's set-up page."""

from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from dashboards.build.forms import posted
from dashboards.build.setup import plant_setup_screen, setup_screen
from dashboards.forms.setup import boiler_figures, instrument_figures, lot_figures
from dashboards.gate import at_plant
from records.actors import Actor
from records.errors import RecordError
from records.models import SampleKind
from records.permissions import Deed
from records.services.first_start import FirstStart, first_start, is_open
from records.services.plants import boiler_add, instrument_add, lot_add, point_add


@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("password", "code")
def setup(request: HttpRequest) -> HttpResponse:
    """Make the first administrator and the first plant; afterwards this page is no more."""
    if not is_open():
        raise Http404
    sent, errors = posted(request), {}
    if request.method == "POST":
        try:
            user, plant = first_start(
                FirstStart(
                    code=sent.get("code", ""),
                    organization=sent.get("organization", ""),
                    plant=sent.get("plant", ""),
                    timezone=sent.get("timezone", ""),
                    units=sent.get("units", ""),
                    name=sent.get("name", ""),
                    username=sent.get("username", ""),
                    password=sent.get("password", ""),
                )
            )
        except RecordError as error:
            errors = {error.field: str(error)}
        else:
            login(request, user, backend="django.contrib.auth.backends.ModelBackend")
            return redirect("plant-setup", plant.pk)
    screen = setup_screen(sent, errors)
    status = 422 if errors else 200
    return render(request, "dashboards/setup.html", {"screen": screen}, status=status)


@require_http_methods(["GET", "POST"])
@at_plant(Deed.SET_UP)
def plant_setup(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Show what a plant consists of, and add a boiler, a sample point, an instrument or a lot."""
    sent, errors = posted(request), {}
    if request.method == "POST":
        try:
            _add(actor, sent)
            return redirect("plant-setup", actor.plant.pk)
        except RecordError as error:
            errors = {error.field: str(error)}
    screen = plant_setup_screen(actor, sent, errors)
    status = 422 if errors else 200
    return render(request, "dashboards/plant_setup.html", {"screen": screen}, status=status)


def _add(actor: Actor, sent: dict[str, str]) -> None:
    match sent.get("what"):
        case "boiler":
            boiler_add(actor=actor, **boiler_figures(sent))
        case "point":
            kind = sent.get("kind", "")
            if kind not in SampleKind.values:
                raise Http404
            point_add(actor=actor, name=sent.get("name", ""), kind=SampleKind(kind))
        case "instrument":
            instrument_add(actor=actor, **instrument_figures(sent))
        case "lot":
            lot_add(actor=actor, **lot_figures(sent))
        case _:
            raise Http404
