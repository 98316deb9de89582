"""How long it takes to register one sample, with few and with many samples stored before it.

The store is a file and each write commits. No time is asserted: the ratio stands in the table that
pytest-benchmark prints for the group.
"""

from collections.abc import Iterator
from copy import copy
from datetime import datetime, timedelta
from types import SimpleNamespace
from uuid import uuid4

import pytest
from django.db import models, transaction
from uuid_utils.compat import uuid7

from records import clock
from records.models import Measurement, Reading, Result, Sample, WriteKey
from tests import factories

A_SHEET = 5
FEW, MANY = 1_000, 20_000  # the larger loads in half a minute
ROUNDS, WARM_UP = 50, 5
CHUNK = 1_000  # a multiple of A_SHEET


def another(row: models.Model, **changes: object) -> models.Model:
    """Return a copy of a stored row, not yet stored, under a key of its own."""
    twin = copy(row)
    twin._state = copy(row._state)
    twin._state.adding = True
    twin._state.fields_cache = {}
    for name, value in {"id": uuid7(), **changes}.items():
        setattr(twin, name, value)
    return twin


class History:
    """Copies of one registered sample with all its rows, spread over the shifts before it."""

    def __init__(self, works: SimpleNamespace) -> None:
        key = factories.sample(works.tester, works.point, factories.conductivity("900", works.used))
        self.sample = Sample.objects.get(pk=key)
        self.sheet = self.sample.sheet
        self.test = self.sample.measurements.get()
        self.parts = [*self.test.readings.all(), *self.test.uses.all()]
        self.result = self.test.results.get()
        self.verdict = self.result.verdicts.get()
        self.written = WriteKey.objects.get(answer=key)

    def lay(self, count: int) -> None:
        """Store `count` samples, in chunks, through the ORM."""
        for start in range(0, count, CHUNK):
            rows: dict[type[models.Model], list[models.Model]] = {}
            for first in range(start, start + CHUNK, A_SHEET):
                for row in self._shift(days_back=first // A_SHEET + 1):
                    rows.setdefault(type(row), []).append(row)
            for model, group in rows.items():
                model.objects.bulk_create(group)

    def _shift(self, days_back: int) -> Iterator[models.Model]:
        back = timedelta(days=days_back)
        sheet = another(
            self.sheet,
            shift_date=self.sheet.shift_date - back,
            starts_at=self.sheet.starts_at - back,
            ends_at=self.sheet.ends_at - back,
        )
        yield sheet
        for number in range(A_SHEET):
            yield from self._sample(sheet, sheet.starts_at + timedelta(hours=number))

    def _sample(self, sheet: models.Model, drawn: datetime) -> Iterator[models.Model]:
        at = {"drawn_at": drawn, "opened_at": drawn, "entered_at": drawn}
        sample = another(self.sample, sheet_id=sheet.pk, shift_date=sheet.shift_date, **at)
        test = another(self.test, sample_id=sample.pk, sheet_id=sheet.pk, entered_at=drawn)
        result = another(self.result, measurement_id=test.pk)
        yield from (sample, test, result)
        yield from (another(part, measurement_id=test.pk) for part in self.parts)
        yield another(self.verdict, result_id=result.pk)
        yield another(self.written, key=str(uuid4()), answer=sample.pk, at=drawn)


@pytest.mark.django_db(transaction=True)
@pytest.mark.benchmark(group="registering one sample, by the number stored before")
@pytest.mark.parametrize("stored", [FEW, MANY])
def test_register_one_sample(benchmark, works, stored):
    with transaction.atomic():
        History(works).lay(stored)
    before = Measurement.objects.count()
    assert before == stored + 1
    assert Reading.objects.count() > 3 * before

    def fresh() -> tuple[tuple[object, ...], dict[str, object]]:
        test = factories.conductivity("900", works.used)
        return (works.tester, works.point, test), {"key": str(uuid4()), "drawn_at": clock.now()}

    key = benchmark.pedantic(
        factories.sample, setup=fresh, rounds=ROUNDS, iterations=1, warmup_rounds=WARM_UP
    )
    assert Measurement.objects.count() == before + ROUNDS + WARM_UP
    assert Result.objects.filter(measurement__sample=key).count() == 1
