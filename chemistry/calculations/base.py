"""What a calculation is: the fields it asks for, how it is worked, the figures that come out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from chemistry import units as unit_book
from chemistry.methods.base import Entry, Field, read_fields
from chemistry.words import gettext_noop

SUBJECTS: Mapping[str, str] = {
    "water": gettext_noop("What a water is"),
    "conductivity": gettext_noop("Conductivity"),
    "alkalinity": gettext_noop("Alkalinity and phosphate"),
    "hardness": gettext_noop("Hardness and softeners"),
    "oxygen": gettext_noop("Oxygen"),
    "steam": gettext_noop("Steam"),
    "blowdown": gettext_noop("Blowdown"),
    "dosing": gettext_noop("Dosing"),
    "expressing": gettext_noop("Ways of saying the same"),
}
"""What the calculations are about, in the order in which they are shown."""


@dataclass(frozen=True)
class Answer:
    """One figure that comes out, in `unit`; `units` are those that it can be read in.

    `low` and `high` are the ends of its interval, where the engine gives one. It is shown with
    `digits` significant digits, or with `decimals` where its scale has a usual number of them.
    """

    key: str
    label: str
    value: float
    unit: str = ""
    units: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    digits: int = 4
    decimals: int | None = None

    def text(self, value: float, unit: str = "") -> str:
        """Return a value of the answer's own unit as plain text in another of its units.

        Errors: EntryError wrong_dimension.

        >>> Answer("flow", "", 0.0, "kg/h").text(1234.56, "t/h")
        '1.235'
        """
        shown = unit_book.convert(value, self.unit, unit) if unit else value
        places = f".{self.digits}g" if self.decimals is None else f".{self.decimals}f"
        # z: what rounds to nothing has no sign
        return format(Decimal(f"{shown:z{places}}"), "f")


@dataclass(frozen=True)
class Found:
    """What came of a calculation: figures, and sentences with what is to be filled in."""

    answers: tuple[Answer, ...]
    remarks: tuple[tuple[str, Mapping[str, str]], ...] = ()


@dataclass(frozen=True)
class Given:
    """What was typed, read: each figure in its field's own unit."""

    entry: Entry

    def __getitem__(self, key: str) -> float:
        return self.entry.readings[key].value

    def __contains__(self, key: str) -> bool:
        return key in self.entry.readings

    def get(self, key: str, otherwise: float = 0.0) -> float:
        """Return a figure, or another where its field is empty."""
        found = self.maybe(key)
        return otherwise if found is None else found

    def maybe(self, key: str) -> float | None:
        """Return a figure, or None where its field is empty."""
        reading = self.entry.readings.get(key)
        return None if reading is None else reading.value

    def choice(self, key: str) -> str:
        """Return what was chosen."""
        return self.entry.choices[key]

    def totals(self, fields: tuple[Field, ...]) -> dict[str, float]:
        """Return the substances given, mg/kg by formula, as `chemistry.solve` takes them."""
        return {each.key: self[each.key] for each in fields if each.key in self}


@dataclass(frozen=True)
class Calculation:
    """One question that the engine answers.

    `validity` says for what water the answer holds; `sources` are keys of SOURCES.md; `example` is
    what to type to try it; `cautions` go with what could be taken for advice.
    """

    key: str
    subject: str
    question: str
    purpose: str
    fields: tuple[Field, ...]
    work: Callable[[Given], Found]
    validity: str
    sources: tuple[str, ...]
    example: Mapping[str, str] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()

    def read(self, typed: Mapping[str, str], units: Mapping[str, str]) -> Entry:
        """Return what was typed, read; trouble stands in its `errors` by field."""
        return read_fields(self.fields, typed, units)

    def found(self, entry: Entry) -> Found:
        """Return what comes out. Errors: EntryError of a field; OutOfValidity, Refused and other
        ChemistryErrors of the engine."""
        for error in entry.errors.values():
            raise error
        return self.work(Given(entry))
