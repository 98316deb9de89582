"""Fixtures of the store's tests."""

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import transaction
from django_scopes import scope

from records import clock
from tests import factories
from tests.records import story


@pytest.fixture(scope="module")
def told(django_db_setup: None, django_db_blocker: Any) -> Iterator[SimpleNamespace]:
    """The story of a shift, told once for a module: its tests undo what they try."""
    with (
        django_db_blocker.unblock(),
        clock.clock_at(factories.NOON),
        transaction.atomic(),
    ):
        works = factories.works()
        with scope(plant=works.plant):
            works.__dict__.update(story.shift(works).__dict__)
            yield works
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def bare(django_db_setup: None, django_db_blocker: Any) -> Iterator[SimpleNamespace]:
    """A small plant at noon with nothing written, set up once for a module whose tests store
    nothing or undo it."""
    with (
        django_db_blocker.unblock(),
        clock.clock_at(factories.NOON),
        transaction.atomic(),
    ):
        works = factories.works()
        with scope(plant=works.plant):
            yield works
        transaction.set_rollback(True)


@pytest.fixture
def undone(told: SimpleNamespace) -> Iterator[SimpleNamespace]:
    """The same story; whatever the test does to it is undone."""
    with transaction.atomic():
        yield told
        transaction.set_rollback(True)


@pytest.fixture
def elsewhere(works: SimpleNamespace) -> SimpleNamespace:
    """Another plant of another organization, with the same kinds of people."""
    return factories.works("Otterbrook Dairy")
