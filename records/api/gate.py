"""The door of every address of the API: whose token it is, may they, and only that plant's rows."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.http import Http404
from django.utils.translation import gettext_noop
from django_scopes import scope
from rest_framework.request import Request
from rest_framework.response import Response

from records.actors import Actor
from records.errors import NotAllowed
from records.permissions import Deed, may
from records.services.tokens import token_used

LOOKS_ONLY = gettext_noop("This token only looks: no sample can be sent with it.")

# request, actor, then the keys of the address
PlantView = Callable[..., Response]
View = Callable[..., Response]


def _require(actor: Actor, deed: Deed) -> None:
    """Raise NotAllowed, saying whether it is the token or the person's role that may not."""
    if may(actor.roles, deed) and not actor.may(deed):
        raise NotAllowed("token_looks_only", LOOKS_ONLY)
    actor.require(deed)


def by_token(deed: Deed) -> Callable[[PlantView], View]:
    """Make a view of the plant that the token is for: a role or token that may not is refused.

    The view gets the actor and runs inside that plant's scope.
    """

    def decorate(view: PlantView) -> View:
        @wraps(view)
        def guarded(request: Request, **keys: Any) -> Response:
            actor = request.auth
            assert isinstance(actor, Actor)  # nobody comes this far without a token
            with scope(plant=actor.plant):
                _require(actor, deed)
                if actor.token is not None:
                    token_used(actor.token)
                response = view(request, actor, **keys)
            response.headers["Cache-Control"] = "no-store, private"
            return response

        return guarded

    return decorate


def at_plant(deed: Deed) -> Callable[[PlantView], View]:
    """Make a view of the plant in the address: any other than the token's does not exist."""

    def decorate(view: PlantView) -> View:
        @wraps(view)
        def here(request: Request, actor: Actor, plant: UUID, **keys: Any) -> Response:
            return view(request, actor, **keys)

        inside = by_token(deed)(here)

        @wraps(view)
        def guarded(request: Request, plant: UUID, **keys: Any) -> Response:
            if not isinstance(request.auth, Actor) or request.auth.plant.pk != plant:
                raise Http404
            return inside(request, plant=plant, **keys)

        return guarded

    return decorate
