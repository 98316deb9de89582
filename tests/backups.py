"""What tests of backups do to archives, and an empty place for a restore."""

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.db import connection


def opened(archive: Path) -> dict[str, bytes]:
    """Return the parts of an archive by name."""
    with zipfile.ZipFile(archive) as parts:
        return {name: parts.read(name) for name in parts.namelist()}


def rewritten(archive: Path, **changed: bytes) -> None:
    """Write an archive anew with other content under some names."""
    content = opened(archive) | changed
    with zipfile.ZipFile(archive, "w") as parts:
        for name, each in content.items():
            parts.writestr(name, each)


@contextmanager
def vacant() -> Iterator[dict[str, str]]:
    """Yield the settings of a store that does not exist yet, of the kind that the tests run on."""
    if connection.vendor != "postgresql":
        yield {}
        return
    at = connection.settings_dict
    name = f"{at['NAME']}_restored"
    who = f"{at['USER']}:{at['PASSWORD']}" if at["PASSWORD"] else at["USER"]
    with connection.cursor() as cursor:
        cursor.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')
        cursor.execute(f'CREATE DATABASE "{name}"')
    try:
        yield {"DATABASE_URL": f"postgresql://{who}@{at['HOST']}:{at['PORT'] or 5432}/{name}"}
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f'DROP DATABASE "{name}" WITH (FORCE)')
