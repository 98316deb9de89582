"""What every page shows around its content."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from dashboards.screens.chrome import Chrome, NavItem
from records.actors import Actor
from records.models import Role
from records.permissions import Deed


def chrome(request: HttpRequest) -> dict[str, Any]:
    """Return `chrome` and `demo` for the base template."""
    presence = getattr(request, "presence", None)
    if presence is None:
        return {"demo": settings.DEMO}
    actor: Actor | None = getattr(request, "actor", None)
    plant = actor.plant if actor else presence.terminal.plant if presence.terminal else None
    shown = Chrome(
        plant_name=plant.name if plant else "",
        plant_id=str(plant.pk) if plant else "",
        person_name=presence.person.name if presence.person else "",
        on_terminal=presence.terminal is not None,
        roles=tuple(str(Role(role).label) for role in sorted(actor.roles)) if actor else (),
        nav=_nav(request, actor),
        idle_seconds=settings.TERMINAL_IDLE_SECONDS if presence.terminal else 0,
        locked=presence.terminal is not None and presence.person is None,
    )
    return {"chrome": shown, "demo": settings.DEMO}


def _nav(request: HttpRequest, actor: Actor | None) -> tuple[NavItem, ...]:
    presence = request.presence  # type: ignore[attr-defined]
    items: list[tuple[str, str]] = []
    if actor is not None:
        plant = actor.plant.pk
        if actor.may(Deed.TEST):
            items.append((_("Round"), reverse("round", args=[plant])))
            items.append((_("Handover"), reverse("handover", args=[plant])))
        if actor.may(Deed.SEE):
            items.append((_("Log sheets"), reverse("sheets", args=[plant])))
            items.append((_("Instruments"), reverse("instruments", args=[plant])))
        if actor.may(Deed.SIGN):
            items.append((_("Desk"), reverse("plant", args=[plant])))
        if actor.may(Deed.SET_UP):
            items.append((_("Set-up"), reverse("plant-setup", args=[plant])))
    elif presence.person is not None and presence.terminal is not None:
        # a page of no plant, opened at a plant's own terminal
        items.append((_("Round"), reverse("round", args=[presence.terminal.plant_id])))
    if presence.person is not None:
        if presence.terminal is None:
            items.append((_("Plants"), reverse("plants")))
        items.append((_("Calculator"), reverse("calculator")))
    return tuple(NavItem(label=label, url=url, current=request.path == url) for label, url in items)
