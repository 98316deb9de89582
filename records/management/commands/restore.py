"""Make an installation anew from a backup, in an empty place, and verify what came of it."""

import tempfile
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from records import guards
from records.backup import archive, stores
from records.selectors.ledger import heads

_KINDS = {"sqlite": "an SQLite", "postgresql": "a PostgreSQL"}
# Every start writes one; without a store it opens nothing, and the archive's takes its place.
_SECRET = "secret"


class Command(BaseCommand):
    help = (
        "Lay a backup into an empty data folder (and, on PostgreSQL, an empty database), bring it "
        "up to date, and verify its ledger. Nothing that is there already is ever written over."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="the archive that `backup` wrote")

    def handle(self, *args: Any, **options: Any) -> None:
        source = Path(options["file"])
        try:
            manifest = archive.manifest_of(source)
            _check_fits(manifest)
            _check_vacant()
            _lay(source, manifest)
        except archive.ArchiveError as error:
            raise CommandError(f"Nothing was restored. {source}: {error}.") from error
        except (stores.StoreError, OSError) as error:
            raise CommandError(f"Nothing was restored. {error}") from error
        self._tell_restored(manifest)
        self._bring_up_to_date()
        self._verify(manifest)

    def _tell_restored(self, manifest: archive.Manifest) -> None:
        self.stdout.write(f"The backup of {manifest.made_at} lies in {settings.DATA_DIR}:")
        for part in manifest.parts:
            self.stdout.write(f"  {part.name}, its digest is right")

    def _bring_up_to_date(self) -> None:
        call_command("migrate", verbosity=0)
        if guards.missing(connection):
            guards.lay(connection)
        self.stdout.write("Its tables are up to date, and what is written once is guarded.")

    def _verify(self, manifest: archive.Manifest) -> None:
        try:
            call_command("verify_ledger", stdout=self.stdout)
        except CommandError as error:
            raise CommandError(
                f"It was restored as it was saved, but: {error} Don't work with it before it is "
                "known why.",
                returncode=1,
            ) from error
        if sorted(map(str, heads())) != sorted(manifest.heads):
            raise CommandError("The ledger's heads are not those that were saved.", returncode=1)
        self.stdout.write(
            "The ledger matches what is stored, and its heads are those that were saved. Compare "
            "them with the ones that you wrote down.\n"
            "Accounts, PINs and terminals are as they were then: who left since, or a terminal "
            "that was revoked since, is let in again. Look at People and Terminals first."
        )


def _check_fits(manifest: archive.Manifest) -> None:
    if manifest.store != connection.vendor:
        raise stores.StoreError(
            f"The backup holds {_KINDS.get(manifest.store, 'another')} store, and DATABASE_URL "
            f"names {_KINDS[connection.vendor]} one."
        )
    known = {name for app, name in MigrationLoader(None).disk_migrations if app == "records"}
    if set(manifest.migrations) - known:
        raise stores.StoreError(
            f"The backup was made by a newer Waterside ({manifest.version}). Install that one."
        )
    names = {part.name for part in manifest.parts}
    if f"store/{stores.FILES[connection.vendor]}" not in names:
        raise archive.ArchiveError("it holds no store")
    if f"data/{Path(connection.settings_dict['NAME']).name}" in names:
        raise archive.ArchiveError("it holds two stores")


def _check_vacant() -> None:
    there = sorted(path.name for path in settings.DATA_DIR.iterdir() if path.name != _SECRET)
    if there:
        raise stores.StoreError(
            f"{settings.DATA_DIR} is not empty: {', '.join(there[:5])}. Name a new folder in "
            "WATERSIDE_DATA."
        )
    stores.check_vacant(connection)


def _lay(source: Path, manifest: archive.Manifest) -> None:
    """Unpack and check everything beside its place first; then it only has to be moved."""
    data = Path(settings.DATA_DIR)
    with tempfile.TemporaryDirectory(dir=data, prefix=".restoring-") as folder:
        archive.unpack(source, Path(folder))
        stores.lay_in(connection, Path(folder) / "store" / stores.FILES[manifest.store])
        for path in sorted((Path(folder) / "data").glob("*")):
            path.replace(data / path.name)
