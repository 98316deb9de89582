"""Finding what a package holds by lying in it: one file, one method or recipe, several versions."""

import pkgutil
from collections.abc import Iterable, Iterator
from importlib import import_module
from typing import Protocol, TypeVar


class Versioned(Protocol):
    """Something with a key and a version; versions are whole numbers."""

    @property
    def key(self) -> str:
        """What it is called by."""

    @property
    def version(self) -> str:
        """Which version of it."""


T = TypeVar("T", bound=Versioned)


def discovered(
    path: Iterable[str], package: str, kind: type[T], one: str
) -> dict[tuple[str, str], T]:
    """Return everything found in the modules of a package, by key and version.

    A module holds it in a name such as METHOD, or in METHODS where it keeps several versions; `one`
    is the first of the two names. Raises ValueError where two have the same key and version.
    """
    everything: dict[tuple[str, str], T] = {}
    for each in _in_modules(path, package, one):
        if not isinstance(each, kind):
            raise ValueError(f"{each!r} in {package} is no {kind.__name__}")
        if (each.key, each.version) in everything:
            raise ValueError(f"two {one.lower()}s are called {each.key} {each.version}")
        everything[each.key, each.version] = each
    return everything


def newest(everything: Iterable[tuple[str, str]], key: str) -> str | None:
    """Return the newest version under a key, or None where there is none."""
    versions = [version for known, version in everything if known == key]
    return max(versions, key=int) if versions else None


def _in_modules(path: Iterable[str], package: str, one: str) -> Iterator[object]:
    for each in pkgutil.iter_modules(path):
        module = vars(import_module(f"{package}.{each.name}"))
        if one in module:
            yield module[one]
        yield from module.get(f"{one}S", ())
