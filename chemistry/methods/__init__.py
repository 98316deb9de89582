"""The bench methods, by key and version. Old versions stay: what was worked with one can be worked
again."""

from chemistry.errors import EntryError
from chemistry.methods import conductivity
from chemistry.methods.base import Method
from chemistry.words import gettext_noop

METHODS: dict[tuple[str, str], Method] = {
    (method.key, method.version): method for method in (conductivity.METHOD,)
}

_UNKNOWN = gettext_noop("No test called “%(method)s” is known here.")


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
