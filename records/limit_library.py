"""The published limit sets that come with the program, as files under fixtures/limits."""

from functools import lru_cache

from django.conf import settings

from chemistry.limit_sets import LimitSet, load


@lru_cache(maxsize=1)
def limit_sets() -> tuple[LimitSet, ...]:
    """Return every set, by title; files don't change while the program runs."""
    paths = sorted((settings.FIXTURES / "limits").glob("*.toml"))
    return tuple(sorted((load(path) for path in paths), key=lambda each: each.title))
