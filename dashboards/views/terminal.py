"""The shared terminal: pick your name, enter your PIN, lock it when you go."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST
from django_scopes import scope

from dashboards.build.people import AT_BENCH, terminal_screen
from records.access import members_at
from records.errors import RecordError
from records.models import Terminal
from records.services.people import pin_check


@require_GET
def names(request: HttpRequest) -> HttpResponse:
    """Show who may work here, or ask the chosen one for a PIN."""
    presence = request.presence  # type: ignore[attr-defined]
    if presence.terminal is not None and presence.person is not None:
        return redirect("round", presence.terminal.plant_id)
    return _page(request, presence.terminal, request.GET.get("user", ""))


def _page(
    request: HttpRequest, terminal: Terminal | None, chosen: str, error: str = ""
) -> HttpResponse:
    context = {}
    if terminal is None:
        context["screen"] = terminal_screen(None)
    else:
        with scope(plant=terminal.plant):
            context["screen"] = terminal_screen(terminal, chosen, error)
    status = 422 if error else 200
    return render(request, "dashboards/terminal.html", context, status=status)


@require_POST
@sensitive_post_parameters("pin")
def unlock(request: HttpRequest) -> HttpResponse:
    """Begin in the chosen person's name if the PIN is theirs at this terminal."""
    presence = request.presence  # type: ignore[attr-defined]
    terminal, chosen = presence.terminal, request.POST.get("user", "")
    if terminal is None:
        return redirect("terminal")
    with scope(plant=terminal.plant):
        people = {str(user.pk): user for user in members_at(terminal.plant, AT_BENCH)}
        user = people.get(chosen)
        if user is None:
            return redirect("terminal")
        try:
            pin_check(terminal=terminal, user=user, pin=request.POST.get("pin", ""))
        except RecordError as error:
            return _page(request, terminal, chosen, str(error))
    presence.arrive(user)
    return redirect("round", terminal.plant_id)


@require_POST
def lock(request: HttpRequest) -> HttpResponse:
    """Lock at once; what was typed is kept with its draft."""
    request.presence.leave()  # type: ignore[attr-defined]
    return redirect("terminal")


@require_POST
def heartbeat(request: HttpRequest) -> HttpResponse:
    """Tell the server that somebody is still at the bench."""
    here = request.presence.person is not None  # type: ignore[attr-defined]
    return HttpResponse(status=204 if here else 401)
