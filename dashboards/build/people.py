"""People and terminals of a plant, and the page of the locked terminal."""

from collections.abc import Mapping
from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from dashboards import words
from dashboards.build.forms import choice_field, form, text_field
from dashboards.screens.people import PeopleScreen, PersonRow, TerminalRow, TerminalsScreen
from dashboards.screens.terminal import PersonButton, TerminalScreen
from records import clock
from records.access import members_at, people_at, roles_at
from records.actors import Actor
from records.models import PinLock, Plant, Role, Terminal, User
from records.permissions import Deed, may_give
from records.selectors.people import locks_at, pins_at, terminals_at
from records.selectors.rounds import overdue_count, testers_with_drafts
from records.shifts import local

# Who stands at a bench: the administrator has no test to make.
AT_BENCH = (Role.TESTER, Role.SUPERVISOR, Role.CHEMIST)


def people_screen(
    actor: Actor, posted: Mapping[str, str], errors: Mapping[str, str]
) -> PeopleScreen:
    """Return who works at the plant, with the form that adds one more."""
    plant = actor.plant
    pins, locks = pins_at(plant), locks_at(plant)
    return PeopleScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        rows=tuple(
            _person(plant, user, roles, pins, locks) for user, roles in people_at(plant).items()
        ),
        form=form(
            text_field("name", _("Name"), posted, required=True, error=errors.get("name", "")),
            text_field(
                "username",
                _("User name"),
                posted,
                required=True,
                error=errors.get("username", ""),
            ),
            choice_field(
                "role",
                _("Role"),
                [(r.value, str(r.label)) for r in Role if may_give(actor.roles, r)],
                posted,
                value=Role.TESTER.value,
                required=True,
                error=errors.get("roles", ""),
            ),
            text_field(
                "pin",
                _("PIN"),
                posted,
                kind="pin",
                help=_("4 to 8 digits, for enrolled terminals of this plant."),
                error=errors.get("pin", ""),
            ),
            text_field(
                "password",
                _("Password"),
                posted,
                kind="password",
                help=_("Only for who signs, or works away from a terminal."),
                autocomplete="new-password",
                error=errors.get("password", ""),
            ),
            errors=[errors[""]] if "" in errors else (),
        ),
    )


def _person(
    plant: Plant,
    user: User,
    roles: frozenset[Role],
    pins: set[object],
    locks: Mapping[object, PinLock],
) -> PersonRow:
    lock = locks.get(user.pk)
    return PersonRow(
        user_id=str(user.pk),
        name=user.name,
        username=user.username,
        roles=tuple(str(role.label) for role in Role if role in roles),
        has_pin=bool(roles) and user.pk in pins,
        locked_words=locked_words(plant, lock),
        unlock_id=str(user.pk) if lock else "",
        active=bool(roles),
    )


def locked_words(plant: Plant, lock: PinLock | None) -> str:
    """Return until when a PIN is locked, "" where it is not."""
    if lock is None or lock.locked_until is None:
        return ""
    until = words.time_of(plant, lock.locked_until)
    return _("PIN locked until %(until)s") % {"until": until}


def terminals_screen(
    actor: Actor, this: Terminal | None, posted: Mapping[str, str], errors: Mapping[str, str]
) -> TerminalsScreen:
    """Return the plant's terminals, with the form that enrolls this browser."""
    plant = actor.plant
    return TerminalsScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        rows=tuple(
            TerminalRow(
                terminal_id=str(row.pk),
                name=row.name,
                enrolled_text=words.moment(plant, row.enrolled_at),
                enrolled_by=row.enrolled_by_name,
                revoked_text=_("revoked %(at)s") % {"at": words.moment(plant, row.revoked_at)}
                if row.revoked_at
                else "",
                this_one=this is not None and this.pk == row.pk,
                revoke_key="" if row.revoked_at else f"revoke-{row.pk}",
            )
            for row in terminals_at(plant)
        ),
        form=form(
            text_field(
                "name",
                _("Name of the terminal"),
                posted,
                help=_("Where it stands: “Sample bench, boiler house”."),
                required=True,
                error=errors.get("name", ""),
            )
        )
        if this is None and actor.may(Deed.MANAGE_TERMINALS)
        else None,
    )


def terminal_screen(terminal: Terminal | None, chosen: str = "", error: str = "") -> TerminalScreen:
    """Return the locked terminal: its people, or the one who is asked for a PIN."""
    if terminal is None:
        return TerminalScreen(state="not_enrolled")
    plant, now = terminal.plant, clock.now()
    people = [_button(plant, terminal, user) for user in _with_pin(plant)]
    picked = next((p for p in people if p.user_id == chosen), None)
    state = "names"
    if picked is not None:
        state = "locked" if picked.locked_until else "pin"
    late = overdue_count(plant, now=now, since=now - timedelta(hours=12))
    return TerminalScreen(
        state=state,  # type: ignore[arg-type]
        plant_name=plant.name,
        terminal_name=terminal.name,
        now_text=words.time_of(plant, now),
        now_iso=local(plant, now).isoformat(timespec="seconds"),
        people=tuple(people),
        chosen=picked,
        error=error,
        overdue_words=ngettext("%(n)s test overdue", "%(n)s tests overdue", late) % {"n": late}
        if late
        else "",
    )


def _with_pin(plant: Plant) -> list[User]:
    pins = pins_at(plant)
    return [user for user in members_at(plant, AT_BENCH) if user.pk in pins]


def _button(plant: Plant, terminal: Terminal, user: User) -> PersonButton:
    lock = locks_at(plant, terminal).get(user.pk)
    roles = [role for role in AT_BENCH if role in roles_at(user, plant)]
    return PersonButton(
        user_id=str(user.pk),
        name=user.name,
        role_word=", ".join(str(role.label) for role in roles),
        has_draft=user.pk in testers_with_drafts(plant),
        locked_until=words.time_of(plant, lock.locked_until) if lock and lock.locked_until else "",
    )
