"""The bench methods, by key and version. Old versions stay: what was worked with one can be worked
again.

A method is one module of this package that has `METHOD`, or `METHODS` where it keeps several
versions; it is found by lying here. Modules with neither hold what methods share.
"""

from chemistry import discovery
from chemistry.errors import EntryError
from chemistry.methods.base import Method
from chemistry.words import gettext_noop

_UNKNOWN = gettext_noop("No test called “%(method)s” is known here.")

METHODS = discovery.discovered(__path__, __name__, Method, "METHOD")


def get(key: str, version: str) -> Method:
    """Return one version of a method. Errors: EntryError unknown_method."""
    try:
        return METHODS[key, version]
    except KeyError:
        raise EntryError("unknown_method", _UNKNOWN, {"method": f"{key} {version}"[:60]}) from None


def latest(key: str) -> Method:
    """Return the newest version of a method; versions are whole numbers. Errors: EntryError
    unknown_method."""
    version = discovery.newest(METHODS, key)
    if version is None:
        raise EntryError("unknown_method", _UNKNOWN, {"method": key[:60]})
    return get(key, version)
