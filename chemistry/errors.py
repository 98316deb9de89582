"""Errors that a person can read: a stable code, a whole sentence, and what to fill into it.

`template` is marked for translation and holds named places (`%(typed)s`). A parameter called
`label` or `missing` holds marked words itself; whoever shows the error translates those too.
"""

from collections.abc import Mapping


class ChemistryError(ValueError):
    """A calculation that was refused, with a code for programs and a sentence for people."""

    def __init__(self, code: str, template: str, params: Mapping[str, str] | None = None) -> None:
        self.code = code
        self.template = template
        self.params: dict[str, str] = dict(params or {})
        super().__init__(code)

    def __str__(self) -> str:
        return self.template % self.params


class EntryError(ChemistryError):
    """What a person typed cannot be used; `field` is the key of the field it stands in, or
    empty."""

    def __init__(
        self,
        code: str,
        template: str,
        params: Mapping[str, str] | None = None,
        *,
        field: str = "",
    ) -> None:
        super().__init__(code, template, params)
        self.field = field

    def at(self, field: str) -> "EntryError":
        """Return the same error, standing at `field`."""
        return EntryError(self.code, self.template, self.params, field=field)


class OutOfValidity(ChemistryError):  # noqa: N818
    """A formula asked outside the range it holds for; `bound` says which end was passed."""

    def __init__(
        self, code: str, template: str, params: Mapping[str, str] | None = None, *, bound: str
    ) -> None:
        super().__init__(code, template, params)
        self.bound = bound


class Refused(ChemistryError):  # noqa: N818
    """An advice that cannot be computed safely; `missing` holds the keys of what it lacks."""

    def __init__(
        self,
        code: str,
        template: str,
        params: Mapping[str, str] | None = None,
        *,
        missing: tuple[str, ...] = (),
    ) -> None:
        super().__init__(code, template, params)
        self.missing = missing
