"""Tokens of a plant: made, shown once, revoked."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters, sensitive_variables
from django.views.decorators.http import require_http_methods, require_POST

from dashboards.build.forms import posted
from dashboards.build.tokens import SENDS, tokens_screen
from dashboards.gate import at_plant
from dashboards.passwords import password_proved
from records.access import members_at, row_for
from records.actors import Actor, Proof
from records.errors import RecordError
from records.models import ApiToken, Role
from records.permissions import Deed
from records.services.people import NOT_A_MEMBER
from records.services.tokens import NewToken, token_issue, token_revoke


@require_http_methods(["GET", "POST"])
@at_plant(Deed.MANAGE_TOKENS)
def tokens(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Show the plant's tokens; a posted one is revoked."""
    if request.method == "POST":
        try:
            key = UUID(request.POST.get("revoke", ""))
        except ValueError:
            raise Http404 from None
        token_revoke(actor=actor, token=row_for(actor, ApiToken, key, deed=Deed.MANAGE_TOKENS))
        return redirect("tokens", actor.plant.pk)
    return render(request, "dashboards/tokens.html", {"screen": tokens_screen(actor, {}, {})})


@require_POST
@sensitive_post_parameters("password")
@sensitive_variables("secret")
@at_plant(Deed.MANAGE_TOKENS)
def issue(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Make a token and show its secret: on this page, and never again."""
    sent = posted(request)
    try:
        new = _new(actor, sent)
        password_proved(request, actor.user, sent.get("password", ""))
        token, secret = token_issue(actor=actor.proved_by(Proof.PASSWORD), new=new)
    except RecordError as error:
        screen = tokens_screen(actor, sent, {error.field: str(error)})
        return render(request, "dashboards/tokens.html", {"screen": screen}, status=422)
    screen = tokens_screen(actor, {}, {}, secret=secret, secret_label=token.label)
    return render(request, "dashboards/tokens.html", {"screen": screen})


def _new(actor: Actor, sent: dict[str, str]) -> NewToken:
    people = {str(user.pk): user for user in members_at(actor.plant, Role)}
    user = people.get(sent.get("user", ""))
    if user is None:
        raise RecordError("not_a_member", NOT_A_MEMBER, field="user")
    lasts = sent.get("lasts", "")
    return NewToken(
        user=user,
        label=sent.get("label", ""),
        may_send=sent.get("allows") == SENDS,
        lasts_days=int(lasts) if lasts.isascii() and lasts.isdigit() and len(lasts) < 5 else 0,
    )
