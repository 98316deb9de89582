"""Triggers that refuse to change append-only rows, whoever asks, in whatever SQL.

They are laid by post_migrate (SQLite drops a table's triggers when a migration rebuilds it) and
asserted by a system check. A database owner can still drop them: on PostgreSQL the application's
role should own nothing (see DEVELOPERS.md), and the ledger tells what was changed behind them.
"""

from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

from records.models.base import AppendOnly

REFUSAL = "append-only: this row can be corrected by a new row, not changed"
_PG_FUNCTION = "waterside_refuse_change"


def guarded_models() -> list[type[AppendOnly]]:
    """Return the append-only models of this project."""
    found = apps.get_app_config("records").get_models()
    return [model for model in found if issubclass(model, AppendOnly)]


def unique_keys(model: type[models.Model]) -> Iterator[tuple[str, ...]]:
    """Yield the columns of each key by which REPLACE could displace a row."""
    meta = model._meta
    yield (meta.pk.column,)
    for field in meta.local_concrete_fields:
        if field.unique and not field.primary_key:
            yield (field.column,)
    for constraint in meta.constraints:
        if isinstance(constraint, models.UniqueConstraint):
            yield tuple(meta.get_field(name).column for name in constraint.fields)


def _sqlite(model: type[models.Model]) -> dict[str, str]:
    table = model._meta.db_table
    refuse = f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
    # INSERT OR REPLACE fires no DELETE trigger, so it is met before the insert, for every key.
    taken = " OR ".join(
        "EXISTS (SELECT 1 FROM {t} o WHERE {same})".format(
            t=f'"{table}"', same=" AND ".join(f'o."{c}" = NEW."{c}"' for c in columns)
        )
        for columns in unique_keys(model)
    )
    return {
        f"{table}_no_update": f'BEFORE UPDATE ON "{table}" FOR EACH ROW {refuse}',
        f"{table}_no_delete": f'BEFORE DELETE ON "{table}" FOR EACH ROW {refuse}',
        f"{table}_no_replace": f'BEFORE INSERT ON "{table}" FOR EACH ROW WHEN {taken} {refuse}',
    }


def _postgresql(model: type[models.Model]) -> dict[str, str]:
    table = model._meta.db_table
    call = f"EXECUTE FUNCTION {_PG_FUNCTION}()"
    return {
        f"{table}_no_change": f'BEFORE UPDATE OR DELETE ON "{table}" FOR EACH ROW {call}',
        f"{table}_no_truncate": f'BEFORE TRUNCATE ON "{table}" FOR EACH STATEMENT {call}',
    }


def triggers(model: type[models.Model], vendor: str) -> dict[str, str]:
    """Return name -> definition of the triggers that guard a model's table."""
    return {"sqlite": _sqlite, "postgresql": _postgresql}[vendor](model)


def _drop(model: type[models.Model], name: str, vendor: str) -> str:
    suffix = f' ON "{model._meta.db_table}"' if vendor == "postgresql" else ""
    return f'DROP TRIGGER IF EXISTS "{name}"{suffix}'


def lift(connection: BaseDatabaseWrapper) -> None:
    """Take the triggers away: for tests and for a database owner's repair, never at run time."""
    with connection.cursor() as cursor:
        for model in guarded_models():
            for name in triggers(model, connection.vendor):
                cursor.execute(_drop(model, name, connection.vendor))


def lay(connection: BaseDatabaseWrapper) -> None:
    """Lay every trigger anew."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {_PG_FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS "
                f"$$ BEGIN RAISE EXCEPTION '{REFUSAL}' "
                "USING ERRCODE = 'integrity_constraint_violation'; END $$"
            )
    lift(connection)
    with connection.cursor() as cursor:
        for model in guarded_models():
            for name, definition in triggers(model, connection.vendor).items():
                cursor.execute(f'CREATE TRIGGER "{name}" {definition}')


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """Return the names of triggers that should be there and are not."""
    query = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled <> 'D'",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(query)
        present = {row[0] for row in cursor.fetchall()}
    tables = set(connection.introspection.table_names())
    return [
        name
        for model in guarded_models()
        if model._meta.db_table in tables
        for name in triggers(model, connection.vendor)
        if name not in present
    ]


def lay_after_migrate(sender: Any, using: str = "default", **options: Any) -> None:
    """Lay the triggers once the tables of `records` are there."""
    from django.db import connections

    connection = connections[using]
    tables = set(connection.introspection.table_names())
    if all(model._meta.db_table in tables for model in guarded_models()):
        lay(connection)
