"""The published limit sets that come with the program, as files under fixtures/limits."""

from functools import lru_cache

from django.conf import settings

from chemistry.limit_sets import LimitLine, LimitSet, load


@lru_cache(maxsize=1)
def limit_sets() -> tuple[LimitSet, ...]:
    """Return every set, by title; files don't change while the program runs."""
    paths = sorted((settings.FIXTURES / "limits").glob("*.toml"))
    return tuple(sorted((load(path) for path in paths), key=lambda each: each.title))


def set_of(key: str) -> LimitSet | None:
    """Return the set with a key."""
    return next((each for each in limit_sets() if each.key == key), None)


def reference_to(each: LimitSet, line: LimitLine) -> str:
    """Return the text by which a form names a line of a set."""
    return f"{each.key}:{each.lines.index(line)}"


def line_of(reference: str) -> LimitLine | None:
    """Return the line that a reference names, or None where there is none."""
    key, _, place = reference.partition(":")
    found = set_of(key)
    if found is None or not place.isascii() or not place.isdigit():
        return None
    return found.lines[int(place)] if int(place) < len(found.lines) else None
