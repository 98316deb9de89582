"""Why a write was refused. Each carries a code and parameters; the screens say it in words."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop


class RecordError(Exception):
    """A refusal with a stable code, a marked sentence, and the field that it belongs to."""

    def __init__(self, code: str, template: str, field: str = "", **params: str) -> None:
        super().__init__(code)
        self.code = code
        self.template = template
        self.field = field
        self.params = params

    def __str__(self) -> str:
        return _(self.template) % self.params


class NotAllowed(RecordError):  # noqa: N818
    """The person's roles do not allow this."""


class Moved(RecordError):  # noqa: N818
    """What the person saw is no longer what is stored: show it anew."""


class KeyConflict(RecordError):  # noqa: N818
    """The same key came with another body."""


NOT_HERE = gettext_noop("This does not exist at this plant.")
TOO_LONG = gettext_noop("This is too long: at most %(longest)s characters fit.")
NOT_TEXT = gettext_noop("This holds signs that can't be stored. Type it again.")
KEY_MALFORMED = gettext_noop("This was sent without a usable key. Open the page again.")


def fitting(text: str, longest: int, field: str) -> str:
    """Return the text without blanks around it; raises RecordError where it can't be stored."""
    plain = text.strip()
    if len(plain) > longest:
        raise RecordError("too_long", TOO_LONG, field=field, longest=str(longest))
    if not storable(plain):
        raise RecordError("not_text", NOT_TEXT, field=field)
    return plain


def storable(text: str) -> bool:
    """Say whether both databases and the ledger can hold a text: no NUL, no half of a pair."""
    return "\0" not in text and not any(0xD800 <= ord(sign) <= 0xDFFF for sign in text)


def not_here() -> RecordError:
    """Return the refusal of a row of another plant, or of rows that don't belong together."""
    return RecordError("not_here", NOT_HERE)


def not_allowed(deed: str) -> NotAllowed:
    return NotAllowed(
        "not_allowed",
        gettext_noop("Your role at this plant does not allow this: %(deed)s."),
        deed=deed,
    )
