"""What an instrument's check is: what it asks for, its steps, how what was read is worked.

A check is worked twice where the instrument was adjusted: as found, then as left, each into a
`Found`. The first decides what happens to the results since the last check, the second whether the
instrument may serve. Nothing here raises while reading what was typed: trouble stands beside its
field in `Entry.errors`; what is wrong with a standard stands beside its role.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from chemistry.errors import ChemistryError, EntryError, OutOfValidity
from chemistry.methods.base import Entry, Field, InstrumentFacts, Step, read_fields
from chemistry.recipes.tolerance import Acceptance, Tolerance, near, side
from chemistry.standards import AtTemperature, Standard
from chemistry.uncertainty import Budget, round_to_uncertainty
from chemistry.words import gettext_noop

Remark = tuple[str, Mapping[str, str]]

STANDARD_NEEDED = gettext_noop("Say which standard this was held against.")
NO_STRENGTH = gettext_noop("A standard of nothing tells nothing. Take one within the range used.")


class Ending(StrEnum):
    """How a check ends, to be recorded."""

    PASSED = "passed"
    ADJUSTED = "adjusted"
    UNDECIDED = "undecided"
    OUT_OF_SERVICE = "out_of_service"


ENDING_WORDS: dict[str, str] = {
    Ending.PASSED: gettext_noop("Passed as found"),
    Ending.ADJUSTED: gettext_noop("Adjusted, and passed as left"),
    Ending.UNDECIDED: gettext_noop("Not decided: check again before you rely on it"),
    Ending.OUT_OF_SERVICE: gettext_noop("Out of service: call the chemist"),
}


@dataclass(frozen=True)
class StandardRole:
    """Something that the instrument is held against: `kind` is the kind of lot ("standard") or of
    instrument ("thermometer" ...), or empty for what is neither; `unit` that of its value, which is
    more than nothing but for a `correction`."""

    key: str
    label: str
    unit: str
    kind: str = "standard"
    required: bool = True
    correction: bool = False


class EffectKind(StrEnum):
    """What an instrument's error does to a result by it."""

    FACTOR = "factor"
    OFFSET = "offset"
    NOT_PLAIN = "not_plain"


@dataclass(frozen=True)
class Effect:
    """How far results by this instrument were off, for a look-back.

    FACTOR: shown = true times `size`. OFFSET: shown = true + `size`, in `unit` (K for temperatures
    in °C). NOT_PLAIN: neither, and a result can't be worked backward; `size` is then without
    meaning. `u`: standard uncertainty of `size`.
    """

    kind: EffectKind
    size: float
    unit: str = ""
    u: float = 0.0


NO_PLAIN_EFFECT = Effect(EffectKind.NOT_PLAIN, 0.0)


@dataclass(frozen=True)
class Figure:
    """One figure that a check found, in `unit`, with its budget.

    `low` and `high` are the ends of its tolerance in the same unit, None where open; a figure
    without a tolerance has `acceptance` None. `at`: the level that it was found at, in the check's
    `level_unit`. `decimals` caps the decimals shown.
    """

    key: str
    label: str
    value: float
    unit: str
    budget: Budget
    low: float | None = None
    high: float | None = None
    acceptance: Acceptance | None = None
    near: bool = False
    at: float | None = None
    decimals: int | None = None

    @property
    def value_text(self) -> str:
        """The value, rounded to its uncertainty; a score, which has none, to its decimals."""
        if self.budget.expanded == 0.0 and self.decimals is not None:
            return f"{self.value:z.{self.decimals}f}"
        return round_to_uncertainty(self.value, self.budget.expanded, self.decimals)[0]

    @property
    def expanded_text(self) -> str:
        """The expanded uncertainty, to two significant figures."""
        return round_to_uncertainty(self.value, self.budget.expanded, self.decimals)[1]


@dataclass(frozen=True)
class Found:
    """What a check found.

    `figures`: the first is the one that a history is drawn of. `reasons`: why it was not accepted,
    or what goes with it, as sentences with what is to be filled in. `levels`: the values at which
    it was checked, in `level_unit`; far from them it proves nothing.
    """

    figures: tuple[Figure, ...]
    acceptance: Acceptance
    effect: Effect
    reasons: tuple[Remark, ...] = ()
    levels: tuple[float, ...] = ()
    level_unit: str = ""

    def figure(self, key: str) -> Figure:
        """Return one figure. Raises KeyError."""
        for each in self.figures:
            if each.key == key:
                return each
        raise KeyError(key)

    @property
    def accepted(self) -> bool:
        """Whether the instrument may serve by this check."""
        return self.acceptance is Acceptance.ACCEPTED


def ending(as_found: Found, as_left: Found | None = None) -> Ending:
    """Return how a check ends: what it left counts; a check without an adjustment leaves what it
    found. Whether results are put in doubt is for `as_found.acceptance` alone to say."""
    last = as_found if as_left is None else as_left
    if last.acceptance is Acceptance.UNCERTAIN:
        return Ending.UNDECIDED
    if last.acceptance is Acceptance.NOT_ACCEPTED:
        return Ending.OUT_OF_SERVICE
    return Ending.PASSED if as_left is None else Ending.ADJUSTED


@dataclass(frozen=True)
class Given:
    """What a recipe works with: what was read, the standards by role, the tolerances by figure, the
    figures of the last check by key, and what is known of the instruments."""

    entry: Entry
    standards: Mapping[str, Standard]
    tolerances: Mapping[str, Tolerance]
    last: Mapping[str, float] = field(default_factory=dict)
    facts: InstrumentFacts = field(default_factory=InstrumentFacts)

    def __contains__(self, key: str) -> bool:
        return key in self.entry.readings

    def __getitem__(self, key: str) -> float:
        return self.entry.readings[key].value

    def resolution(self, key: str) -> float:
        """Return one unit of the last digit typed, in the field's own unit."""
        return self.entry.readings[key].resolution

    def choice(self, key: str) -> str:
        """Return what was chosen."""
        return self.entry.choices[key]

    def repeats(self, keys: tuple[str, ...]) -> list[float]:
        """Return the readings that were given of several."""
        return [self[key] for key in keys if key in self]

    def standard_at(self, role: str, temp_c: float, beside: str) -> AtTemperature:
        """Return a standard at a temperature. Errors: EntryError beside the field `beside`."""
        try:
            return self.standards[role].at(temp_c)
        except OutOfValidity as error:
            raise EntryError(error.code, error.template, error.params, field=beside) from error

    def judged(
        self, figure: Figure, nominal: float | None = None, otherwise: Tolerance | None = None
    ) -> Figure:
        """Return a figure held against its tolerance, or `otherwise` where none is set; `nominal`
        is the value that a percentage or a band refers to, in the figure's unit. Figures at
        further points (key_2, key_3) share the tolerance of the first.

        Errors: EntryError beside the figure's key.
        """
        first = self.tolerances.get(figure.key.removesuffix("_2").removesuffix("_3"))
        tolerance = self.tolerances.get(figure.key) or first or otherwise
        if tolerance is None:
            return figure
        try:
            low, high = tolerance.ends(figure.unit, nominal)
        except ChemistryError as error:
            raise EntryError(error.code, error.template, error.params, field=figure.key) from error
        seen = (figure.value, figure.budget.expanded, low, high)
        return replace(figure, low=low, high=high, acceptance=side(*seen), near=near(*seen))


Work = Callable[[Given], Found]


@dataclass(frozen=True)
class Recipe:
    """One way of checking instruments of some `kinds`, one version of it.

    `tolerances` are those it comes with, each with its source; a chemist may set others.
    `adjustment` says how the instrument is adjusted, `trouble` what to do, in this order, when a
    reading won't settle or a check fails; its last step takes the instrument out of service.
    `interval_days`: how often it is usually done; `quick_days`: how often a quick verification by
    the same recipe, near the level of use, comes in between; None where there is none. Both:
    common practice, no source.
    """

    key: str
    version: str
    name: str
    purpose: str
    kinds: tuple[str, ...]
    fields: tuple[Field, ...]
    standards: tuple[StandardRole, ...]
    tolerances: tuple[Tolerance, ...]
    steps: tuple[Step, ...]
    adjustment: tuple[Step, ...]
    trouble: tuple[Step, ...]
    source: str
    work_given: Work
    interval_days: float
    quick_days: float | None = None

    def read(self, typed: Mapping[str, str], units: Mapping[str, str]) -> Entry:
        """Return what was typed, read; trouble stands in its `errors` by field."""
        return read_fields(self.fields, typed, units)

    def work(
        self,
        entry: Entry,
        standards: Mapping[str, Standard],
        tolerances: Mapping[str, Tolerance] | None = None,
        *,
        last: Mapping[str, float] | None = None,
        facts: InstrumentFacts | None = None,
    ) -> Found:
        """Return what the check found. `standards` by role; `tolerances` by figure, in the place of
        the recipe's own; `last`: the figures of the last check by key, for what drifted.

        Errors: EntryError with the key of the field, of the standard's role or of the tolerance's
        figure that it stands beside.
        """
        for error in entry.errors.values():
            raise error
        given = Given(
            entry,
            self._in_their_units(standards),
            {each.figure: each for each in self.tolerances} | dict(tolerances or {}),
            last or {},
            facts or InstrumentFacts(),
        )
        return self.work_given(given)

    def _in_their_units(self, standards: Mapping[str, Standard]) -> dict[str, Standard]:
        found: dict[str, Standard] = {}
        for role in self.standards:
            given = standards.get(role.key)
            if given is None:
                if role.required:
                    raise EntryError("standard_needed", STANDARD_NEEDED, field=role.key)
                continue
            try:
                found[role.key] = given.in_unit(role.unit)
            except EntryError as error:
                raise error.at(role.key) from error
            if not role.correction and given.value <= 0.0:
                raise EntryError("no_strength", NO_STRENGTH, field=role.key)
        return found
