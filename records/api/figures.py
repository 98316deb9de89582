"""Units, bases and figures as the API says them."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from chemistry import units
from chemistry.analytes import Basis


def unit_labels(keys: Iterable[str]) -> str:
    """Return units as they are printed, one after the other."""
    return ", ".join(units.label(key) for key in keys)


def basis_words(text: str) -> str:
    """Return a stored basis in words."""
    return ", ".join(_(word) for word in Basis.parse(text).words())


def figure(value: float | None) -> str:
    """Return a figure of the register as plain text, or "" where it is not known."""
    return "" if value is None else f"{value:.10g}"
