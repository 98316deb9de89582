"""What a bench method is: the fields it asks for, its steps, its calculation.

A method never raises while reading what was typed: every trouble stands beside its field in
`Entry.errors`.
"""

import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from chemistry import units as unit_book
from chemistry.analytes import ANALYTES, Basis
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

TOO_LONG = gettext_noop("This is too long to be kept. Write at most %(most)s characters.")
NOT_PLAIN = gettext_noop("This holds signs that can't be kept. Write plain words.")


@dataclass(frozen=True)
class Field:
    """One thing asked for. `units[0]` is preselected; `low` and `high` bound what is possible, in
    `unit`.

    `too_low` and `too_high` replace the usual sentence where a better one can be said; `decimals`
    hints how many a dial shows. A field with `choices` has no unit. A field with `longest` takes
    words of a person's own, at most that many characters, and has neither unit nor choices.
    `carried` names the field whose text of the last time is offered here again: what seldom changes
    from one test to the next. `asked_when` says, for a field that is not always required, when it
    is.
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
    longest: int = 0
    carried: str = ""
    asked_when: str = ""


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
class LotRole:
    """A bottle that a test draws on: a role key, what it is called there, and the kind of lot."""

    key: str
    label: str
    kind: str = "reagent"


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
    `burette_half_width_ml`: the burette's limits of error ± mL, as the maker states them.
    `titrant_u_percent`: standard uncertainty of the titrant's strength, percent.
    `thermometer_u_k`: standard uncertainty of the thermometer, K.
    """

    accuracy_percent: float | None = None
    cell_constant_u_percent: float | None = None
    burette_half_width_ml: float | None = None
    titrant_u_percent: float | None = None
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
    """What a method read from a form: readings, choices and own words by field, and the trouble by
    field."""

    readings: dict[str, Reading] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    errors: dict[str, EntryError] = field(default_factory=dict)


@dataclass(frozen=True)
class Origin:
    """The one reading that a result comes from, for whoever asks whether it can be right.

    `raw` and `resolution` (one unit of its last typed digit) are in the result's unit, before the
    correction that multiplied it by `corrected_by` (None where an instrument corrects);
    `unit_factors` as `chemistry.plausibility.other_units` gives them.
    """

    raw: float
    resolution: float
    corrected_by: float | None
    unit_factors: Mapping[str, float]
    temperature_c: float | None = None
    temperature_unit: str = "degC"


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
    origin: Origin | None = None

    @property
    def value_text(self) -> str:
        """The value, rounded to its uncertainty."""
        return self._rounded[0]

    @property
    def expanded_text(self) -> str:
        """The expanded uncertainty, to two significant figures."""
        return self._rounded[1]

    @property
    def _rounded(self) -> tuple[str, str]:
        decimals = ANALYTES[self.analyte].decimals
        return round_to_uncertainty(self.value, self.budget.expanded, decimals)


@dataclass(frozen=True)
class Outcome:
    """What a check showed: a word, not a number. It has no unit, no uncertainty and no limit.

    `check` is a key of `chemistry.checks.CHECKS`, `outcome` of its OUTCOME_WORDS, `reason` of its
    REASON_WORDS (empty but for a check that was not done). `remark` and `witness` are a person's
    own words, empty where none were given.
    """

    check: str
    outcome: str
    reason: str = ""
    remark: str = ""
    witness: str = ""
    notes: tuple[tuple[str, dict[str, str]], ...] = ()


Calculate = Callable[[str, Entry, InstrumentFacts], tuple[Worked, ...]]
Conclude = Callable[[str, Entry], tuple[Outcome, ...]]


def no_numbers(mode_key: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    """Return no result: the calculation of a check that yields outcomes alone."""
    return ()


def no_outcomes(mode_key: str, entry: Entry) -> tuple[Outcome, ...]:
    """Return no outcome: the conclusion of a test that yields numbers alone."""
    return ()


@dataclass(frozen=True)
class Method:
    """One bench test, one version of it. Bench sheet, API, validation and help are driven by this.

    A test works out numbers (`calculate`, `analytes`); a check of the boiler concludes outcomes
    (`conclude`, `checks`); a method may do both.
    """

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
    calculate: Calculate = no_numbers
    checks: tuple[str, ...] = ()
    conclude: Conclude = no_outcomes
    lots: tuple[LotRole, ...] = ()
    # What the choice of mode asks; empty where the usual words will do.
    mode_question: str = ""

    @property
    def means(self) -> tuple[InstrumentRole | LotRole, ...]:
        """All that the test is made with: instruments, then lots."""
        return (*self.instruments, *self.lots)

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
        return read_fields(fields, typed, units)

    def work(self, mode_key: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
        """Return the worked results. Errors: EntryError, with the field it stands beside."""
        self.mode(mode_key)
        for error in entry.errors.values():
            raise error
        return self.calculate(mode_key, entry, facts)

    def outcomes(self, mode_key: str, entry: Entry) -> tuple[Outcome, ...]:
        """Return the outcomes of a check. Errors: EntryError, with the field it stands beside."""
        self.mode(mode_key)
        for error in entry.errors.values():
            raise error
        return self.conclude(mode_key, entry)


def read_fields(
    fields: Iterable[Field], typed: Mapping[str, str], units: Mapping[str, str]
) -> Entry:
    """Return what was typed into some fields, read; trouble stands in `errors` by field."""
    entry = Entry()
    for each in fields:
        try:
            _read_field(each, typed.get(each.key, ""), units.get(each.key, ""), entry)
        except EntryError as error:
            entry.errors[each.key] = error.at(each.key)
    return entry


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
    if asked.longest:
        entry.texts[asked.key] = _own_words(asked, text)
        return
    entry.readings[asked.key] = _read_number(asked, typed, text, unit)


def _own_words(asked: Field, text: str) -> str:
    """Return a person's words on one line; they must fit as typed too. Errors: EntryError too_long,
    not_plain."""
    plain = " ".join(text.split())
    if len(text.strip()) > asked.longest:
        raise EntryError("too_long", TOO_LONG, {"most": str(asked.longest)})
    if any(unicodedata.category(each) in ("Cc", "Cs") for each in plain):
        raise EntryError("not_plain", NOT_PLAIN)
    return plain


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
