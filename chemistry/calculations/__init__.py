"""The engine's questions, one file each: what is asked, how it is worked, what comes out.

A calculation is one module of this package that has `CALCULATION`; it is found by lying here. The
calculator and the API show what is found, and nothing of it is stored.
"""

import pkgutil
from importlib import import_module

from chemistry.calculations.base import SUBJECTS, Calculation
from chemistry.errors import EntryError
from chemistry.words import gettext_noop

_UNKNOWN = gettext_noop("No calculation called “%(key)s” is known here.")


def _by_key() -> dict[str, Calculation]:
    """Return every calculation found, by subject. Raises ValueError where two have the same key."""
    found: dict[str, Calculation] = {}
    for each in pkgutil.iter_modules(__path__):
        calculation = vars(import_module(f"{__name__}.{each.name}")).get("CALCULATION")
        if calculation is None:
            continue
        if calculation.key in found:
            raise ValueError(f"two calculations are called {calculation.key}")
        found[calculation.key] = calculation
    order = list(SUBJECTS)
    return dict(sorted(found.items(), key=lambda item: order.index(item[1].subject)))


CALCULATIONS = _by_key()


def get(key: str) -> Calculation:
    """Return a calculation. Errors: EntryError unknown_calculation."""
    try:
        return CALCULATIONS[key]
    except KeyError:
        raise EntryError("unknown_calculation", _UNKNOWN, {"key": key[:40]}) from None
