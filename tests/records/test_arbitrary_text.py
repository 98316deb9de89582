"""Any text in any field of any method: refused beside its field, or kept as typed."""

from itertools import cycle, islice
from types import SimpleNamespace
from uuid import UUID

import pytest
from django.db import models, transaction
from hypothesis import given
from hypothesis import strategies as st

from chemistry.methods.base import Method
from records import clock
from records.models import Reading, Sample
from records.selectors.bench import TestEntry
from records.services.samples import SampleEntry, TestsRefused, samples_register
from tests import arbitrary, factories
from tests.records import story
from tests.sheets import METHODS, WRITTEN, entry_of, stored
from tests.texts import HARD, TEXT, as_many_as

pytestmark = pytest.mark.django_db  # so that a database is set up for `bare`
EVERY_METHOD = pytest.mark.parametrize("method", METHODS, ids=lambda method: method.key)


def beside(method: Method) -> set[str]:
    """Return the keys by which a method's trouble can be told: its fields and instruments."""
    fields = {field.key for mode in method.modes for field in mode.fields}
    roles = {f"{what}-{r.key}" for what in ("instrument", "reason") for r in method.means}
    return fields | roles | {"mode", "confirm"}


def fits_its_columns(row: models.Model) -> bool:
    """Say whether no text is longer than its column: PostgreSQL refuses it, SQLite does not."""
    texts = [f for f in row._meta.fields if isinstance(f, models.CharField)]
    return all(len(getattr(row, f.name)) <= (f.max_length or 0) for f in texts)


def check_kept(works: SimpleNamespace, test: TestEntry, key: UUID) -> None:
    """Assert that the sample holds every reading as it was typed."""
    kept = Reading.objects.filter(plant=works.plant, measurement__sample=key)
    for reading in kept:
        typed = test.typed[reading.field]
        assert reading.typed in (typed, typed.strip())
    filled = {field for field, typed in test.typed.items() if typed.strip()}
    assert filled <= {reading.field for reading in kept}
    for kind in WRITTEN:
        assert all(map(fits_its_columns, kind.objects.filter(plant=works.plant))), kind


def check(works: SimpleNamespace, method: Method, test: TestEntry) -> None:
    """Register a test and assert that all of it was kept, or that it was refused in words."""
    with transaction.atomic():
        try:
            key = factories.sample(works.tester, works.point, test)
        except TestsRefused as refused:
            trouble = refused.by_test[method.key]
            assert trouble and set(trouble) <= beside(method), trouble
            assert all(str(error) for error in trouble.values())
            assert stored(works.plant) == []
        else:
            assert isinstance(key, UUID)
            check_kept(works, test, key)
        transaction.set_rollback(True)


@EVERY_METHOD
def test_each_field_alone(bare: SimpleNamespace, method: Method) -> None:
    texts = cycle(HARD)
    next(islice(texts, METHODS.index(method) * 7, None))
    for mode in method.modes:
        for field in mode.fields:
            wrong = {field.key: next(texts)}
            check(bare, method, entry_of(bare, method, mode.key, **wrong))


@EVERY_METHOD
def test_anything_anywhere(bare: SimpleNamespace, method: Method) -> None:
    sheets = [entry_of(bare, method, mode.key) for mode in method.modes]
    any_sheet = st.sampled_from(sheets)

    @as_many_as(len(sheets) + 1)
    @given(any_sheet.flatmap(lambda sheet: arbitrary.anything_but(sheet, method)))
    def tried(test: TestEntry) -> None:
        check(bare, method, test)

    tried()


@as_many_as(40)
@given(
    key=st.just("k") | TEXT,
    note=TEXT,
    names=st.fixed_dictionaries({}, optional=dict.fromkeys(("method", "version", "mode"), TEXT)),
)
def test_a_sample_with_any_key_note_and_name_of_a_test(
    bare: SimpleNamespace, key: str, note: str, names: dict[str, str]
) -> None:
    test = factories.conductivity("1240", bare.used)
    entry = SampleEntry(
        key=key,
        point=bare.point,
        drawn_at=clock.now(),
        opened_at=clock.now(),
        tests=(TestEntry(**(test.__dict__ | names)),),
        note=note,
    )
    with transaction.atomic():
        try:
            samples_register(actor=bare.tester, entries=[entry])
        except story.RecordError as refused:
            assert str(refused) and stored(bare.plant) == []
        else:
            assert Sample.objects.get(plant=bare.plant).note == note.strip()
        transaction.set_rollback(True)
