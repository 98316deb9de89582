"""Give the application a database role that owns nothing, so that it can't lift the guards."""

from argparse import ArgumentParser
from typing import Any

from django.apps import apps
from django.core.management.base import BaseCommand, CommandError
from django.db import connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from records.guards import guarded_models


class Command(BaseCommand):
    help = (
        "On PostgreSQL, as the owner of the tables: grant a role what the application needs and no "
        "more. Append-only tables can be read and inserted into. Run it again after each migrate."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("role", help="name of the role; it is created where it is not there")
        parser.add_argument("--database", default="default")

    def handle(self, *args: Any, **options: Any) -> None:
        connection = connections[options["database"]]
        if connection.vendor != "postgresql":
            raise CommandError("Roles belong to PostgreSQL; this store is another kind.")
        role = options["role"]
        with transaction.atomic(using=options["database"]):
            self._create(connection, role)
            self._grant(connection, role)
        self.stdout.write(f"{role} may work and owns nothing. Set its password and sign in as it.")

    def _create(self, connection: BaseDatabaseWrapper, role: str) -> None:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT rolsuper, (SELECT count(*) FROM pg_class WHERE relowner = r.oid) "
                "FROM pg_roles r WHERE rolname = %s",
                [role],
            )
            found = cursor.fetchone()
            if found is None:
                quoted = connection.ops.quote_name(role)
                cursor.execute(f"CREATE ROLE {quoted} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE")
            elif found[0] or found[1]:
                raise CommandError(f"{role} is a superuser or owns tables; take another role.")

    def _grant(self, connection: BaseDatabaseWrapper, role: str) -> None:
        quote = connection.ops.quote_name
        name, schema = quote(role), "public"
        guarded = {model._meta.db_table for model in guarded_models()}
        known = {model._meta.db_table for model in apps.get_models(include_auto_created=True)} | {
            "django_migrations"
        }
        tables = known & set(connection.introspection.table_names())
        with connection.cursor() as cursor:
            cursor.execute(f"REVOKE ALL ON ALL TABLES IN SCHEMA {schema} FROM {name}")
            cursor.execute(f"REVOKE CREATE ON SCHEMA {schema} FROM PUBLIC, {name}")
            cursor.execute(f"GRANT USAGE ON SCHEMA {schema} TO {name}")
            cursor.execute(f"GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA {schema} TO {name}")
            for table in sorted(tables):
                rights = _rights(table, guarded)
                cursor.execute(f"GRANT {rights} ON {quote(table)} TO {name}")


def _rights(table: str, guarded: set[str]) -> str:
    if table == "django_migrations":
        return "SELECT"
    return "SELECT, INSERT" if table in guarded else "SELECT, INSERT, UPDATE, DELETE"
