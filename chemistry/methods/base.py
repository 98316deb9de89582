"""What a bench method is: the fields it asks for, its steps, its calculation.

A method never raises while reading what was typed: every trouble stands beside its field in
`Entry.errors`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from chemistry import units as unit_book
from chemistry.analytes import Basis
from chemistry.entry import parse_reading
from chemistry.errors import EntryError
from chemistry.uncertainty import Budget, round_to_uncertainty
from chemistry.words import gettext_noop

MISSING = gettext_noop("This reading is still needed.")
NOT_A_CHOICE = gettext_noop("Pick one of the choices given.")
UNKNOWN_MODE = gettext_noop("This test knows no way of working called “%(mode)s”.")
TOO_LOW = gettext_noop(
    "%(typed)s %(unit)s can't be right here: at least %(low)s %(unit)s is possible. Read it again."
)
TOO_HIGH = gettext_noop(
    "%(typed)s %(unit)s can't be right here: at most %(high)s %(unit)s is possible. Read it again."
)


@dataclass(frozen=True)
class Field:
    """One thing asked for. `units[0]` is preselected; `low` and `high` bound what is possible, in
    `unit`.

    `too_low` and `too_high` replace the usual sentence where a better one can be said; `decimals`
    hints how many a dial shows. A field with `choices` has no unit.
    """

    key: str
    label: str
    unit: str = ""
    units: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    help: str = ""
    required: bool = True
    choices: tuple[tuple[str, str], ...] = ()
    default: str = ""
    decimals: int | None = None
    too_low: str = ""
    too_high: str = ""


@dataclass(frozen=True)
class Mode:
    """One way of working a method."""

    key: str
    label: str
    help: str
    fields: tuple[Field, ...]


@dataclass(frozen=True)
class InstrumentRole:
    """A part that an instrument plays in a method; `kind` is the kind of instrument that can play
    it."""

    key: str
    label: str
    kind: str
    required: bool


@dataclass(frozen=True)
class Step:
    """One step of the procedure; `caution` marks a warning."""

    text: str
    caution: bool = False


@dataclass(frozen=True)
class InstrumentFacts:
    """What is known of the instruments used; None leaves the method's stated default.

    `accuracy_percent`: the meter's limits of error ± percent of reading, as the maker states them.
    `cell_constant_u_percent`: standard uncertainty of the cell constant, percent.
    `thermometer_u_k`: standard uncertainty of the thermometer, K.
    """

    accuracy_percent: float | None = None
    cell_constant_u_percent: float | None = None
    thermometer_u_k: float | None = None


@dataclass(frozen=True)
class Reading:
    """One raw reading: as typed, as plain text in `unit`, and as a float in the field's own unit.

    An empty field that took its default has `typed` empty and `normalized` set.
    """

    field: str
    typed: str
    normalized: str
    unit: str
    value: float
    resolution: float


@dataclass(frozen=True)
class Entry:
    """What a method read from a form: readings and choices by field, and the trouble by field."""

    readings: dict[str, Reading] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    errors: dict[str, EntryError] = field(default_factory=dict)


@dataclass(frozen=True)
class Worked:
    """A worked result in the analyte's canonical unit, with all that makes the number mean
    something."""

    analyte: str
    value: float
    unit: str
    qualifier: str
    basis: Basis
    budget: Budget
    notes: tuple[tuple[str, dict[str, str]], ...] = ()

    @property
    def value_text(self) -> str:
        """The value, rounded to its uncertainty."""
        return round_to_uncertainty(self.value, self.budget.expanded)[0]

    @property
    def expanded_text(self) -> str:
        """The expanded uncertainty, to two significant figures."""
        return round_to_uncertainty(self.value, self.budget.expanded)[1]


Calculate = Callable[[str, Entry, InstrumentFacts], tuple[Worked, ...]]


@dataclass(frozen=True)
class Method:
    """One bench test, one version of it. Bench sheet, API, validation and help are driven by
    this."""

    key: str
    version: str
    name: str
    purpose: str
    analytes: tuple[str, ...]
    modes: tuple[Mode, ...]
    instruments: tuple[InstrumentRole, ...]
    steps: tuple[Step, ...]
    sample_ml: float
    source: str
    calculate: Calculate
    # What the choice of mode asks; empty where the usual words will do.
    mode_question: str = ""

    def mode(self, key: str) -> Mode:
        """Return one mode. Errors: EntryError unknown_mode."""
        for mode in self.modes:
            if mode.key == key:
                return mode
        raise EntryError("unknown_mode", UNKNOWN_MODE, {"mode": key[:40]}, field="mode")

    def read(self, mode_key: str, typed: Mapping[str, str], units: Mapping[str, str]) -> Entry:
        """Return what was typed, read; trouble stands in `errors` by field ("mode" for the mode
        itself)."""
        try:
            fields = self.mode(mode_key).fields
        except EntryError as error:
            return Entry(errors={"mode": error})
        entry = Entry()
        for each in fields:
            try:
                _read_field(each, typed.get(each.key, ""), units.get(each.key, ""), entry)
            except EntryError as error:
                entry.errors[each.key] = error.at(each.key)
        return entry

    def work(self, mode_key: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
        """Return the worked results. Errors: EntryError, with the field it stands beside."""
        self.mode(mode_key)
        for error in entry.errors.values():
            raise error
        return self.calculate(mode_key, entry, facts)


def _read_field(asked: Field, typed: str, unit: str, entry: Entry) -> None:
    text = typed if typed.strip() else asked.default
    if not text:
        if asked.required:
            raise EntryError("missing", MISSING)
        return
    if asked.choices:
        if text not in dict(asked.choices):
            raise EntryError("not_a_choice", NOT_A_CHOICE)
        entry.choices[asked.key] = text
        return
    entry.readings[asked.key] = _read_number(asked, typed, text, unit)


def _read_number(asked: Field, typed: str, text: str, unit: str) -> Reading:
    # a default is stated in the field's own unit, whatever unit is selected
    selected = unit or asked.units[0] if typed.strip() else asked.unit
    read = parse_reading(text, unit=selected, units=asked.units)
    value = unit_book.convert(read.value, read.unit, asked.unit)
    _refuse_impossible(asked, value, read.normalized, read.unit)
    resolution = unit_book.convert_step(read.resolution, read.unit, asked.unit)
    return Reading(
        field=asked.key,
        typed=typed,
        normalized=read.normalized,
        unit=read.unit,
        value=value,
        resolution=resolution,
    )


def _refuse_impossible(asked: Field, value: float, typed: str, unit: str) -> None:
    params: dict[str, Any] = {"typed": typed, "unit": unit_book.label(unit), "label": asked.label}
    for end, name in ((asked.low, "low"), (asked.high, "high")):
        if end is not None:
            params[name] = f"{unit_book.convert(end, asked.unit, unit):.6g}"
    if asked.low is not None and value < asked.low:
        raise EntryError("impossible", asked.too_low or TOO_LOW, params)
    if asked.high is not None and value > asked.high:
        raise EntryError("impossible", asked.too_high or TOO_HIGH, params)
