"""Backup on PostgreSQL by its own tools; the drill itself (tests/records) runs there too."""

from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from records.backup.archive import manifest_of
from records.models import Organization
from records.selectors.ledger import heads
from tests import factories
from tests.backups import vacant
from tests.external.test_application_role import ROLE
from tests.served import manage

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_without_its_tools_it_is_told_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, settings: Any, command: str
) -> None:
    archive = tmp_path / "monday.zip"
    factories.plant()
    if command == "restore":
        call_command("backup", str(archive))
        settings.DATA_DIR = tmp_path / "new"
        settings.DATA_DIR.mkdir()
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(CommandError, match="apt install postgresql-client"):
        call_command(command, str(archive))
    assert archive.exists() == (command == "restore")


def test_a_database_that_is_not_empty_is_left_alone(tmp_path: Path) -> None:
    factories.plant()
    call_command("backup", str(tmp_path / "monday.zip"))
    with vacant() as place:
        first = manage(tmp_path / "new", "restore", str(tmp_path / "monday.zip"), **place)
        assert first.returncode == 0, first.stderr
        again = manage(tmp_path / "newer", "restore", str(tmp_path / "monday.zip"), **place)
    assert again.returncode == 1
    assert "is not empty. Make a new one" in again.stderr


def test_who_may_not_change_records_can_save_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The application's own role makes the backup, and the owner of an empty database restores."""
    factories.works()
    call_command("grant_application_role", ROLE)
    monkeypatch.setenv("PGOPTIONS", f"-c role={ROLE}")
    with connection.cursor() as cursor:
        cursor.execute(f"REVOKE SELECT ON records_pin FROM {ROLE}")
    with pytest.raises(CommandError, match="permission denied for table records_pin"):
        call_command("backup", str(tmp_path / "monday.zip"))
    call_command("grant_application_role", ROLE)
    call_command("backup", str(tmp_path / "monday.zip"))
    monkeypatch.delenv("PGOPTIONS")
    assert list(manifest_of(tmp_path / "monday.zip").heads) == [str(head) for head in heads()]
    with vacant() as place:
        done = manage(tmp_path / "new", "restore", str(tmp_path / "monday.zip"), **place)
        assert done.returncode == 0, done.stderr
        granted = manage(tmp_path / "new", "grant_application_role", ROLE, **place)
        assert granted.returncode == 0, granted.stderr
    assert Organization.objects.count() == 1 and connection.vendor == "postgresql"
