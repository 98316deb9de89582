"""The bench methods, by key and version. Old versions stay: what was worked with one can be worked
again.

A method is one module of this package that has `METHOD`, or `METHODS` where it keeps several
versions; it is found by lying here. Modules with neither hold what methods share.
"""

import pkgutil
from collections.abc import Iterator
from importlib import import_module

from chemistry.errors import EntryError
from chemistry.methods.base import Method
from chemistry.words import gettext_noop

_UNKNOWN = gettext_noop("No test called “%(method)s” is known here.")


def _found() -> Iterator[Method]:
    for each in pkgutil.iter_modules(__path__):
        module = vars(import_module(f"{__name__}.{each.name}"))
        if "METHOD" in module:
            yield module["METHOD"]
        yield from module.get("METHODS", ())


def _by_key_and_version() -> dict[tuple[str, str], Method]:
    """Return every method found. Raises ValueError where two have the same key and version."""
    methods: dict[tuple[str, str], Method] = {}
    for method in _found():
        if (method.key, method.version) in methods:
            raise ValueError(f"two methods are called {method.key} {method.version}")
        methods[method.key, method.version] = method
    return methods


METHODS = _by_key_and_version()


def get(key: str, version: str) -> Method:
    """Return one version of a method. Errors: EntryError unknown_method."""
    try:
        return METHODS[key, version]
    except KeyError:
        raise EntryError("unknown_method", _UNKNOWN, {"method": f"{key} {version}"[:60]}) from None


def latest(key: str) -> Method:
    """Return the newest version of a method; versions are whole numbers. Errors: EntryError
    unknown_method."""
    versions = [version for known, version in METHODS if known == key]
    if not versions:
        raise EntryError("unknown_method", _UNKNOWN, {"method": key[:60]})
    return get(key, max(versions, key=int))
