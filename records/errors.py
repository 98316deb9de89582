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


class NotAllowed(RecordError):
    """The person's roles do not allow this."""


class Moved(RecordError):
    """What the person saw is no longer what is stored: show it anew."""


class KeyConflict(RecordError):
    """The same key came with another body."""


def not_allowed(deed: str) -> NotAllowed:
    return NotAllowed(
        "not_allowed",
        gettext_noop("Your role at this plant does not allow this: %(deed)s."),
        deed=deed,
    )
