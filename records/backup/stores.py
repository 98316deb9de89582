"""The store as one file and back: SQLite by its online backup, PostgreSQL by its own tools."""

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.postgresql.client import DatabaseClient

from records import canonical
from records.models import LedgerHead, Plant
from records.selectors.ledger import Head

FILES = {"sqlite": "waterside.sqlite3", "postgresql": "waterside.dump"}
"""The name of the store's file in an archive, by the kind of store."""

_HEADS = f"""
    SELECT p.id, coalesce(h.sequence, 0), coalesce(h.digest, '{canonical.ORIGIN}')
    FROM {Plant._meta.db_table} p LEFT JOIN {LedgerHead._meta.db_table} h ON h.plant_id = p.id
    ORDER BY p.id
"""
_MIGRATIONS = "SELECT name FROM django_migrations WHERE app = 'records' ORDER BY name"


class StoreError(Exception):
    """The store can't be saved or laid in; the text says why and what helps."""


@dataclass(frozen=True, kw_only=True)
class Stand:
    """How a saved store stands: its ledger's heads, and the migrations it went through."""

    heads: tuple[str, ...]
    migrations: tuple[str, ...]


def save(connection: BaseDatabaseWrapper, target: Path) -> Stand:
    """Write the store as it stands at one instant into a file, while others go on working."""
    if connection.vendor == "postgresql":
        return _save_postgresql(connection, target)
    return _save_sqlite(Path(connection.settings_dict["NAME"]), target)


def _stand(rows: Callable[[str], Sequence[Any]]) -> Stand:
    heads = [
        Head(plant=str(UUID(str(plant))), sequence=sequence, digest=digest)
        for plant, sequence, digest in rows(_HEADS)
    ]
    return Stand(
        heads=tuple(map(str, heads)), migrations=tuple(name for (name,) in rows(_MIGRATIONS))
    )


def _save_sqlite(source: Path, target: Path) -> Stand:
    if not source.exists():
        raise StoreError(f"There is no store at {source} to be saved.")
    try:
        with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copy:
            live.backup(copy)
            copy.execute("PRAGMA journal_mode=DELETE")  # one file, nothing beside it
            trouble = copy.execute("PRAGMA integrity_check(1)").fetchone()[0]
            if trouble != "ok":
                raise StoreError(
                    f"The store itself is damaged ({trouble}) and was not saved. Keep its folder "
                    "as it is, and restore the last good backup elsewhere."
                )
            return _stand(lambda sql: copy.execute(sql).fetchall())
    except sqlite3.Error as error:
        raise StoreError(f"The store could not be read: {error}.") from error


def _save_postgresql(connection: BaseDatabaseWrapper, target: Path) -> Stand:
    """Let pg_dump see the very instant at which the heads are read."""
    tool = _tool("pg_dump")
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        cursor.execute("SELECT pg_export_snapshot()")
        snapshot = cursor.fetchone()[0]

        def rows(sql: str) -> Sequence[Any]:
            cursor.execute(sql)
            found: Sequence[Any] = cursor.fetchall()
            return found

        stand = _stand(rows)
        _run(connection, tool, f"--snapshot={snapshot}", "--format=custom", f"--file={target}")
    return stand


def check_vacant(connection: BaseDatabaseWrapper) -> None:
    """Raise StoreError where a restore would meet a store that is there already."""
    if connection.vendor == "postgresql":
        _tool("pg_restore")
        if connection.introspection.table_names():
            raise StoreError(
                "The database that DATABASE_URL names is not empty. Make a new one, and name that."
            )
        return
    name = Path(connection.settings_dict["NAME"])
    for path in (name, *(name.with_name(name.name + end) for end in ("-wal", "-shm"))):
        if path.exists():
            raise StoreError(
                f"There is a store at {path} already. Name a new, empty folder in WATERSIDE_DATA."
            )


def lay_in(connection: BaseDatabaseWrapper, source: Path) -> None:
    """Put a saved store where the program looks for it. On PostgreSQL it is all or nothing."""
    if connection.vendor == "postgresql":
        tool = _tool("pg_restore")
        _run(
            connection, tool, "--no-owner", "--no-privileges", "--single-transaction",
            "--exit-on-error", "--dbname", source=source,
        )  # fmt: skip
        return
    shutil.move(source, connection.settings_dict["NAME"])


def _tool(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        raise StoreError(
            f"{name} is needed for a PostgreSQL store and is not on this machine. Install "
            "PostgreSQL's client programs, of the server's version or newer (Debian: apt install "
            "postgresql-client), and try again."
        )
    return found


def _run(
    connection: BaseDatabaseWrapper, tool: str, *parameters: str, source: Path | None = None
) -> None:
    """Run one of PostgreSQL's tools with the application's own way into the database."""
    (_psql, *args), env = DatabaseClient.settings_to_cmd_args_env(
        connection.settings_dict, ["--no-password", *parameters]
    )
    command = [tool, *args, *([str(source)] if source else [])]
    done = subprocess.run(
        command, env={**os.environ, **(env or {})}, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise StoreError(f"{Path(tool).name} refused: {done.stderr.strip()}")
