"""The triggers are there, are what they should be, and a lost one is seen and laid again."""

import pytest
from django.core.management import call_command
from django.db import DatabaseError, IntegrityError, connection, transaction
from django_scopes import scope

from records import checks, guards
from records.models import Measurement
from tests.records import story

MODELS = guards.guarded_models()


@pytest.fixture
def measured(works) -> Measurement:
    return story.draw(works, "1240").measurements.get()


def test_it_refuses_a_forged_instance(measured):
    row = measured
    forged = Measurement(**{f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields})
    with pytest.raises(IntegrityError), transaction.atomic():
        forged.save()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Measurement._base_manager.filter(pk=row.pk).update(mode="x")


def test_the_check_finds_a_lost_trigger_and_migrate_lays_it_again(works):
    assert checks.append_only_is_guarded(None, ["default"]) == []
    model = Measurement
    name = next(iter(guards.triggers(model, connection.vendor)))
    with connection.cursor() as cursor:
        cursor.execute(guards._drop(model, name, connection.vendor))
    assert guards.missing(connection) == [name]
    found = checks.append_only_is_guarded(None, ["default"])
    assert [message.id for message in found] == ["records.E001"]
    call_command("migrate", verbosity=0)
    assert guards.missing(connection) == []


def test_the_check_finds_a_trigger_that_was_made_harmless(works):
    table, vendor = Measurement._meta.db_table, connection.vendor
    with connection.cursor() as cursor:
        if vendor == "sqlite":
            cursor.execute(f'DROP TRIGGER "{table}_no_update"')
            cursor.execute(
                f'CREATE TRIGGER "{table}_no_update" BEFORE UPDATE ON "{table}" BEGIN SELECT 1; END'
            )
            assert guards.missing(connection) == [f"{table}_no_update"]
            return
        cursor.execute(
            "CREATE OR REPLACE FUNCTION waterside_refuse_change() RETURNS trigger "
            "LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$"
        )
    assert len(guards.missing(connection)) == 2 * len(MODELS)


def test_a_guard_stands_whatever_plant_is_in_scope(measured):
    with scope(plant=None), pytest.raises(TypeError):
        Measurement.objects.update(mode="x")
