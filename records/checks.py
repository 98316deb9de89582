"""System checks: what must hold before this installation may keep records."""

from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Error, Warning
from django.db import connections

from records import guards


def append_only_is_guarded(
    app_configs: Any, databases: Sequence[str] | None = None, **options: Any
) -> list[CheckMessage]:
    """Every append-only table that exists has its triggers."""
    found: list[CheckMessage] = []
    for alias in databases or ():
        lost = guards.missing(connections[alias])
        if lost:
            found.append(
                Error(
                    f"Append-only tables are unguarded: {', '.join(lost[:5])}",
                    hint="Run `python manage.py migrate`, which lays the triggers anew.",
                    id="records.E001",
                )
            )
    return found


def role_owns_no_table(
    app_configs: Any, databases: Sequence[str] | None = None, **options: Any
) -> list[CheckMessage]:
    """On PostgreSQL the application's role should not own the tables that it must not change."""
    found: list[CheckMessage] = []
    for alias in databases or ():
        if connections[alias].vendor != "postgresql":
            continue
        with connections[alias].cursor() as cursor:
            cursor.execute(
                "SELECT count(*) FROM pg_tables WHERE tablename LIKE 'records_%' "
                "AND pg_has_role(current_user, tableowner, 'member')"
            )
            owned = cursor.fetchone()[0]
        if owned:
            found.append(
                Warning(
                    "The application's database role owns its tables and could drop their guards.",
                    hint="Migrate as an owner, then run `manage.py grant_application_role`.",
                    id="records.W001",
                )
            )
    return found
