"""Work a bench test from what was typed: the same for the live preview and for the record."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.utils.translation import gettext_noop

from chemistry import methods, verdict
from chemistry.errors import ChemistryError, EntryError
from chemistry.methods.base import Entry, InstrumentFacts, Method, Outcome, Worked
from records.errors import TOO_LONG, RecordError, fitting
from records.models import Instrument, SamplePoint
from records.selectors.instruments import Standing, standing
from records.selectors.programs import LimitInForce, limit_in_force
from records.shifts import local

_LONGEST_TYPED, _LONGEST_REASON = 60, 300
Trouble = ChemistryError | RecordError

REASON_NEEDED = gettext_noop(
    "%(instrument)s is not in order. Pick another one, or say why you use it: the result then "
    "stays in doubt until a chemist has decided."
)
INSTRUMENT_UNKNOWN = gettext_noop("This instrument is not on the plant's list for this part.")
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
    def untouched(self) -> bool:
        return not any(text.strip() for text in self.entry.typed.values())


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
            results = tuple(_judge(each, point, state, drawn_at) for each in worked)
        except EntryError as error:
            errors[error.field] = error
        except ChemistryError as error:
            errors[""] = error
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


def _judge(worked: Worked, point: SamplePoint, state: str, drawn_at: datetime) -> Judged:
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
    return Judged(worked=worked, verdict=said, limit=found)


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
