"""Backup and restore: the drill with a whole shift, and what either of the two refuses."""

import json
import stat
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from uuid import UUID

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction
from django.urls import reverse
from django_scopes import scope

from records.backup.archive import manifest_of
from records.models import Organization, Plant
from records.selectors.ledger import heads
from tests import factories
from tests.backups import opened, rewritten, vacant
from tests.dashboards.conftest import COOKIE, at_desk, enroll
from tests.dashboards.page import Page
from tests.records import story
from tests.served import manage, served

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def plant(transactional_db: None, at_noon: None) -> Plant:
    return factories.plant()


@pytest.fixture
def shift(transactional_db: None, at_noon: None) -> SimpleNamespace:
    """A plant with a whole shift that was really committed."""
    works = factories.works()
    with scope(plant=works.plant):
        works.__dict__.update(story.shift(works).__dict__)
    return works


@pytest.fixture
def real_hashes(settings: Any) -> None:
    """Passwords as an installation keeps them: the cheap hashes of the tests open nothing there."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]


@pytest.fixture
def upload(settings: Any) -> Iterator[Path]:
    """A file that somebody put into the data folder, in a folder of its own."""
    path = Path(settings.DATA_DIR) / "uploads" / "plate of boiler 1.txt"
    path.parent.mkdir()
    path.write_text("540 psig, invented")
    yield path
    path.unlink()
    path.parent.rmdir()


def backup(folder: Path) -> Path:
    target = folder / "monday.zip"
    call_command("backup", str(target))
    return target


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_restore_drill(
    real_hashes: None, shift: SimpleNamespace, upload: Path, tmp_path: Path
) -> None:
    """What was signed stands, passwords open, and terminals and sessions of before go on."""
    token = enroll(shift)
    session = at_desk(shift.people["chemist"]).cookies["sessionid"].value
    kept = heads()
    archive = backup(tmp_path)
    new = tmp_path / "new"
    with vacant() as place:
        restored = manage(new, "restore", str(archive), **place)
        assert restored.returncode == 0, restored.stderr
        assert "Look at People and Terminals first" in restored.stdout
        verified = manage(new, "verify_ledger", **place)
        assert verified.returncode == 0
        assert [str(head) in verified.stdout for head in kept] == [True]
        assert (new / "uploads" / upload.name).read_text() == upload.read_text()
        assert stat.S_IMODE((new / "secret").stat().st_mode) == 0o600
        assert manage(new, "check", "--database", "default", **place).returncode == 0
        with served(new, **place) as server:
            desk = reverse("plant", args=[shift.plant.pk])
            sam = server.visitor()
            typed = {"username": shift.people["supervisor"].username}
            assert sam.post("/login", {**typed, "password": "not hers"}).status_code == 422
            assert sam.post("/login", {**typed, "password": factories.PASSWORD}).status_code == 302
            assert sam.get(desk).status_code == 200
            assert server.visitor(sessionid=session).get(desk).status_code == 200
            assert server.visitor(sessionid="another").get(desk).status_code == 302
            bench = server.visitor(**{COOKIE: token}).get("/terminal")
            assert "Tess Tanner" in Page(bench).words  # type: ignore[arg-type]


def test_an_archive_that_was_made_over_is_found_by_its_heads(
    shift: SimpleNamespace, tmp_path: Path
) -> None:
    archive = backup(tmp_path)
    told = json.loads(opened(archive)["manifest.json"])
    told["heads"] = [told["heads"][0][:-1] + ("0" if told["heads"][0][-1] != "0" else "1")]
    rewritten(archive, **{"manifest.json": json.dumps(told).encode()})
    with vacant() as place:
        done = manage(tmp_path / "new", "restore", str(archive), **place)
    assert done.returncode == 1
    assert "heads are not those that were saved" in done.stderr


def test_a_damaged_archive_leaves_the_folder_empty(plant: Plant, tmp_path: Path) -> None:
    archive = backup(tmp_path)
    name = next(each for each in opened(archive) if each.startswith("store/"))
    rewritten(archive, **{name: opened(archive)[name] + b"more"})
    with vacant() as place:
        done = manage(tmp_path / "new", "restore", str(archive), **place)
    assert done.returncode == 1
    assert f"Nothing was restored. {archive}: {name} is not what was saved" in done.stderr
    assert names_in(tmp_path / "new") == ["secret"]


OTHER = {"sqlite": "postgresql", "postgresql": "sqlite"}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda told: told["migrations"].append("9999_of_later"), "made by a newer Waterside"),
        (lambda told: told.update(store=OTHER[told["store"]]), "and DATABASE_URL names"),
        (lambda told: told.update(store="clay"), "holds another store"),
    ],
)
def test_an_archive_of_another_program_is_refused(
    plant: Plant, tmp_path: Path, change: Any, told: str
) -> None:
    archive = backup(tmp_path)
    manifest = json.loads(opened(archive)["manifest.json"])
    change(manifest)
    rewritten(archive, **{"manifest.json": json.dumps(manifest).encode()})
    with pytest.raises(CommandError, match=told):
        call_command("restore", str(archive))


def test_a_restore_never_writes_over_what_is_there(
    plant: Plant, tmp_path: Path, settings: Any
) -> None:
    archive = backup(tmp_path)
    used = tmp_path / "used"
    used.mkdir()
    settings.DATA_DIR = used
    with pytest.raises(CommandError, match=r"There is a store|is not empty"):
        call_command("restore", str(archive))  # the store of the tests is there
    (used / "notes.txt").write_text("mine")
    with pytest.raises(CommandError, match=r"is not empty: notes\.txt"):
        call_command("restore", str(archive))
    assert names_in(used) == ["notes.txt"]


@pytest.mark.parametrize(
    ("where", "told"),
    [
        ("taken.zip", "there already"),
        ("nowhere/a.zip", "There is no folder"),
        ("data/a.zip", "the data folder itself"),
    ],
)
def test_a_backup_refuses_a_place_that_is_none(
    plant: Plant, tmp_path: Path, settings: Any, where: str, told: str
) -> None:
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()
    (tmp_path / "taken.zip").write_text("last week's")
    with pytest.raises(CommandError, match=told):
        call_command("backup", str(tmp_path / where))
    assert (tmp_path / "taken.zip").read_text() == "last week's"
    assert names_in(tmp_path) == ["data", "taken.zip"]


def test_a_store_without_a_plant_is_not_worth_a_backup(
    transactional_db: None, tmp_path: Path
) -> None:
    """As from the wrong data folder: it must not pass for a backup of the right one."""
    with pytest.raises(CommandError, match=r"There is no plant .* WATERSIDE_DATA"):
        backup(tmp_path)
    assert names_in(tmp_path) == []


def test_a_backup_is_for_its_owner_alone_and_leaves_nothing_beside_it(
    plant: Plant, tmp_path: Path
) -> None:
    archive = backup(tmp_path)
    assert stat.S_IMODE(archive.stat().st_mode) == 0o600
    assert names_in(tmp_path) == [archive.name]


def test_a_backup_saves_one_instant_while_somebody_writes(plant: Plant, tmp_path: Path) -> None:
    """Neither waits for the other, and what is not committed is not in it."""
    written, saved = threading.Event(), threading.Event()

    def write() -> UUID:
        try:
            with transaction.atomic():
                key = Organization.objects.create(name="Half-written").pk
                written.set()
                assert saved.wait(60)
            return key
        finally:
            connection.close()

    with ThreadPoolExecutor(1) as pool:
        writing = pool.submit(write)
        assert written.wait(60)
        archive = backup(tmp_path)
        saved.set()
        assert writing.result(60)
    with vacant() as place:
        assert manage(tmp_path / "new", "restore", str(archive), **place).returncode == 0
        asked = "from records.models import Organization as O; print(O.objects.values_list('name'))"
        found = manage(tmp_path / "new", "shell", "-v", "0", "-c", asked, **place)
    assert "Invented Mills" in found.stdout and "Half-written" not in found.stdout
    assert [head.split()[:2] for head in manifest_of(archive).heads] == [[str(plant.pk), "0"]]
