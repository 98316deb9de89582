"""Save the whole installation, while it runs, as one file."""

import tempfile
import tomllib
from argparse import ArgumentParser
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from records import clock
from records.backup import archive, stores

# The store goes its own way; a one-time code is good for one start only.
_LEFT_OUT = {"first-start-code", "first-start-code.in-use", "test.sqlite3"}


class Command(BaseCommand):
    help = (
        "Save the store as it stands at one instant, the secret and every other file of the data "
        "folder as one file, while people go on working. `restore` is the way back."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="the archive to be written, such as monday.zip")

    def handle(self, *args: Any, **options: Any) -> None:
        target = Path(options["file"]).resolve()
        _check_target(target)
        try:
            with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
                manifest = _save(target, Path(folder))
        except (stores.StoreError, OSError) as error:
            raise CommandError(f"No backup was made. {error}") from error
        self._tell(target, manifest)

    def _tell(self, target: Path, manifest: archive.Manifest) -> None:
        self.stdout.write(
            f"{settings.DATA_DIR} is saved in {target}, {target.stat().st_size:,} bytes:"
        )
        for part in manifest.parts:
            self.stdout.write(f"  {part.name}, {part.size:,} bytes")
        self.stdout.write("The ledger's heads in it (plant, links, digest):")
        for head in manifest.heads:
            self.stdout.write(f"  {head}")
        self.stdout.write(
            "Write the heads down, and keep them apart from this file: they show whether it was "
            "changed.\nWho has this file can read every record and sign in: lock it away. Try a "
            "restore of it now and then."
        )


def _check_target(target: Path) -> None:
    if target.exists():
        raise CommandError(f"{target} is there already. Give the backup a name of its own.")
    if not target.parent.is_dir():
        raise CommandError(f"There is no folder {target.parent}.")
    if target.is_relative_to(settings.DATA_DIR):
        raise CommandError(
            "That lies in the data folder itself, and would be lost with it. Name a place "
            "elsewhere, best on another machine."
        )


def _save(target: Path, folder: Path) -> archive.Manifest:
    store = connection.vendor
    copy = folder / stores.FILES[store]
    stand = stores.save(connection, copy)
    if not stand.heads:
        raise stores.StoreError(
            f"There is no plant in the store of {settings.DATA_DIR}. Name the right folder in "
            "WATERSIDE_DATA (or the right database in DATABASE_URL)."
        )
    kept = {f"data/{path.relative_to(settings.DATA_DIR)}": path for path in _files()}
    about = archive.About(
        version=_version(),
        made_at=clock.now().isoformat(timespec="seconds"),
        store=store,
        heads=stand.heads,
        migrations=stand.migrations,
    )
    return archive.pack(target, {f"store/{copy.name}": copy, **kept}, about)


def _files() -> Iterator[Path]:
    """Yield the data folder's files, the secret among them, without the store's own."""
    data = Path(settings.DATA_DIR)
    name = Path(connection.settings_dict["NAME"])
    store = {name.with_name(name.name + end) for end in ("", "-wal", "-shm", "-journal")}
    for path in sorted(data.rglob("*")):
        inside = path.relative_to(data)
        hidden = any(part.startswith(".") for part in inside.parts)
        if path.is_file() and not hidden and path not in store and str(inside) not in _LEFT_OUT:
            yield path


def _version() -> str:
    project = tomllib.loads((settings.BASE_DIR / "pyproject.toml").read_text("utf-8"))
    return str(project["project"]["version"])
