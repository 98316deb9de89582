"""The one clock. Only the demo and the tests may set it."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime, timedelta

from django.conf import settings

_set_to: ContextVar[datetime | None] = ContextVar("clock", default=None)


def now() -> datetime:
    """Return the present instant in UTC."""
    return _set_to.get() or datetime.now(UTC)


@contextmanager
def clock_at(instant: datetime) -> Iterator[None]:
    """Let `now()` say `instant`: for loading a demo and for tests, never for a request.

    Raises RuntimeError in an installation that keeps real records.
    """
    if not getattr(settings, "CLOCK_MAY_BE_SET", settings.DEMO):
        raise RuntimeError("the clock can be set in a demo and in tests only")
    token = _set_to.set(instant.astimezone(UTC))
    try:
        yield
    finally:
        _set_to.reset(token)


def elapsed(since: str) -> timedelta:
    """Return the time since an instant written in ISO 8601."""
    return now() - datetime.fromisoformat(since)
