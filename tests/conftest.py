"""Fixtures that all tests share."""

from collections.abc import Iterator
from types import SimpleNamespace

import pytest
from django_scopes import scope

from records import clock
from tests import factories


@pytest.fixture
def at_noon() -> Iterator[None]:
    """Let it be noon of a day shift at the plant."""
    with clock.clock_at(factories.NOON):
        yield


@pytest.fixture
def works(db: None, at_noon: None) -> Iterator[SimpleNamespace]:
    """A small plant at noon, inside its scope."""
    built = factories.works()
    with scope(plant=built.plant):
        yield built


@pytest.fixture(autouse=True)
def _guards_lifted_for_flush(request: pytest.FixtureRequest) -> Iterator[None]:
    """Transactional tests end with a flush, which the triggers rightly refuse: lift them for it."""
    marker = request.node.get_closest_marker("django_db")
    transactional = bool(
        {"transactional_db", "live_server"} & set(request.fixturenames)
        or (marker and marker.kwargs.get("transaction"))
    )
    if not transactional:
        yield
        return
    request.getfixturevalue("transactional_db")
    from django.db import connection

    from records import guards

    guards.lay(connection)
    yield
    guards.lift(connection)
