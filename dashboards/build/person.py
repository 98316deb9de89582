"""One person at a plant: a new PIN, roles ended and given."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from dashboards import words
from dashboards.build.forms import choice_field, form, text_field
from dashboards.build.people import locked_words
from dashboards.screens.fields import FieldView, FormView
from dashboards.screens.people import PersonScreen, RoleHeld
from records.actors import Actor
from records.models import Membership, Role, User
from records.permissions import may_give
from records.selectors.people import locks_at, pin_of, roles_held
from records.services.people import PIN_NOT_YOURS, ROLE_NOT_YOURS, may_give_pin


def person_screen(
    actor: Actor, user: User, posted: Mapping[str, str], errors: Mapping[str, str]
) -> PersonScreen:
    """Return one person with what the reader may change of them, and what was refused."""
    plant = actor.plant
    held = roles_held(plant, user)
    roles = [Role(row.role) for row in held]
    allowed = bool(roles) and may_give_pin(actor, user, roles)
    return PersonScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        user_id=str(user.pk),
        name=user.name,
        username=user.username,
        roles=tuple(_role(actor, row) for row in held),
        pin_text=_pin_text(actor, user),
        locked_words=locked_words(plant, locks_at(plant).get(user.pk)),
        pin_form=form(_pin(errors)) if allowed else None,
        pin_blocked=_(PIN_NOT_YOURS) if roles and not allowed else "",
        give=_give(actor, roles, posted, errors),
        errors=tuple(text for key, text in errors.items() if key not in ("pin", "give")),
    )


def _role(actor: Actor, row: Membership) -> RoleHeld:
    role = Role(row.role)
    blocked = "" if may_give(actor.roles, role) else _(ROLE_NOT_YOURS) % {"role": role.label}
    return RoleHeld(
        role=role.value,
        word=str(role.label),
        since_text=_("since %(at)s") % {"at": words.moment(actor.plant, row.since)},
        blocked=blocked,
    )


def _pin_text(actor: Actor, user: User) -> str:
    pin = pin_of(actor.plant, user)
    if pin is None:
        return _("No PIN is set at this plant.")
    at = words.moment(actor.plant, pin.changed_at)
    return _("The present PIN is set since %(at)s.") % {"at": at}


def _pin(errors: Mapping[str, str]) -> FieldView:
    return text_field(
        "pin",
        _("New PIN"),
        {},
        kind="pin",
        help=_("4 to 8 digits. Let the person type it, and look away."),
        required=True,
        error=errors.get("pin", ""),
    )


def _give(
    actor: Actor, roles: list[Role], posted: Mapping[str, str], errors: Mapping[str, str]
) -> FormView | None:
    """Return the form that gives a role, where there is one left that the reader may give."""
    offered = [each for each in Role if may_give(actor.roles, each) and each not in roles]
    if not offered:
        return None
    choices = [(role.value, str(role.label)) for role in offered]
    field = choice_field(
        "give", _("Role"), choices, posted, value=choices[0][0], required=True,
        error=errors.get("give", ""),
    )  # fmt: skip
    return form(field)
