"""Work a bench test from what was typed: the same for the live preview and for the record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext_noop

from chemistry import coherence, methods, plausibility_linear, verdict
from chemistry.errors import ChemistryError, EntryError
from chemistry.methods.base import Entry, InstrumentFacts, InstrumentRole, Method, Outcome, Worked
from chemistry.plausibility import Suspicion, suspicions
from chemistry.working import work_typed
from records.errors import TOO_LONG, RecordError, fitting
from records.models import Instrument, Lot, SamplePoint
from records.selectors.instruments import Shelf, Standing, shelf_of, standing
from records.selectors.past import PastDraws
from records.selectors.programs import LimitInForce, limits_at
from records.selectors.recent import RecentResults
from records.shifts import local

_LONGEST_TYPED, _LONGEST_REASON = 60, 300
Trouble = ChemistryError | RecordError

REASON_NEEDED = gettext_noop(
    "%(instrument)s is not in order. Pick another one, or say why you use it: the result then "
    "stays in doubt until a chemist has decided."
)
INSTRUMENT_UNKNOWN = gettext_noop("This instrument is not on the plant's list for this part.")
CONFIRM_NEEDED = gettext_noop("Look again. If it is right as it stands, confirm it.")
# Settings are set by hand: the last ones say nothing about the next.
_SET_BY_HAND = ("percent_of_span",)
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
    # Keys of instruments and lots by role, and why one that is not in order is used.
    instruments: Mapping[str, str] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict)
    # The doubts that the tester looked at and confirmed (`WorkedTest.to_confirm`), by blanks apart.
    confirmed: str = ""


@dataclass(frozen=True, kw_only=True)
class Use:
    """An instrument or lot in its role, how it stands, and why it is used nevertheless."""

    role: str
    used: Instrument | Lot
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


@dataclass(frozen=True)
class Worth:
    """A result of the sample as the others are held beside it, in its canonical unit."""

    value: float
    expanded: float
    text: str


@dataclass(frozen=True)
class Beside:
    """Why results of one sample can't be right together, and the values between which that is."""

    doubt: Suspicion
    values: str


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
    beside: tuple[Beside, ...] = ()

    @property
    def suspicions(self) -> tuple[Suspicion, ...]:
        """All doubts about this test: beside the last results, and beside the sample's others."""
        alone = (doubt for judged in self.results for doubt in judged.suspicions)
        return (*alone, *(each.doubt for each in self.beside))

    @property
    def to_confirm(self) -> str:
        """The doubts about this test that ask for a second look, by blanks apart."""
        alone = [token for judged in self.results for token in judged.to_confirm]
        beside = [f"beside:{each.doubt.code}:{each.values}" for each in self.beside]
        return " ".join((*alone, *beside))

    @property
    def unconfirmed(self) -> bool:
        """Whether a doubt is open that the tester has not confirmed."""
        return bool(set(self.to_confirm.split()) - set(self.entry.confirmed.split()))


@dataclass(frozen=True, kw_only=True)
class Draw:
    """A draw and what its results are held against, read once for all tests of the sample."""

    point: SamplePoint
    state: str
    drawn_at: datetime
    limits: Mapping[str, LimitInForce]
    past: PastDraws
    shelf: Shelf

    @property
    def recent(self) -> RecentResults:
        """The last results of the point."""
        return RecentResults(self.past)


def draw_of(point: SamplePoint, state: str, drawn_at: datetime, shelf: Shelf | None = None) -> Draw:
    """Return a draw at a point with the limits in force, the last results and what is on the
    shelf."""
    return Draw(
        point=point,
        state=state,
        drawn_at=drawn_at,
        limits=limits_at(point, state, drawn_at),
        past=PastDraws(point.plant_id, point.pk, state, drawn_at),
        shelf=shelf or shelf_of(point.plant_id),
    )


def tests_work(
    draw: Draw, entries: Sequence[TestEntry], standing_by: Mapping[str, Worth] | None = None
) -> list[WorkedTest]:
    """Read, work and judge the tests of one sample, each also beside the others.

    `standing_by` holds results of the same sample that are not worked here. What is wrong stands in
    `errors`; nothing is raised for it but a test that is not known.
    """
    works = [test_work(draw, entry) for entry in entries]
    doubted = _beside(works, standing_by or {})
    return [_asked(replace(work, beside=doubted.get(work.method.key, ()))) for work in works]


def tests_news(
    draw: Draw, entries: Sequence[TestEntry], before: Sequence[TestEntry]
) -> list[WorkedTest]:
    """Return those tests of a sample that come out otherwise than they did `before`.

    Both hold the same tests in the same order. Only what is returned is held beside the last
    results.
    """
    works = [test_work(draw, entry, held=False) for entry in entries]
    were = [
        work if entry == old else test_work(draw, old, held=False)
        for work, entry, old in zip(works, entries, before, strict=True)
    ]
    now, then = _beside(works, {}), _beside(were, {})
    news = [
        (entry, now.get(entry.method, ()))
        for entry, old in zip(entries, before, strict=True)
        if entry != old or now.get(entry.method) != then.get(entry.method)
    ]
    return [_asked(replace(test_work(draw, entry), beside=beside)) for entry, beside in news]


def test_work(draw: Draw, entry: TestEntry, *, held: bool = True) -> WorkedTest:
    """Read, work and judge one test by itself; with `held`, also beside the last ones."""
    method = methods.get(entry.method, entry.version)
    uses, trouble = _uses(draw, method, entry)
    found = work_typed(
        entry.method, entry.version, entry.mode, entry.typed, entry.units, _facts(uses)
    )
    errors: dict[str, Trouble] = {**found.read.errors, **_unkeepable(found.read), **trouble}
    results: tuple[Judged, ...] = ()
    wrong = found.trouble
    try:
        results = tuple(_judge(each, draw, entry.mode, held) for each in found.worked)
    except ChemistryError as error:
        wrong = error
    if wrong is not None:
        errors[wrong.field if isinstance(wrong, EntryError) else ""] = wrong
    return WorkedTest(
        entry=entry,
        method=method,
        read=found.read,
        uses=uses,
        errors=errors,
        results=results,
        outcomes=found.outcomes,
    )


# Terms of the trade, not tests of ours.
test_work.__test__ = tests_work.__test__ = tests_news.__test__ = False  # type: ignore[attr-defined]


def _asked(work: WorkedTest) -> WorkedTest:
    """Return a test with what it still asks to confirm among its errors."""
    if work.unconfirmed:
        work.errors["confirm"] = EntryError("confirm", CONFIRM_NEEDED)
    return work


def _beside(
    works: Sequence[WorkedTest], standing_by: Mapping[str, Worth]
) -> dict[str, tuple[Beside, ...]]:
    """Return the doubts about results that don't hold together, by the test where they are told:
    the last one on the sheet that has a part in it."""
    worths, told_at = dict(standing_by), {}
    for work in works:
        for judged in work.results:
            found = judged.worked
            if not found.qualifier:
                expanded = found.budget.expanded
                worths[found.analyte] = Worth(found.value, expanded, found.value_text)
                told_at[found.analyte] = work.method.key
    doubts = coherence.beside_others(
        {key: worth.value for key, worth in worths.items()},
        {key: worth.expanded for key, worth in worths.items()},
    )
    by_test: dict[str, tuple[Beside, ...]] = {}
    for doubt in doubts:
        here = [told_at[analyte] for analyte in told_at if analyte in doubt.between]
        if here:  # else it is about what stands by alone
            values = "/".join(worths[analyte].text for analyte in doubt.between)
            by_test[here[-1]] = (*by_test.get(here[-1], ()), Beside(doubt, values))
    return by_test


def _unkeepable(read: Entry) -> dict[str, Trouble]:
    """Return the trouble of readings that were understood but are too long to be kept as typed."""
    found: dict[str, Trouble] = {}
    for key, reading in read.readings.items():
        if len(reading.typed) > _LONGEST_TYPED:
            found[key] = RecordError("too_long", TOO_LONG, field=key, longest=str(_LONGEST_TYPED))
    return found


# A term of the trade, not a test of ours.
test_work.__test__ = False  # type: ignore[attr-defined]


def _judge(worked: Worked, draw: Draw, mode: str, held: bool) -> Judged:
    found = draw.limits.get(worked.analyte)
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
    doubts = _suspicions(worked, draw.recent, mode) if held else ()
    return Judged(worked=worked, verdict=said, limit=found, suspicions=doubts)


def _suspicions(worked: Worked, recent: RecentResults, mode: str) -> tuple[Suspicion, ...]:
    """Ask whether a result can be right beside the last ones of its point."""
    if worked.qualifier or worked.unit in _SET_BY_HAND:
        return ()
    last = recent.of(worked.analyte, worked.basis.text)
    came = worked.origin
    last_digit = 10.0 ** int(Decimal(worked.value_text).as_tuple().exponent)
    if worked.unit in plausibility_linear.UNITS:
        return plausibility_linear.suspicions(
            value=worked.value,
            u=worked.budget.combined,
            unit=worked.unit,
            recent=last,
            resolution=last_digit,
        )
    return suspicions(
        value=worked.value,
        u=worked.budget.combined,
        unit=worked.unit,
        recent=last,
        resolution=came.resolution if came else last_digit,
        raw=came.raw if came else None,
        corrected_by=came.corrected_by if came else None,
        temperature_c=came.temperature_c if came else None,
        temperature_unit=came.temperature_unit if came else "degC",
        mode=mode,
        unit_factors=came.unit_factors if came else None,
    )


def _uses(
    draw: Draw, method: Method, entry: TestEntry
) -> tuple[tuple[Use, ...], dict[str, Trouble]]:
    today = local(draw.point.plant, draw.drawn_at).date()
    uses: list[Use] = []
    errors: dict[str, Trouble] = {}
    for role in method.means:
        key = entry.instruments.get(role.key, "").strip()
        used = draw.shelf.picked(role, key)
        if used is None:
            if key:
                errors[f"instrument-{role.key}"] = EntryError("not_listed", INSTRUMENT_UNKNOWN)
            elif isinstance(role, InstrumentRole) and role.required:
                errors[f"instrument-{role.key}"] = EntryError("missing", INSTRUMENT_NEEDED)
            continue
        reason = entry.reasons.get(role.key, "").strip()
        try:
            fitting(reason, _LONGEST_REASON, f"reason-{role.key}")
        except RecordError as error:
            errors[error.field] = error
        use = Use(role=role.key, used=used, standing=standing(used, today), reason=reason)
        if use.in_doubt and not reason:
            params = {"instrument": used.name}
            errors[f"reason-{role.key}"] = EntryError("reason_needed", REASON_NEEDED, params)
        uses.append(use)
    return tuple(uses), errors


def _facts(uses: tuple[Use, ...]) -> InstrumentFacts:
    by_role = {use.role: use.used for use in uses if isinstance(use.used, Instrument)}
    meter, cell = by_role.get("meter"), by_role.get("cell")
    thermometer, burette = by_role.get("thermometer"), by_role.get("burette")
    return InstrumentFacts(
        accuracy_percent=meter.accuracy_percent if meter else None,
        cell_constant_u_percent=cell.accuracy_percent if cell else None,
        thermometer_u_k=thermometer.accuracy_k if thermometer else None,
        burette_half_width_ml=burette.accuracy_ml if burette else None,
    )
