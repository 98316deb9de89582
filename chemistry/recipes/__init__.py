"""The recipes by which instruments are checked, by key and version. Old versions stay: what was
worked with one can be worked again.

A recipe is one module of this package that has `RECIPE`, or `RECIPES` where it keeps several
versions; it is found by lying here. Modules with neither hold what recipes share.
"""

from chemistry import discovery
from chemistry.errors import EntryError
from chemistry.recipes.base import Recipe
from chemistry.words import gettext_noop

_UNKNOWN = gettext_noop("No check called “%(recipe)s” is known here.")

RECIPES = discovery.discovered(__path__, __name__, Recipe, "RECIPE")


def get(key: str, version: str) -> Recipe:
    """Return one version of a recipe. Errors: EntryError unknown_recipe."""
    try:
        return RECIPES[key, version]
    except KeyError:
        raise EntryError("unknown_recipe", _UNKNOWN, {"recipe": f"{key} {version}"[:60]}) from None


def latest(key: str) -> Recipe:
    """Return the newest version of a recipe; versions are whole numbers. Errors: EntryError
    unknown_recipe."""
    version = discovery.newest(RECIPES, key)
    if version is None:
        raise EntryError("unknown_recipe", _UNKNOWN, {"recipe": key[:60]})
    return get(key, version)


def for_kind(kind: str) -> tuple[Recipe, ...]:
    """Return the newest recipes by which an instrument of a kind can be checked."""
    keys = sorted({key for key, _ in RECIPES})
    return tuple(each for key in keys if kind in (each := latest(key)).kinds)
