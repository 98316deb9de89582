"""The demo's people: accounts with their roles at each plant, and who may set a plant up."""

from dataclasses import dataclass, field

from records.actors import Actor, Proof
from records.demo.told import Told, company, people_of
from records.models import Plant, Role, User
from records.services.people import NewPerson, people_add, roles_give


@dataclass
class People:
    """Adds each person once, and gives roles at the next plant to those who are there."""

    _users: dict[str, User] = field(default_factory=dict)

    def at(self, plant: Plant, told: Told) -> tuple[Actor, dict[str, Actor]]:
        """Return who sets a plant up, and everybody there by user name."""
        owner = self._owner(plant)
        actors: dict[str, Actor] = {}
        for person in people_of(told):
            roles = frozenset(Role(role) for role in person["roles"])
            user = self._user(owner, person)
            actors[person["username"]] = Actor(
                user=user, plant=plant, roles=roles, proof=Proof.PASSWORD
            )
        return owner, actors

    def _owner(self, plant: Plant) -> Actor:
        """Return the administrator with every role, as the first start of a plant gives them."""
        told = next(p for p in company()["people"] if "administrator" in p["roles"])
        username = told["username"]
        if username not in self._users:
            user = User(username=username, name=told["name"], is_administrator=True)
            user.set_password(company()["password"])
            user.save()
            self._users[username] = user
        user = self._users[username]
        itself = Actor(user=user, plant=plant, roles=frozenset({Role.ADMINISTRATOR}))
        roles_give(itself, user, (Role.ADMINISTRATOR,))
        return Actor(user=user, plant=plant, roles=frozenset(Role))

    def _user(self, owner: Actor, told: Told) -> User:
        roles = tuple(Role(role) for role in told["roles"])
        user = self._users.get(told["username"])
        if user is not None:
            roles_give(owner, user, roles)
            return user
        new = NewPerson(
            username=told["username"],
            name=told["name"],
            roles=roles,
            password=company()["password"] if told.get("signs_in") else "",
            pin=told.get("pin", ""),
        )
        self._users[told["username"]] = people_add(actor=owner, people=[new])[0]
        return self._users[told["username"]]
