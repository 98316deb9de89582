"""Work a bench test from what was typed: the same for the live preview and for the record."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.utils.translation import gettext_noop

from chemistry import methods, verdict
from chemistry.errors import ChemistryError, EntryError
from chemistry.methods.base import Entry, InstrumentFacts, Method, Outcome, Worked
from chemistry.plausibility import Suspicion, suspicions
from records.errors import TOO_LONG, RecordError, fitting
from records.models import Instrument, SamplePoint
from records.selectors.instruments import Standing, standing
from records.selectors.programs import LimitInForce, limit_in_force
from records.selectors.recent import recent_values
from records.shifts import local

_LONGEST_TYPED, _LONGEST_REASON = 60, 300
Trouble = ChemistryError | RecordError

REASON_NEEDED = gettext_noop(
    "%(instrument)s is not in order. Pick another one, or say why you use it: the result then "
    "stays in doubt until a chemist has decided."
)
INSTRUMENT_UNKNOWN = gettext_noop("This instrument is not on the plant's list for this part.")
CONFIRM_NEEDED = gettext_noop("Look again. If it is right as it stands, confirm it.")
# Quantities whose ratio to the last ones says nothing: a pH is a logarithm, a temperature has no
# zero of its own, a setting is set by hand.
_NOT_BY_RATIO = ("pH", "degC", "K", "percent_of_span")
INSTRUMENT_NEEDED = gettext_noop("Say which instrument you used.")


@dataclass(frozen=True, kw_only=True)
class TestEntry:
    """One test as typed: texts only, by field and by instrument role."""

    __test__ = False  # a test of water; pytest must not collect it

    method: str
    version: str
    mode: str
    typed: Mapping[str, str]
    units: Mapping[str, str] = field(default_factory=dict)
    instruments: Mapping[str, str] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict)
    # The doubts that the tester looked at and confirmed (`WorkedTest.to_confirm`), by blanks apart.
    confirmed: str = ""


@dataclass(frozen=True, kw_only=True)
class Use:
    """An instrument in its role, how it stands, and why it is used nevertheless."""

    role: str
    instrument: Instrument
    standing: Standing
    reason: str

    @property
    def in_doubt(self) -> bool:
        return self.standing is not Standing.IN_ORDER


@dataclass(frozen=True, kw_only=True)
class Judged:
    """A worked result with its verdict and the limit behind it."""

    worked: Worked
    verdict: verdict.Verdict
    limit: LimitInForce | None
    suspicions: tuple[Suspicion, ...] = ()

    @property
    def to_confirm(self) -> tuple[str, ...]:
        """What a tester confirms by looking again: the doubts about just this value."""
        told = (self.worked.analyte, self.worked.value_text)
        return tuple(f"{told[0]}:{each.code}:{told[1]}" for each in self.suspicions)


@dataclass(frozen=True, kw_only=True)
class WorkedTest:
    """All that comes of a typed test: results, or trouble beside the fields it belongs to.

    Keys of `errors` are field keys, `instrument-<role>`, `reason-<role>`, or "" for the test.
    """

    entry: TestEntry
    method: Method
    read: Entry
    uses: tuple[Use, ...]
    errors: dict[str, Trouble]
    results: tuple[Judged, ...]
    outcomes: tuple[Outcome, ...] = ()

    @property
    def to_confirm(self) -> str:
        """The doubts about this test that ask for a second look, by blanks apart."""
        return " ".join(token for judged in self.results for token in judged.to_confirm)


def test_work(
    *, point: SamplePoint, state: str, drawn_at: datetime, entry: TestEntry
) -> WorkedTest:
    """Read, work and judge one test. What is wrong stands in `errors`; nothing is raised for it."""
    method = methods.get(entry.method, entry.version)
    read = method.read(entry.mode, entry.typed, entry.units)
    uses, trouble = _uses(point, drawn_at, method, entry)
    errors: dict[str, Trouble] = {**read.errors, **_unkeepable(read), **trouble}
    results: tuple[Judged, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    if not read.errors:
        try:
            outcomes = method.outcomes(entry.mode, read)
            worked = method.work(entry.mode, read, _facts(uses))
            results = tuple(_judge(each, point, state, drawn_at, entry.mode) for each in worked)
        except EntryError as error:
            errors[error.field] = error
        except ChemistryError as error:
            errors[""] = error
    asked = [token for judged in results for token in judged.to_confirm]
    if set(asked) - set(entry.confirmed.split()):
        errors["confirm"] = EntryError("confirm", CONFIRM_NEEDED)
    return WorkedTest(
        entry=entry,
        method=method,
        read=read,
        uses=uses,
        errors=errors,
        results=results,
        outcomes=outcomes,
    )


def _unkeepable(read: Entry) -> dict[str, Trouble]:
    """Return the trouble of readings that were understood but are too long to be kept as typed."""
    found: dict[str, Trouble] = {}
    for key, reading in read.readings.items():
        if len(reading.typed) > _LONGEST_TYPED:
            found[key] = RecordError("too_long", TOO_LONG, field=key, longest=str(_LONGEST_TYPED))
    return found


# A term of the trade, not a test of ours.
test_work.__test__ = False  # type: ignore[attr-defined]


def _judge(worked: Worked, point: SamplePoint, state: str, drawn_at: datetime, mode: str) -> Judged:
    found = limit_in_force(point, worked.analyte, state, drawn_at)
    budget = worked.budget
    said = verdict.judge(
        float(worked.value_text),
        budget.expanded,
        budget.coverage,
        budget.dof,
        worked.basis,
        found.limit if found else None,
        guard_band=found.guard_band if found else 0.0,
        qualifier=worked.qualifier,
    )
    doubts = _suspicions(worked, point, state, drawn_at, mode)
    return Judged(worked=worked, verdict=said, limit=found, suspicions=doubts)


def _suspicions(
    worked: Worked, point: SamplePoint, state: str, drawn_at: datetime, mode: str
) -> tuple[Suspicion, ...]:
    """Ask whether a result can be right beside the last ones of its point."""
    if worked.qualifier or worked.unit in _NOT_BY_RATIO:
        return ()
    recent = recent_values(point, worked.analyte, worked.basis.text, state, drawn_at)
    came = worked.origin
    last_digit = 10.0 ** int(Decimal(worked.value_text).as_tuple().exponent)
    return suspicions(
        value=worked.value,
        u=worked.budget.combined,
        unit=worked.unit,
        recent=recent,
        resolution=came.resolution if came else last_digit,
        raw=came.raw if came else None,
        corrected_by=came.corrected_by if came else None,
        temperature_c=came.temperature_c if came else None,
        temperature_unit=came.temperature_unit if came else "degC",
        mode=mode,
        unit_factors=came.unit_factors if came else None,
    )


def _uses(
    point: SamplePoint, drawn_at: datetime, method: Method, entry: TestEntry
) -> tuple[tuple[Use, ...], dict[str, Trouble]]:
    picked = _picked(point, entry)
    today = local(point.plant, drawn_at).date()
    uses: list[Use] = []
    errors: dict[str, Trouble] = {}
    for role in method.instruments:
        instrument = picked.get(entry.instruments.get(role.key, ""))
        if instrument is None or instrument.kind != role.kind:
            if entry.instruments.get(role.key, "").strip():
                errors[f"instrument-{role.key}"] = EntryError("not_listed", INSTRUMENT_UNKNOWN)
            elif role.required:
                errors[f"instrument-{role.key}"] = EntryError("missing", INSTRUMENT_NEEDED)
            continue
        reason = entry.reasons.get(role.key, "").strip()
        try:
            fitting(reason, _LONGEST_REASON, f"reason-{role.key}")
        except RecordError as error:
            errors[error.field] = error
        use = Use(
            role=role.key,
            instrument=instrument,
            standing=standing(instrument, today),
            reason=reason,
        )
        if use.in_doubt and not reason:
            params = {"instrument": instrument.name}
            errors[f"reason-{role.key}"] = EntryError("reason_needed", REASON_NEEDED, params)
        uses.append(use)
    return tuple(uses), errors


def _picked(point: SamplePoint, entry: TestEntry) -> dict[str, Instrument]:
    keys = []
    for text in entry.instruments.values():
        try:
            keys.append(UUID(text))
        except ValueError:
            continue
    found = Instrument.objects.filter(plant=point.plant_id, pk__in=keys)
    return {str(instrument.pk): instrument for instrument in found}


def _facts(uses: tuple[Use, ...]) -> InstrumentFacts:
    by_role = {use.role: use.instrument for use in uses}
    meter, cell = by_role.get("meter"), by_role.get("cell")
    thermometer, burette = by_role.get("thermometer"), by_role.get("burette")
    return InstrumentFacts(
        accuracy_percent=meter.accuracy_percent if meter else None,
        cell_constant_u_percent=cell.accuracy_percent if cell else None,
        thermometer_u_k=thermometer.accuracy_k if thermometer else None,
        burette_half_width_ml=burette.accuracy_ml if burette else None,
    )
