"""People and terminals: accounts, roles, PINs and enrollment, each with an audit row."""

import hashlib
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils.translation import gettext_noop
from django_scopes import scope

from records import clock
from records.access import members_at, roles_at
from records.actors import Actor
from records.errors import RecordError, storable
from records.models import AuditEvent, Membership, Pin, PinLock, Plant, Role, Terminal, User
from records.permissions import Deed, may_give
from records.services.ledger import ledger_lock
from records.shifts import local

PIN_SHAPE = gettext_noop("A PIN is 4 to 8 digits, not all the same.")
USERNAME_TAKEN = gettext_noop(
    "This user name is taken. If it is the same person, leave the name as it is there."
)
NOT_A_MEMBER = gettext_noop("This person has no role at this plant.")
ROLE_NOT_YOURS = gettext_noop("Your role does not allow you to give or end this role: %(role)s.")
TERMINAL_REVOKED = gettext_noop("This terminal is no longer enrolled.")
NOT_FIRST = gettext_noop("This installation has its first administrator already.")
USERNAME_NEEDED = gettext_noop("Give a user name of letters, digits, dots or dashes.")
NAME_NEEDED = gettext_noop("Give the person's name.")
ROLE_NEEDED = gettext_noop("Pick at least one role.")
LAST_ADMINISTRATOR = gettext_noop(
    "A plant keeps at least one administrator: give somebody else this role before."
)
PIN_NOT_YOURS = gettext_noop(
    "Who has your rights or more gets a new PIN from an administrator: with it one could act in "
    "their name."
)
PASSWORD_WEAK = gettext_noop("Choose another password: %(why)s")
PIN_WRONG = gettext_noop("Wrong PIN. Tries left before a pause: %(left)s.")
PIN_LOCKED = gettext_noop(
    "Too many wrong PINs. Wait until %(until)s, or ask a supervisor to unlock you."
)
NO_PIN = gettext_noop("No PIN is set for you at this plant. Ask a supervisor.")
TERMINAL_NAME = gettext_noop("Give the terminal a name that no other one has.")


@dataclass(frozen=True, kw_only=True)
class NewPerson:
    """A person to be added at a plant. Password or PIN may be empty: then that way stays shut."""

    username: str
    name: str
    roles: tuple[Role, ...]
    password: str = ""
    pin: str = ""


def audit(actor: Actor, verb: str, subject: str) -> None:
    """Note who changed what in the plant's set-up."""
    AuditEvent.objects.create(
        plant=actor.plant, verb=verb, subject=subject[:200], at=clock.now(), **actor.signed_by
    )


def people_add(*, actor: Actor, people: Iterable[NewPerson]) -> list[User]:
    """Add people with their roles at the actor's plant."""
    actor.require(Deed.MANAGE_PEOPLE)
    return [_person_add(actor, person) for person in people]


def _person_add(actor: Actor, person: NewPerson) -> User:
    _check_person(person)
    with transaction.atomic():
        user = User(username=person.username.strip(), name=person.name.strip())
        if person.password:
            password_check(person.password, user)
            user.set_password(person.password)
        else:
            user.set_unusable_password()
        try:
            with transaction.atomic():
                user.save()
        except IntegrityError as error:  # added at the same moment by another
            raise RecordError("username_taken", USERNAME_TAKEN, field="username") from error
        roles_give(actor, user, person.roles)
        if person.pin:
            pin_set(actor=actor, user=user, pin=person.pin)
    return user


def _check_person(person: NewPerson) -> None:
    username = person.username.strip()
    if not username or not all(c.isalnum() or c in ".-_" for c in username) or len(username) > 60:
        raise RecordError("username_needed", USERNAME_NEEDED, field="username")
    if not person.name.strip() or len(person.name) > 120 or not storable(person.name):
        raise RecordError("name_needed", NAME_NEEDED, field="name")
    if not person.roles:
        raise RecordError("role_needed", ROLE_NEEDED, field="roles")
    if User.objects.filter(username__iexact=username).exists():
        raise RecordError("username_taken", USERNAME_TAKEN, field="username")


def password_check(password: str, user: User) -> None:
    """Raise RecordError for a password that is too easily guessed."""
    try:
        validate_password(password, user)
    except ValidationError as error:
        why = " ".join(error.messages)
        raise RecordError("password_weak", PASSWORD_WEAK, field="password", why=why) from error


def roles_give(actor: Actor, user: User, roles: Iterable[Role]) -> None:
    """Give a person roles at the actor's plant, from now; each only as far as one's own allows."""
    wanted = list(roles)
    if not wanted:
        raise RecordError("role_needed", ROLE_NEEDED, field="roles")
    _require_may_give(actor, wanted)
    now = clock.now()
    with transaction.atomic():
        for role in wanted:
            Membership.objects.get_or_create(
                plant=actor.plant, user=user, role=role, until=None, defaults={"since": now}
            )
            audit(actor, "role given", f"{user.username}: {role}")


def roles_end(*, actor: Actor, user: User, roles: Iterable[Role]) -> None:
    """End a person's roles at the actor's plant, from now; what they did keeps their name."""
    wanted = list(roles)
    if not wanted:
        raise RecordError("role_needed", ROLE_NEEDED, field="roles")
    _require_may_give(actor, wanted)
    with transaction.atomic():
        if Role.ADMINISTRATOR in wanted:
            _require_another_administrator(actor, user)
        for role in wanted:
            ended = Membership.objects.filter(
                plant=actor.plant, user=user, role=role, until=None
            ).update(until=clock.now())
            if ended:
                audit(actor, "role ended", f"{user.username}: {role}")


def _require_another_administrator(actor: Actor, user: User) -> None:
    ledger_lock(actor.plant)  # two who end each other's role at once: the second one finds none
    if all(each.pk == user.pk for each in members_at(actor.plant, [Role.ADMINISTRATOR])):
        raise RecordError("last_administrator", LAST_ADMINISTRATOR, field="roles")


def _require_may_give(actor: Actor, roles: Iterable[Role]) -> None:
    actor.require(Deed.MANAGE_PEOPLE)
    for role in roles:
        if not may_give(actor.roles, role):
            raise RecordError("role_not_yours", ROLE_NOT_YOURS, field="roles", role=str(role.label))


def pin_set(*, actor: Actor, user: User, pin: str) -> None:
    """Set a person's PIN at the actor's plant: one's own, or as a manager of people.

    It replaces the old one and lifts the pauses after wrong PINs. Nobody gives a PIN to a person
    whose roles are not theirs to give: that PIN would let them act as a second person.
    """
    if user.pk != actor.user_id:
        actor.require(Deed.MANAGE_PEOPLE)
    roles = roles_at(user, actor.plant)
    if not roles:
        raise RecordError("not_a_member", NOT_A_MEMBER, field="pin")
    if not may_give_pin(actor, user, roles):
        raise RecordError("pin_not_yours", PIN_NOT_YOURS, field="pin")
    if not (pin.isascii() and pin.isdigit() and 4 <= len(pin) <= 8) or len(set(pin)) == 1:
        raise RecordError("pin_shape", PIN_SHAPE, field="pin")
    with transaction.atomic():
        Pin.objects.update_or_create(
            plant=actor.plant,
            user=user,
            defaults={"hash": make_password(pin), "changed_at": clock.now()},
        )
        _locks_lift(actor.plant, user)
        audit(actor, "PIN set", user.username)


def may_give_pin(actor: Actor, user: User, roles: Iterable[Role]) -> bool:
    """Say whether the actor may set the PIN of a person who has these roles."""
    return user.pk == actor.user_id or all(may_give(actor.roles, role) for role in roles)


def _locks_lift(plant: Plant, user: User) -> None:
    PinLock.objects.filter(plant=plant, user=user).update(failures=0, locked_until=None)


def pin_check(*, terminal: Terminal, user: User, pin: str) -> None:
    """Raise RecordError unless it is the person's PIN at this terminal.

    Five wrong ones lock this person at this terminal for a while, and nobody else. A try is counted
    before the PIN is looked at, in a transaction of its own: so many at once are no way round, and
    the count stands whatever the caller does next. The right PIN sets it back.
    """
    if terminal.revoked_at is not None:
        raise RecordError("terminal_revoked", TERMINAL_REVOKED)
    stored = Pin.objects.filter(plant=terminal.plant, user=user).first()
    if stored is None or not user.is_active or not roles_at(user, terminal.plant):
        raise RecordError("no_pin", NO_PIN, field="pin")
    lock = _try_counted(terminal, user)
    if check_password(pin, stored.hash):
        PinLock.objects.filter(plant=terminal.plant, pk=lock.pk).update(
            failures=0, locked_until=None
        )
        return
    if lock.locked_until is not None:
        raise _locked(terminal.plant, lock.locked_until)
    left = str(settings.PIN_TRIES - lock.failures)
    raise RecordError("pin_wrong", PIN_WRONG, field="pin", left=left)


def _try_counted(terminal: Terminal, user: User) -> PinLock:
    """Count a try and return the lock; the last one allowed locks. Raises RecordError if locked."""
    with transaction.atomic(durable=True):
        PinLock.objects.get_or_create(plant=terminal.plant, terminal=terminal, user=user)
        lock: PinLock = PinLock.objects.select_for_update().get(
            plant=terminal.plant, terminal=terminal, user=user
        )
        now = clock.now()
        if lock.locked_until is not None:
            if lock.locked_until > now:
                raise _locked(terminal.plant, lock.locked_until)
            lock.failures, lock.locked_until = 0, None
        lock.failures += 1
        if lock.failures >= settings.PIN_TRIES:
            lock.locked_until = now + timedelta(minutes=settings.PIN_LOCK_MINUTES)
        lock.save(update_fields=["failures", "locked_until"])
    return lock


def _locked(plant: Plant, until: datetime) -> RecordError:
    told = local(plant, until).strftime("%H:%M")
    return RecordError("pin_locked", PIN_LOCKED, field="pin", until=told)


def pin_unlock(*, actor: Actor, user: User) -> None:
    """Let a person try again at every terminal of the plant, as a supervisor."""
    actor.require(Deed.MANAGE_PEOPLE)
    _locks_lift(actor.plant, user)
    audit(actor, "PIN unlocked", user.username)


def token_digest(token: str) -> str:
    """Return what is stored of a terminal's token."""
    return hashlib.sha256(token.encode()).hexdigest()


def terminal_enroll(*, actor: Actor, name: str) -> tuple[Terminal, str]:
    """Enroll a shared device; returns it with the token that its cookie shall hold."""
    actor.require(Deed.MANAGE_TERMINALS)
    name = name.strip()
    fits = name and len(name) <= 80 and storable(name)
    if not fits or Terminal.objects.filter(plant=actor.plant, name=name).exists():
        raise RecordError("terminal_name", TERMINAL_NAME, field="name")
    token = secrets.token_urlsafe(32)
    terminal: Terminal = Terminal.objects.create(
        plant=actor.plant,
        name=name,
        token_digest=token_digest(token),
        enrolled_at=clock.now(),
        enrolled_by_name=actor.user.name,
    )
    audit(actor, "terminal enrolled", name)
    return terminal, token


def terminal_revoke(*, actor: Actor, terminal: Terminal) -> None:
    """Take a device out of use: its cookie opens nothing from now on."""
    actor.require(Deed.MANAGE_TERMINALS, terminal)
    terminal.revoked_at = clock.now()
    terminal.save(update_fields=["revoked_at"])
    audit(actor, "terminal revoked", terminal.name)


def first_administrator(*, plant: Plant, username: str, name: str, password: str) -> User:
    """Create the account that sets the first plant up: its administrator and supervisor.

    Raises RecordError where the installation has an administrator: there is one first, ever.
    """
    person = NewPerson(username=username, name=name, roles=(Role.ADMINISTRATOR,), password=password)
    _check_person(person)
    user = User(username=username.strip(), name=name.strip(), is_administrator=True)
    password_check(password, user)
    user.set_password(password)
    with transaction.atomic(), scope(plant=plant):
        ledger_lock(plant)  # two first starts at once: the second one waits and finds the first
        if User.objects.filter(is_administrator=True).exists():
            raise RecordError("not_first", NOT_FIRST)
        user.save()
        actor = Actor(user=user, plant=plant, roles=frozenset({Role.ADMINISTRATOR}))
        roles_give(actor, user, (Role.ADMINISTRATOR, Role.SUPERVISOR, Role.CHEMIST))
    return user
