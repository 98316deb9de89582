"""A store with years of rounds: copies of a few registered samples, laid shift by shift in SQL.

The services would take hours for as many. Invented data; the plausible part is its shape: five
points, three tests a sample, now and then a retest that was made, and full rounds of ten tests
lately.
"""

from datetime import date, datetime, timedelta
from types import SimpleNamespace
from typing import Any
from uuid import UUID, uuid4

from django.db import connection, models, transaction
from uuid_utils.compat import uuid7

from chemistry import methods
from records import clock, guards
from records.models import (
    Draft,
    DueSlot,
    FollowUpSettlement,
    Limit,
    Meaning,
    ProgramVersion,
    Sample,
    SampleKind,
    Signature,
    SlotAnswer,
    Verdict,
    WriteKey,
)
from records.selectors.bench import TestEntry
from records.services.drafts import draft_open
from records.services.follow_ups import RETEST, follow_up_open, follow_up_settle
from records.services.plants import point_add
from records.services.samples import SampleEntry, samples_register
from records.services.slots import slots_expand
from tests import factories
from tests.sheets import entry_of

FULL = (
    ("conductivity", "automatic"),
    ("ph", "automatic"),
    ("alkalinity", "burette"),
    ("chloride", "burette"),
    ("hardness_total", "burette"),
    ("sulfite", "burette"),
    ("phosphate", "photometer"),
    ("silica", "photometer"),
    ("drum_pressure", "dial"),
    ("gauge_glass", "glass_and_column"),
)
SHORT = tuple(each for each in FULL if each[0] in ("conductivity", "ph", "phosphate"))
A_SHIFT = 10  # samples, two at each of five points
FULL_LATELY = 60  # of the last shifts
RETEST_EVERY = 20  # samples


def round_of(works: SimpleNamespace, made: tuple[tuple[str, str], ...]) -> tuple[TestEntry, ...]:
    return tuple(entry_of(works, methods.latest(key), mode) for key, mode in made)


LIMITS = {  # analyte: (basis, unit, low, high); common practice, no source
    "ph": ("25C||", "pH", "9", "11.5"),
    "m_alkalinity": ("||CaCO3", "mg/L", "", "700"),
    "chloride": ("||ion", "mg/L", "", "200"),
    "total_hardness": ("||CaCO3", "mg/L", "", "500"),
    "sulfite": ("||SO3", "mg/L", "20", "60"),
    "phosphate": ("any||PO4", "mg/L", "20", "60"),
    "silica": ("any||SiO2", "mg/L", "", "50"),
}


def limit_all(works: SimpleNamespace) -> None:
    """Give the program in force a limit for each test of a full round."""
    version = ProgramVersion.objects.get(plant=works.plant)
    for analyte, (basis, unit, low, high) in LIMITS.items():
        Limit.objects.create(
            plant=works.plant, version=version, sample_point=works.point, state="steaming",
            analyte=analyte, basis=basis, unit=unit, low=low, high=high,
            source="Common practice", confidence="common practice, no source",
        )  # fmt: skip


def register(works: SimpleNamespace, point: Any, tests: tuple[TestEntry, ...]) -> UUID:
    """Register a sample with these tests by the service."""
    now = clock.now()
    entry = SampleEntry(key=str(uuid4()), point=point, drawn_at=now, opened_at=now, tests=tests)
    return samples_register(actor=works.tester, entries=[entry])[0]


class Tables:
    """Rows waiting to be inserted, by table, in the order in which tables were first met."""

    def __init__(self) -> None:
        self._rows: dict[type[models.Model], list[tuple[Any, ...]]] = {}

    def add(self, row: "Template", **changes: object) -> None:
        waiting = self._rows.setdefault(row.model, [])
        waiting.append(tuple({**row.values, **changes}.values()))

    def insert(self) -> None:
        with connection.cursor() as cursor:
            for model, rows in self._rows.items():
                columns = ", ".join(f'"{f.column}"' for f in model._meta.concrete_fields)
                marks = ", ".join(["%s"] * len(model._meta.concrete_fields))
                into = f'INSERT INTO "{model._meta.db_table}" ({columns}) VALUES ({marks})'
                cursor.executemany(into, rows)
        self._rows = {}


class Template:
    """A stored row as the database takes it."""

    def __init__(self, row: models.Model) -> None:
        self.model = type(row)
        self.values = {
            field.attname: field.get_db_prep_save(getattr(row, field.attname), connection)
            for field in row._meta.concrete_fields
        }
        self.key = self.values["id"]


def key() -> str:
    return uuid7().hex


def at(instant: datetime) -> Any:
    return connection.ops.adapt_datetimefield_value(instant)


class Pattern:
    """One registered sample with all its rows: what copies are made of."""

    def __init__(self, sample: Sample) -> None:
        self.sample = Template(sample)
        self.tests = [self._test(each) for each in sample.measurements.all()]
        self.write_key = Template(WriteKey.objects.get(answer=sample.pk))

    @staticmethod
    def _test(test: Any) -> tuple[Template, list[Template], list[tuple[Template, Template]]]:
        parts = [*test.readings.all(), *test.uses.all(), *test.outcomes.all()]
        results = [
            (Template(r), Template(Verdict.objects.get(result=r))) for r in test.results.all()
        ]
        return Template(test), [Template(part) for part in parts], results

    def lay(self, tables: Tables, sheet: str, drawn: datetime, day: date, point: str) -> list[str]:
        """Add one copy; returns the keys of its sample and its last result."""
        sample, when, result_key = key(), at(drawn), ""
        times = {"drawn_at": when, "opened_at": when, "entered_at": when}
        tables.add(self.sample, id=sample, sheet_id=sheet, shift_date=str(day),
                   sample_point_id=point, **times)  # fmt: skip
        for test, parts, results in self.tests:
            own = key()
            tables.add(test, id=own, sample_id=sample, sheet_id=sheet, entered_at=when)
            for part in parts:
                tables.add(part, id=key(), measurement_id=own)
            for result, verdict in results:
                result_key = key()
                tables.add(result, id=result_key, measurement_id=own)
                tables.add(verdict, id=key(), result_id=result_key)
        tables.add(self.write_key, id=key(), key=str(uuid4()), answer=sample, at=when)
        return [sample, result_key]


class History:
    """What is laid before the present shift, the oldest first."""

    def __init__(self, works: SimpleNamespace) -> None:
        extra = [
            point_add(actor=factories.founder(works.plant), name=name, kind=SampleKind.CONDENSATE)
            for name in ("Condensate A", "Condensate B", "Deaerator")
        ]
        self.points = [p.pk.hex for p in (works.point, works.feed, *extra)]
        slots_expand(works.plant)
        samples = [
            Sample.objects.get(pk=register(works, works.point, round_of(works, made)))
            for made in (FULL, SHORT)
        ]
        self.full, self.short = map(Pattern, samples)
        self.sheet = samples[0].sheet
        self._owed(works, samples)
        self.marks = [
            Template(
                Signature(
                    plant=works.plant, sheet=self.sheet, sequence=number, meaning=meaning,
                    username="tess", roles="tester", proof="pin", at=clock.now(), digest="0" * 64,
                    **works.tester.signed_by,
                )
            )
            for number, meaning in enumerate((Meaning.HANDED_IN, Meaning.SIGNED), start=1)
        ]  # fmt: skip
        self.drawn = Draft.objects.get(pk=self._draft(works).pk)

    def _owed(self, works: SimpleNamespace, samples: list[Sample]) -> None:
        slot = DueSlot.objects.filter(sample_point=works.point).earliest("due_at")
        sheet, result = self.sheet, samples[0].measurements.first().results.first()  # type: ignore[union-attr]
        answer = SlotAnswer.objects.create(
            plant=works.plant, sheet=sheet, slot=slot, sample=samples[0], at=clock.now(),
            **works.tester.signed_by,
        )  # fmt: skip
        owed = follow_up_open(works.tester, result, RETEST, "near_limit", clock.now(), sheet)
        follow_up_settle(works.tester, owed, sheet=sheet, sample=samples[1])
        self.slot, self.answer = Template(slot), Template(answer)
        self.owed = Template(owed)
        self.retest_slot = Template(DueSlot.objects.get(follow_up=owed))
        self.settled = Template(FollowUpSettlement.objects.get(follow_up=owed))

    def _draft(self, works: SimpleNamespace) -> Draft:
        draft = draft_open(actor=works.tester, point=works.point, method_keys=[k for k, _ in FULL])
        Draft.objects.filter(pk=draft.pk).update(closed_at=clock.now())
        return draft

    def lay(self, count: int) -> None:
        """Store `count` samples, a multiple of ten. The guards would double the time it takes."""
        shifts = count // A_SHIFT
        tables = Tables()
        guards.lift(connection)
        with transaction.atomic():
            for back in range(shifts, 0, -1):
                self._shift(tables, back)
                if back % 200 == 1:
                    tables.insert()
        guards.lay(connection)

    def _shift(self, tables: Tables, back: int) -> None:
        ago = timedelta(hours=8 * back)
        starts, ends = self.sheet.starts_at - ago, self.sheet.ends_at - ago
        day, sheet, draft = starts.date(), key(), Template(self.drawn)
        tables.add(Template(self.sheet), id=sheet, shift_date=str(day), starts_at=at(starts),
                   shift_name=f"{starts.hour}", ends_at=at(ends))  # fmt: skip
        for mark in self.marks:
            tables.add(mark, id=key(), sheet_id=sheet, at=at(ends))
        pattern = self.full if back <= FULL_LATELY else self.short
        for number in range(A_SHIFT):
            drawn = starts + timedelta(minutes=45 * number + 7)
            point = self.points[number % len(self.points)]
            sample, result = pattern.lay(tables, sheet, drawn, day, point)
            tables.add(draft, id=key(), sample_point_id=point, closed_at=at(drawn))
            self._slot(tables, sheet, sample, drawn, point)
            if number and (back * A_SHIFT + number) % RETEST_EVERY == 1:
                self._retest(tables, sheet, sample, result, drawn, point)

    def _slot(self, tables: Tables, sheet: str, sample: str, drawn: datetime, point: str) -> None:
        if point == self.points[0]:
            slot, late = key(), at(drawn + timedelta(minutes=90))
            tables.add(self.slot, id=slot, due_at=at(drawn), missed_after=late)
            tables.add(self.answer, id=key(), sheet_id=sheet, slot_id=slot, sample_id=sample)

    def _retest(
        self, tables: Tables, sheet: str, sample: str, result: str, drawn: datetime, point: str
    ) -> None:
        owed, when = key(), at(drawn)
        of_sample = {"sheet_id": sheet, "sample_id": sample}
        tables.add(self.owed, id=owed, result_id=result, due_at=when, at=when, **of_sample)
        tables.add(self.retest_slot, id=key(), follow_up_id=owed, sample_point_id=point,
                   due_at=when, missed_after=when)  # fmt: skip
        tables.add(self.settled, id=key(), follow_up_id=owed, **of_sample)
