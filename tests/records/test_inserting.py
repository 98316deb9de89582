"""Append-only rows go in by few statements: all or none, each value as its field keeps it."""

from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django_scopes import scope

from records import clock
from records.models import Measurement, WriteKey
from tests.records import story

MANY = 600  # more than one statement holds on SQLite


def keys(works, count: int) -> list[WriteKey]:
    return [
        WriteKey(
            plant=works.plant, actor=works.tester.user, key=f"k{number}", operation="test",
            body_digest="0" * 64, answer=uuid4(), at=clock.now(),
        )
        for number in range(count)
    ]  # fmt: skip


def ours():
    return WriteKey.objects.filter(operation="test")


def test_what_is_read_is_what_was_inserted(works):
    row = WriteKey.objects.bulk_create(keys(works, 1))[0]
    assert row.pk and not row._state.adding
    stored = WriteKey.objects.get(pk=row.pk)
    for field in WriteKey._meta.concrete_fields:
        assert getattr(stored, field.attname) == getattr(row, field.attname), field.attname


def test_many_go_in_few_statements(works):
    with CaptureQueriesContext(connection) as asked:
        WriteKey.objects.bulk_create(keys(works, MANY))
    assert ours().count() == MANY
    assert len(asked) < MANY / 50


def test_one_that_is_refused_takes_the_others_with_it(works):
    rows = keys(works, MANY)
    rows[-1].key = rows[0].key
    with pytest.raises(IntegrityError), transaction.atomic():
        WriteKey.objects.bulk_create(rows)
    assert not ours().exists()


def test_nothing_of_nothing(works):
    assert WriteKey.objects.bulk_create([]) == []


def test_a_plants_rows_stay_its_own_after_another_plant_was_asked(works):
    story.draw(works, "1240")
    with scope(plant=None):
        assert not Measurement.objects.exists()
    assert Measurement.objects.count() == 1
    other = type(works.plant)(name="Elsewhere")
    with scope(plant=other):
        assert not Measurement.objects.exists()
    assert Measurement.objects.count() == 1
