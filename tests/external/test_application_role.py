"""The application's own database role can work, and can't lift what guards the records."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction
from django_scopes import scope

from records import checks, guards
from records.selectors.ledger import mismatches
from tests.records import story

ROLE = "waterside_application"
MODELS = guards.guarded_models()


@contextmanager
def as_role(role: str) -> Iterator[None]:
    with connection.cursor() as cursor:
        cursor.execute(f"SET ROLE {role}")
        yield
        cursor.execute("RESET ROLE")


def refused(sql: str) -> None:
    with (
        pytest.raises(DatabaseError, match=r"permission denied|must be owner"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)


@pytest.fixture
def granted(works, capsys):
    call_command("grant_application_role", ROLE)
    return works


def test_it_can_do_a_whole_shift(granted):
    with as_role(ROLE):
        story.shift(granted)
        assert list(mismatches(granted.plant)) == []


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m._meta.model_name)
def test_it_cannot_touch_what_is_written_once(granted, model):
    table = connection.ops.quote_name(model._meta.db_table)
    trigger = next(iter(guards.triggers(model, "postgresql")))
    with as_role(ROLE):
        refused(f"UPDATE {table} SET plant_id = plant_id")
        refused(f"DELETE FROM {table}")
        refused(f"TRUNCATE {table} CASCADE")
        refused(f'DROP TRIGGER "{trigger}" ON {table}')
        refused(f"ALTER TABLE {table} DISABLE TRIGGER ALL")
        refused(f"ALTER TABLE {table} ADD COLUMN x integer")
        refused(f"DROP TABLE {table} CASCADE")


def test_it_cannot_go_round_the_guards(granted):
    with as_role(ROLE):
        refused("SET session_replication_role = replica")
        refused(
            "CREATE OR REPLACE FUNCTION waterside_refuse_change() RETURNS trigger "
            "LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$"
        )
        refused("DROP FUNCTION waterside_refuse_change() CASCADE")
        refused("CREATE TABLE public.x (y integer)")
        refused("DELETE FROM django_migrations")


def test_the_check_warns_while_the_role_owns_the_tables(granted):
    assert [w.id for w in checks.role_owns_no_table(None, ["default"])] == ["records.W001"]
    with as_role(ROLE):
        assert checks.role_owns_no_table(None, ["default"]) == []


def test_granting_again_changes_nothing(granted):
    call_command("grant_application_role", ROLE)
    with as_role(ROLE), scope(plant=granted.plant):
        story.draw(granted, "1240")


def test_it_refuses_a_role_that_owns_tables(works):
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_user")
        owner = cursor.fetchone()[0]
    with pytest.raises(CommandError, match="superuser or owns"):
        call_command("grant_application_role", owner)
