"""Signing in and out with a password, the way home, and the handbook's door."""

from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST

from dashboards.build.forms import form, password_field, posted, text_field
from dashboards.build.plants import first_page
from dashboards.passwords import user_of
from dashboards.screens.entry import LoginScreen
from dashboards.views.demo import accounts
from records.access import actor_at, plants_of
from records.errors import RecordError


@sensitive_post_parameters("password")
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for user name and password; a wrong pair says no more than that."""
    sent = posted(request)
    onward = sent.get("next") or request.GET.get("next", "")
    wrong = ""
    if request.method == "POST":
        try:
            user = user_of(request, sent.get("username", ""), sent.get("password", ""))
        except RecordError as error:
            wrong = str(error)
        else:
            # Whoever was at a terminal before has left: nobody goes on in another one's name.
            request.presence.leave()  # type: ignore[attr-defined]
            login(request, user)
            return redirect(_safe(request, onward))
    screen = LoginScreen(
        form=form(
            text_field("username", _("User name"), sent, required=True, autocomplete="username"),
            password_field(label=_("Password")),
            errors=[wrong] if wrong else (),
        ),
        next=onward,
        can_use_terminal=request.presence.terminal is not None,  # type: ignore[attr-defined]
    )
    status = 422 if wrong else 200
    context = {"screen": screen, "demo_told": accounts()}
    return render(request, "dashboards/login.html", context, status=status)


def _safe(request: HttpRequest, onward: str) -> str:
    fits = url_has_allowed_host_and_scheme(
        onward, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return onward if onward and fits else reverse("home")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("login")


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """Send each person to the page where their work begins."""
    presence = request.presence  # type: ignore[attr-defined]
    if presence.person is None:
        return redirect("terminal" if presence.terminal else "login")
    if presence.terminal is not None:
        return redirect("round", presence.terminal.plant_id)
    plants = plants_of(presence.person)
    if len(plants) != 1:
        return redirect("plants")
    return redirect(first_page(actor_at(presence.person, plants[0].pk)), plants[0].pk)
