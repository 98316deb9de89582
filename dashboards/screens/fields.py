"""One entry field as a template prints it."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "text",
    "number",  # text with a decimal keypad: what is typed is kept as typed
    "password",
    "pin",
    "date",
    "datetime-local",
    "select",
    "radio",
    "checkbox",
    "checkboxes",
    "textarea",
    "hidden",
]


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One thing that can be chosen; `note` is a short remark beside it."""

    value: str
    label: str
    selected: bool = False
    note: str = ""
    disabled: bool = False


@dataclass(frozen=True, kw_only=True)
class FieldView:
    """A labelled entry field.

    `unit` is printed beside the field; with `units` it is chosen there instead and travels under
    `unit_name`. `modes` lists the modes of a bench method in which the field is asked for (empty:
    always) and `shown` says whether the present mode asks for it. `asked_when` says when a field
    that is not always required is. `old` is what is replaced; `carried` says that the value is the
    last time's.
    """

    name: str
    id: str
    label: str
    value: str = ""
    kind: Kind = "text"
    unit: str = ""
    units: tuple[Choice, ...] = ()
    unit_name: str = ""
    choices: tuple[Choice, ...] = ()
    error: str = ""
    help: str = ""
    required: bool = False
    asked_when: str = ""
    inputmode: str = ""
    autocomplete: str = "off"
    modes: tuple[str, ...] = ()
    shown: bool = True
    old: str = ""
    carried: bool = False


@dataclass(frozen=True, kw_only=True)
class FormView:
    """Fields sent together under one key, with what is wrong with them as a whole."""

    fields: tuple[FieldView, ...] = ()
    key: str = ""
    errors: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        """Whether anything is wrong with it, so that a folded form is shown open."""
        return bool(self.errors) or any(field.error for field in self.fields)
