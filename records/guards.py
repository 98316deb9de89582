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
    columns = {field.name: str(field.column) for field in meta.local_concrete_fields}
    for field in meta.local_concrete_fields:
        if field.unique:
            yield (columns[field.name],)
    for constraint in meta.constraints:
        if isinstance(constraint, models.UniqueConstraint):
            yield tuple(columns[name] for name in constraint.fields)


def _sqlite(model: type[models.Model]) -> dict[str, str]:
    table = model._meta.db_table
    refuse = f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
    # INSERT OR REPLACE fires no DELETE trigger, so it is met before the insert, for every key;
    # SQLite's own row number is one too (it is -1 here where the statement does not give it).
    taken = " OR ".join(
        "EXISTS (SELECT 1 FROM {t} o WHERE {same})".format(
            t=f'"{table}"', same=" AND ".join(f'o."{c}" = NEW."{c}"' for c in columns)
        )
        for columns in (("rowid",), *unique_keys(model))
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
    """Return the names of triggers that should be there and are not, or not as they should be."""
    query = {
        "sqlite": "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": (
            "SELECT t.tgname, pg_get_triggerdef(t.oid) || f.prosrc FROM pg_trigger t "
            "JOIN pg_proc f ON f.oid = t.tgfoid "
            "WHERE NOT t.tgisinternal AND t.tgenabled IN ('O', 'A')"
        ),
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(query)
        present = dict(cursor.fetchall())
    tables = set(connection.introspection.table_names())
    return [
        name
        for model in guarded_models()
        if model._meta.db_table in tables
        for name, definition in triggers(model, connection.vendor).items()
        if not _is_laid(present.get(name, ""), name, definition, connection.vendor)
    ]


def _is_laid(found: str, name: str, definition: str, vendor: str) -> bool:
    """Say whether a trigger stands as it should: by its whole text, and what it calls."""
    if vendor == "sqlite":
        return found == f'CREATE TRIGGER "{name}" {definition}'
    return REFUSAL in found and _PG_FUNCTION in found


def lay_after_migrate(sender: Any, using: str = "default", **options: Any) -> None:
    """Lay the triggers once the tables of `records` are there."""
    from django.db import connections

    connection = connections[using]
    tables = set(connection.introspection.table_names())
    if all(model._meta.db_table in tables for model in guarded_models()):
        lay(connection)
