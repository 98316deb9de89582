"""People and terminals of a plant."""

from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from dashboards.build.forms import posted
from dashboards.build.people import people_screen, terminals_screen
from dashboards.build.person import person_screen
from dashboards.gate import at_plant
from dashboards.middleware import COOKIE
from records.access import members_at, person_at, row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import Role, Terminal, User
from records.permissions import Deed
from records.services.people import (
    NewPerson,
    people_add,
    pin_set,
    pin_unlock,
    roles_end,
    roles_give,
    terminal_enroll,
    terminal_revoke,
)

# A terminal stays one until it is revoked: ten years.
_LASTS = 10 * 365 * 24 * 3600


@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("pin", "password")
@at_plant(Deed.MANAGE_PEOPLE)
def people(request: HttpRequest, actor: Actor) -> HttpResponse:
    sent, errors = posted(request), {}
    if "unlock" in sent:
        return _unlocked(actor, sent["unlock"])
    if request.method == "POST":
        try:
            people_add(actor=actor, people=[_new(sent)])
            return redirect("people", actor.plant.pk)
        except RecordError as error:
            errors = {error.field: str(error)}
    screen = people_screen(actor, sent, errors)
    status = 422 if errors else 200
    return render(request, "dashboards/people.html", {"screen": screen}, status=status)


def _unlocked(actor: Actor, key: str) -> HttpResponse:
    """Let a person of the plant try the PIN again before the pause is over."""
    user = next((each for each in members_at(actor.plant, Role) if str(each.pk) == key), None)
    if user is None:
        raise Http404
    pin_unlock(actor=actor, user=user)
    return redirect("people", actor.plant.pk)


@require_GET
@at_plant(Deed.MANAGE_PEOPLE)
def person(request: HttpRequest, actor: Actor, user: UUID) -> HttpResponse:
    """Show one person's PIN and roles, and what may be changed of them."""
    return _person_page(request, actor, person_at(actor, user), {})


def _person_page(
    request: HttpRequest, actor: Actor, user: User, errors: dict[str, str]
) -> HttpResponse:
    screen = person_screen(actor, user, posted(request), errors)
    status = 422 if errors else 200
    return render(request, "dashboards/person.html", {"screen": screen}, status=status)


@require_POST
@sensitive_post_parameters("pin")
@at_plant(Deed.MANAGE_PEOPLE)
def new_pin(request: HttpRequest, actor: Actor, user: UUID) -> HttpResponse:
    """Give a person another PIN in place of one that was forgotten."""
    row = person_at(actor, user)
    try:
        pin_set(actor=actor, user=row, pin=posted(request).get("pin", ""))
    except RecordError as error:
        return _person_page(request, actor, row, {error.field: str(error)})
    messages.success(request, _("The new PIN holds from now on."))
    return redirect("person", actor.plant.pk, row.pk)


@require_POST
@at_plant(Deed.MANAGE_PEOPLE)
def end_role(request: HttpRequest, actor: Actor, user: UUID) -> HttpResponse:
    """End a person's role at the plant."""
    row = person_at(actor, user)
    try:
        roles_end(actor=actor, user=row, roles=_roles(posted(request).get("role", "")))
    except RecordError as error:
        return _person_page(request, actor, row, {error.field: str(error)})
    messages.success(request, _("The role is ended."))
    return redirect("people", actor.plant.pk)


@require_POST
@at_plant(Deed.MANAGE_PEOPLE)
def give_role(request: HttpRequest, actor: Actor, user: UUID) -> HttpResponse:
    """Give a person one more role at the plant, or one that was ended."""
    row = person_at(actor, user)
    try:
        roles_give(actor, row, _roles(posted(request).get("give", "")))
    except RecordError as error:
        return _person_page(request, actor, row, {"give": str(error)})
    messages.success(request, _("The role is given."))
    return redirect("person", actor.plant.pk, row.pk)


def _roles(typed: str) -> tuple[Role, ...]:
    return (Role(typed),) if typed in Role.values else ()


def _new(sent: dict[str, str]) -> NewPerson:
    return NewPerson(
        username=sent.get("username", ""),
        name=sent.get("name", ""),
        roles=_roles(sent.get("role", "")),
        password=sent.get("password", ""),
        pin=sent.get("pin", ""),
    )


@require_http_methods(["GET", "POST"])
@at_plant(Deed.MANAGE_TERMINALS)
def terminals(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Show the plant's terminals; a posted one is revoked."""
    if request.method == "POST":
        try:
            key = UUID(request.POST.get("revoke", ""))
        except ValueError:
            raise Http404 from None
        terminal = row_for(actor, Terminal, key, deed=Deed.MANAGE_TERMINALS)
        terminal_revoke(actor=actor, terminal=terminal)
        return redirect("terminals", actor.plant.pk)
    return _terminals_page(request, actor, {}, {})


def _terminals_page(
    request: HttpRequest, actor: Actor, sent: dict[str, str], errors: dict[str, str]
) -> HttpResponse:
    this = request.presence.terminal  # type: ignore[attr-defined]
    screen = terminals_screen(actor, this, sent, errors)
    status = 422 if errors else 200
    return render(request, "dashboards/terminals.html", {"screen": screen}, status=status)


@require_POST
@at_plant(Deed.MANAGE_TERMINALS)
def enroll(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Make this browser a shared terminal of the plant, and leave it locked."""
    sent = posted(request)
    try:
        _row, token = terminal_enroll(actor=actor, name=sent.get("name", ""))
    except RecordError as error:
        return _terminals_page(request, actor, sent, {error.field: str(error)})
    logout(request)
    response = redirect("terminal")
    response.set_cookie(
        COOKIE, token, max_age=_LASTS, httponly=True, secure=settings.HTTPS, samesite="Lax"
    )
    return response
