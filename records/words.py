"""Sentences of errors and doubts in the reader's language, for screens and API alike."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from chemistry.errors import ChemistryError
from records.errors import RecordError

# Parameters of an error that are themselves marked words.
_MARKED = ("label", "missing")


def sentence(error: ChemistryError | RecordError) -> str:
    """Return an error's sentence in the reader's language."""
    if isinstance(error, RecordError):
        return str(error)
    return told(error.template, error.params)


def told(template: str, params: Mapping[str, str]) -> str:
    """Return a marked template, translated and filled in."""
    filled = {k: _(v) if k in _MARKED and v else v for k, v in params.items()}
    return _(template) % filled
