"""The page of a plant's tokens."""

from collections.abc import Mapping

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from dashboards import words
from dashboards.build.forms import choice_field, form, password_field, text_field
from dashboards.build.people import AT_BENCH
from dashboards.screens.fields import FormView
from dashboards.screens.tokens import TokenRow, TokensScreen
from records import clock
from records.access import members_at
from records.actors import Actor
from records.models import ApiToken, Plant
from records.selectors.tokens import tokens_at
from records.services.tokens import LASTS_DAYS, may_stand_for

LOOKS, SENDS = "looks", "sends"


def tokens_screen(
    actor: Actor,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
    *,
    secret: str = "",
    secret_label: str = "",
) -> TokensScreen:
    """Return the plant's tokens with the form that makes one, and the secret of one just made."""
    plant = actor.plant
    return TokensScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        rows=tuple(_row(plant, token) for token in tokens_at(plant)),
        form=_form(actor, {} if secret else posted, errors),
        secret=secret,
        secret_label=secret_label,
    )


def _row(plant: Plant, token: ApiToken) -> TokenRow:
    over = ""
    if token.revoked_at is not None:
        over = _("revoked %(at)s") % {"at": words.moment(plant, token.revoked_at)}
    elif token.expires_at <= clock.now():
        over = _("ended")
    used = _("never used")
    if token.last_used_on is not None:
        used = _("last used %(day)s") % {"day": formats.date_format(token.last_used_on, "j M Y")}
    made = {"name": token.made_by_name, "at": words.moment(plant, token.made_at)}
    return TokenRow(
        token_id=str(token.pk),
        label=token.label,
        prefix=token.prefix,
        acts_for=token.user.name,
        allows=_("looks and sends samples") if token.may_send else _("looks only"),
        made_text=_("made by %(name)s, %(at)s") % made,
        ends_text=words.moment(plant, token.expires_at),
        used_text=used,
        over_text=over,
        can_revoke=token.revoked_at is None,
    )


def _form(actor: Actor, posted: Mapping[str, str], errors: Mapping[str, str]) -> FormView:
    people = [user for user in members_at(actor.plant, AT_BENCH) if may_stand_for(actor, user)]
    return form(
        text_field(
            "label",
            _("Which program is it for?"),
            posted,
            help=_("As people here call it: “Laboratory”, “Boiler house screen”."),
            required=True,
            error=errors.get("label", ""),
        ),
        choice_field(
            "user",
            _("In whose name does it act?"),
            [(str(user.pk), user.name) for user in people],
            posted,
            value=str(actor.user.pk),
            required=True,
            error=errors.get("user", ""),
        ),
        choice_field(
            "allows",
            _("What may it do?"),
            [(LOOKS, _("Look only")), (SENDS, _("Look, and send samples with their readings"))],
            posted,
            kind="radio",
            value=LOOKS,
            required=True,
            error=errors.get("allows", ""),
        ),
        choice_field(
            "lasts",
            _("How long does it last?"),
            [(str(n), ngettext("%(n)s day", "%(n)s days", n) % {"n": n}) for n in LASTS_DAYS],
            posted,
            value=str(LASTS_DAYS[1]),
            required=True,
            error=errors.get("lasts", ""),
        ),
        password_field(errors.get("password", "")),
        errors=[errors[""]] if "" in errors else (),
    )
