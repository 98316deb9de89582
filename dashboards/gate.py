"""The door of every page of a plant: who is there, may they, and only this plant's rows."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django_scopes import scope

from records.access import actor_at
from records.permissions import Deed

# request, actor, then the keys of the address
PlantView = Callable[..., HttpResponse]
View = Callable[..., HttpResponse]


def at_plant(deed: Deed) -> Callable[[PlantView], View]:
    """Make a view of one plant: nobody signs in, an outsider sees 404, a wrong role 403.

    The view gets the actor in place of the plant's key and runs inside that plant's scope.
    """

    def decorate(view: PlantView) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, plant: UUID, **keys: Any) -> HttpResponse:
            presence = request.presence  # type: ignore[attr-defined]
            if presence.person is None:
                return nobody(request)
            actor = actor_at(presence.person, plant, terminal=presence.terminal)
            if not actor.may(deed):
                raise PermissionDenied
            request.actor = actor  # type: ignore[attr-defined]
            with scope(plant=actor.plant):
                return render_inside(view(request, actor, **keys))

        return guarded

    return decorate


def render_inside(response: HttpResponse) -> HttpResponse:
    """Render a lazy response while the plant's scope is still open."""
    if hasattr(response, "render") and callable(response.render):
        response.render()
    return response


def signed_in(view: View) -> View:
    """Make a view for whoever is signed in, at no particular plant."""

    @wraps(view)
    def guarded(request: HttpRequest, **keys: Any) -> HttpResponse:
        if request.presence.person is None:  # type: ignore[attr-defined]
            return nobody(request)
        return view(request, **keys)

    return guarded


def nobody(request: HttpRequest) -> HttpResponse:
    """Send whoever has not said who they are to the terminal or the sign-in page."""
    if request.headers.get("HX-Request"):
        return HttpResponse(status=401)
    where = reverse("terminal" if request.presence.terminal else "login")  # type: ignore[attr-defined]
    if request.method == "GET":
        where += "?" + urlencode({"next": request.get_full_path()})
    return redirect(where)
