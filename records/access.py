"""The one gate from a person to a row. What may not be seen does not exist: both are 404."""

import hashlib
from collections.abc import Iterable, Sequence
from typing import Any, TypeVar
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db.models import Q
from django.http import Http404
from django_scopes import scopes_disabled

from records import clock
from records.actors import Actor, Proof
from records.models import ApiToken, Draft, Membership, Plant, PlantOwned, Role, Terminal, User
from records.permissions import Deed

Row = TypeVar("Row", bound=PlantOwned)


def _current(memberships: Any) -> Any:
    now = clock.now()
    return memberships.filter(since__lte=now).filter(Q(until__isnull=True) | Q(until__gt=now))


def plants_of(user: User) -> list[Plant]:
    """Return the plants at which the person has a role now, by name."""
    with scopes_disabled():
        ids = _current(Membership.objects.filter(user=user)).values("plant_id")
        return list(Plant.objects.filter(pk__in=ids).order_by("name"))


def roles_at(user: User, plant: Plant) -> frozenset[Role]:
    """Return the person's present roles at a plant."""
    with scopes_disabled():
        found = _current(Membership.objects.filter(user=user, plant=plant))
        return frozenset(Role(role) for role in found.values_list("role", flat=True))


def _plant(key: UUID) -> Plant | None:
    found: Plant | None = Plant.objects.select_related("organization").filter(pk=key).first()
    return found


def actor_at(user: User | None, plant_id: UUID, *, terminal: Terminal | None = None) -> Actor:
    """Return the person as an actor at a plant, or 404 where they have no role there.

    At a shared terminal a person acts at that terminal's plant only.
    """
    if user is None or not user.is_active:
        raise Http404
    if terminal and (terminal.plant_id != plant_id or terminal.revoked_at is not None):
        raise Http404
    plant = terminal.plant if terminal else _plant(plant_id)
    roles = roles_at(user, plant) if plant else frozenset()
    if plant is None or not roles:
        raise Http404
    return Actor(user=user, plant=plant, roles=roles, terminal=terminal)


def row_for(
    actor: Actor, model: type[Row], pk: UUID, *, deed: Deed = Deed.SEE, related: Sequence[str] = ()
) -> Row:
    """Return a row of the actor's plant, or 404; `deed` is what it is wanted for.

    `related` names the rows to be read with it, as in `select_related`. A bench sheet being typed
    is its tester's alone.
    """
    if not actor.may(deed):
        raise Http404
    mine = {"tester": actor.user} if issubclass(model, Draft) else {}
    try:
        rows = model.objects.filter(plant=actor.plant, pk=pk, **mine)
        row = rows.select_related(*related).first() if related else rows.first()
    except (ValidationError, ValueError):
        row = None
    if row is None:
        raise Http404
    return row


def members_at(plant: Plant, roles: Iterable[Role]) -> list[User]:
    """Return the active people who have one of the roles at a plant now, by name."""
    with scopes_disabled():
        ids = _current(Membership.objects.filter(plant=plant, role__in=list(roles))).values(
            "user_id"
        )
        return list(User.objects.filter(pk__in=ids, is_active=True).order_by("name"))


def people_at(plant: Plant) -> dict[User, frozenset[Role]]:
    """Return all who have or had a role at a plant, with their roles now; who has none is last."""
    now, found = clock.now(), dict[User, frozenset[Role]]()
    with scopes_disabled():
        every = Membership.objects.filter(plant=plant).select_related("user")
        for row in every.order_by("user__name", "id"):
            held = row.user.is_active and row.since <= now and (not row.until or row.until > now)
            role = frozenset({Role(row.role)} if held else ())
            found[row.user] = found.get(row.user, frozenset()) | role
    return dict(sorted(found.items(), key=lambda each: not each[1]))


def person_at(actor: Actor, key: UUID) -> User:
    """Return a person who has or had a role at the actor's plant, or 404."""
    found = next((user for user in people_at(actor.plant) if user.pk == key), None)
    if found is None:
        raise Http404
    return found


def terminal_of(token: str) -> Terminal | None:
    """Return the enrolled terminal whose cookie holds a token."""
    if not token:
        return None
    digest = hashlib.sha256(token.encode()).hexdigest()
    with scopes_disabled():
        found: Terminal | None = (
            Terminal.objects.filter(token_digest=digest, revoked_at=None)
            .select_related("plant__organization")
            .first()
        )
    return found


def actor_by_token(secret: str) -> Actor | None:
    """Return who acts by a token's secret: its person at its plant, while both are in force."""
    digest = hashlib.sha256(secret.encode()).hexdigest()
    with scopes_disabled():
        token = (
            ApiToken.objects.filter(digest=digest, revoked_at=None, expires_at__gt=clock.now())
            .select_related("user", "plant__organization")
            .first()
        )
    if token is None or not token.user.is_active:
        return None
    roles = roles_at(token.user, token.plant)
    if not roles:
        return None
    return Actor(user=token.user, plant=token.plant, roles=roles, proof=Proof.TOKEN, token=token)


def active_user(key: str) -> User | None:
    """Return an active person by the text of their key."""
    try:
        return User.objects.filter(pk=UUID(key), is_active=True).first()
    except ValueError:
        return None
