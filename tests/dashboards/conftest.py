"""Fixtures of the screens' tests: browsers at a desk and at a terminal, a plant's cast."""

from collections.abc import Iterator
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django_scopes import scope
from django_scopes.state import state

from dashboards.middleware import COOKIE
from records import clock
from records.models import Draft, Plant, Role, SamplePoint, User
from records.services.drafts import draft_open
from records.services.people import terminal_enroll
from tests import factories


class Browser(Client):
    """A client whose requests begin outside of every plant's scope, as real ones do."""

    def request(self, **request: Any) -> HttpResponse:
        token = state.set(None)
        try:
            return super().request(**request)  # type: ignore[return-value]
        finally:
            state.reset(token)


def at_desk(user: User | None) -> Browser:
    """Return the browser of a person who signed in with a password."""
    browser = Browser()
    if user is not None:
        browser.force_login(user)
    return browser


def at_terminal(token: str, user: User | None = None) -> Browser:
    """Return an enrolled terminal's browser, unlocked by a person's PIN or locked."""
    browser = Browser()
    browser.cookies[COOKIE] = token
    if user is not None:
        sent = browser.post("/terminal/unlock", {"user": str(user.pk), "pin": factories.PIN})
        assert sent.status_code == 302 and sent["Location"].endswith("/round")
    return browser


def enroll(works: SimpleNamespace, name: str = "Bench") -> str:
    """Enroll a terminal of the plant; returns its cookie's token."""
    with scope(plant=works.plant):
        return terminal_enroll(actor=factories.founder(works.plant), name=name)[1]


def begun(works: SimpleNamespace, by: Any = None, point: SamplePoint | None = None) -> Draft:
    """Open a bench sheet of the boiler's water."""
    return draft_open(
        actor=by or works.tester, point=point or works.point, method_keys=["conductivity"]
    )


def administrator(at: Plant) -> User:
    slug = at.name.split()[0].lower()
    return factories.person(at, f"ada-{slug}", "Ada Adder", Role.ADMINISTRATOR)


def member_of(at: Plant, user: User, *roles: Role) -> None:
    """Give an existing person roles at another plant too."""
    from records.services.people import roles_give

    with scope(plant=at):
        roles_give(factories.founder(at), user, roles)


@pytest.fixture
def token(works: SimpleNamespace) -> str:
    return enroll(works)


@pytest.fixture
def tess(works: SimpleNamespace, token: str) -> Browser:
    """The tester at the enrolled terminal."""
    return at_terminal(token, works.people["tester"])


@pytest.fixture(scope="module")
def standing(django_db_setup: None, django_db_blocker: Any) -> Iterator[SimpleNamespace]:
    """A small plant at noon with its tester at a desk (`tess`), set up once for a module."""
    with django_db_blocker.unblock(), clock.clock_at(factories.NOON), transaction.atomic():
        works = factories.works()
        with scope(plant=works.plant):
            works.tess = at_desk(works.people["tester"])
            yield works
        transaction.set_rollback(True)


@contextmanager
def undone() -> Iterator[None]:
    """Undo whatever is stored meanwhile."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture
def sam(works: SimpleNamespace) -> Browser:
    """The supervisor at a desk."""
    return at_desk(works.people["supervisor"])


@pytest.fixture
def cleo(works: SimpleNamespace) -> Browser:
    """The chemist at a desk."""
    return at_desk(works.people["chemist"])


@pytest.fixture
def dairy(works: SimpleNamespace) -> Iterator[SimpleNamespace]:
    """Another plant of another organization, with the same kinds of people."""
    yield factories.works("Otterbrook Dairy")
