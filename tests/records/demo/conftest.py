"""The demo, loaded once for all tests about it."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.records.demo import store


@pytest.fixture(scope="package")
def demo(django_db_setup: None, django_db_blocker: Any) -> Iterator[store.Store]:
    yield from store.load(django_db_blocker)
