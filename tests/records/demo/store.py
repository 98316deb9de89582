"""The demo as a store to be asked: loaded once for a module, with only its newest days."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db import transaction
from django_scopes import scope

from records import clock
from records.demo import demo_load, plants
from records.models import Plant

# 12:40 at the mill, 13:40 at the hospital, 17:40 at the dairy: a Tuesday.
NOW = datetime(2026, 3, 10, 17, 40, tzinfo=UTC)
# `WATERSIDE_DEMO_DAYS=120` has the tests load all of it; else as many days as hold most events.
ALL = int(os.environ.get("WATERSIDE_DEMO_DAYS", "0"))
NEWEST = {"mill": 14, "hospital": 14, "dairy": 17}


@dataclass(frozen=True)
class Store:
    """The loaded plants by key."""

    plants: dict[str, Plant]

    def planted(self, *kinds: str) -> list[tuple[str, dict[str, Any]]]:
        """Return the events of some kinds that fall into the days that were loaded."""
        return [
            (key, told)
            for key, plant in plants().items()
            for told in plant["events"]
            if told["kind"] in kinds and told["days"] < (ALL or NEWEST[key])
        ]

    @contextmanager
    def at(self, key: str) -> Iterator[Plant]:
        """Open one plant's scope."""
        with scope(plant=self.plants[key]):
            yield self.plants[key]


def since(told: dict[str, Any]) -> datetime:
    """Return the instant from which an event shows."""
    return NOW - timedelta(days=told["days"])


def load(blocker: Any) -> Iterator[Store]:
    """Load the demo in a transaction that is undone in the end."""
    with blocker.unblock(), clock.clock_at(NOW), transaction.atomic():
        yield Store(demo_load(NOW, days=ALL or NEWEST))
        transaction.set_rollback(True)
