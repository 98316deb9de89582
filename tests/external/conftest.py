"""Tests that need PostgreSQL: `make test-postgres` runs them, `make test` does not."""

from types import SimpleNamespace

import pytest
from django.db import connection

from tests import factories


@pytest.fixture
def shared_works(transactional_db: None, at_noon: None) -> SimpleNamespace:
    """A small plant that every thread sees; nothing is in scope."""
    assert connection.vendor == "postgresql", "run with DATABASE_URL at a PostgreSQL database"
    return factories.works()
