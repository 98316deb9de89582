"""The one clock. Only the demo and the tests may set it."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime

_set_to: ContextVar[datetime | None] = ContextVar("clock", default=None)


def now() -> datetime:
    """Return the present instant in UTC."""
    return _set_to.get() or datetime.now(UTC)


@contextmanager
def clock_at(instant: datetime) -> Iterator[None]:
    """Let `now()` say `instant`: for loading a demo and for tests, never for a request."""
    token = _set_to.set(instant.astimezone(UTC))
    try:
        yield
    finally:
        _set_to.reset(token)
