"""API tokens: issued for a person at a plant, shown once, revoked; each with an audit row."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta

from django.db import transaction
from django.utils.translation import gettext_noop

from records import clock
from records.access import roles_at
from records.actors import Actor, Proof
from records.errors import RecordError, fitting
from records.models import ApiToken, User
from records.permissions import Deed, may, may_give
from records.services.people import NOT_A_MEMBER, audit
from records.services.sheets import PASSWORD_NEEDED
from records.shifts import local

LABEL_NEEDED = gettext_noop("Name the program that will use it.")
LABEL_TAKEN = gettext_noop("Another token in use has this name already.")
NOT_FOR_THEM = gettext_noop(
    "Your role does not allow you to let a program act for this person. Make one for yourself, or "
    "for a person whose roles you may give."
)
SEES_NOTHING = gettext_noop(
    "This person's roles here see no result, so a token would open nothing."
)
LASTS_WRONG = gettext_noop("Pick how long it shall last from the choices given.")

# How long a token may last: rule of our own.
LASTS_DAYS = (30, 90, 365)
# By these letters a secret that strayed into a file or a message is known for what it is.
MARK = "wst_"
_LONGEST_LABEL = 80
_SHOWN = 10


@dataclass(frozen=True, kw_only=True)
class NewToken:
    """A token to be issued: for whom, to what program, whether it may send samples."""

    user: User
    label: str
    may_send: bool
    lasts_days: int


def token_issue(*, actor: Actor, new: NewToken) -> tuple[ApiToken, str]:
    """Issue a token, by password; returns it with its secret, which is kept nowhere.

    Its maker can't sign what is sent by it: so nobody tests under another name and signs as well.
    """
    actor.require(Deed.MANAGE_TOKENS)
    if actor.proof is not Proof.PASSWORD:
        raise RecordError("proof_needed", PASSWORD_NEEDED, field="password")
    label = fitting(new.label, _LONGEST_LABEL, "label")
    if not label:
        raise RecordError("label_needed", LABEL_NEEDED, field="label")
    if new.lasts_days not in LASTS_DAYS:
        raise RecordError("lasts_wrong", LASTS_WRONG, field="lasts")
    _require_may_stand_for(actor, new.user)
    secret = MARK + secrets.token_urlsafe(32)
    now = clock.now()
    with transaction.atomic():
        if ApiToken.objects.filter(plant=actor.plant, label=label, revoked_at=None).exists():
            raise RecordError("label_taken", LABEL_TAKEN, field="label")
        token: ApiToken = ApiToken.objects.create(
            plant=actor.plant,
            user=new.user,
            label=label,
            prefix=secret[:_SHOWN],
            digest=hashlib.sha256(secret.encode()).hexdigest(),
            may_send=new.may_send,
            made_at=now,
            made_by=actor.user,
            made_by_name=actor.user.name,
            expires_at=now + timedelta(days=new.lasts_days),
        )
        audit(actor, "token issued", f"{label} ({token.prefix}) for {new.user.username}")
    return token, secret


def _require_may_stand_for(actor: Actor, user: User) -> None:
    """Raise RecordError unless a program may act for a person at the actor's word."""
    roles = roles_at(user, actor.plant)
    if not roles or not user.is_active:
        raise RecordError("not_a_member", NOT_A_MEMBER, field="user")
    if not may(roles, Deed.SEE):
        raise RecordError("sees_nothing", SEES_NOTHING, field="user")
    if user.pk != actor.user_id and not all(may_give(actor.roles, role) for role in roles):
        raise RecordError("not_for_them", NOT_FOR_THEM, field="user")


def may_stand_for(actor: Actor, user: User) -> bool:
    """Say whether the actor may let a program act for a person."""
    try:
        _require_may_stand_for(actor, user)
    except RecordError:
        return False
    return True


def token_revoke(*, actor: Actor, token: ApiToken) -> None:
    """Take a token out of use: it opens nothing from now on."""
    actor.require(Deed.MANAGE_TOKENS, token)
    if token.revoked_at is not None:
        return
    token.revoked_at = clock.now()
    token.save(update_fields=["revoked_at"])
    audit(actor, "token revoked", f"{token.label} ({token.prefix})")


def token_used(token: ApiToken) -> None:
    """Note the day on which a token was last used: one write a day at most."""
    today = local(token.plant, clock.now()).date()
    if token.last_used_on != today:
        ApiToken.objects.filter(plant=token.plant_id, pk=token.pk).update(last_used_on=today)
