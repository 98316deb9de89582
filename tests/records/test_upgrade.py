"""Every store of a release is brought up to date by what is now, and says what it said."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from records.demo import company
from tests.kept import FILE, KeptStore, kept_stores, migrations
from tests.served import manage, served

EVERY = pytest.mark.parametrize("kept", kept_stores(), ids=lambda kept: kept.version)
# What a store may have none of: somebody is locked out only after five wrong PINs.
MAY_BE_EMPTY = {"records_pinlock"}


@pytest.fixture
def upgraded(kept: KeptStore, tmp_path: Path) -> Path:
    """The data folder of a kept store after the migrations of now."""
    folder = kept.lay(tmp_path / "data")
    done = manage(folder, "migrate", "--verbosity=0", WATERSIDE_DEMO="1")
    assert not done.returncode, done.stderr
    return folder


def test_a_release_is_kept() -> None:
    assert "0.1.0" in {kept.version for kept in kept_stores()}


@EVERY
def test_it_held_a_row_of_everything(kept: KeptStore) -> None:
    assert {table for table, rows in kept.told()["rows"].items() if not rows} <= MAY_BE_EMPTY


@EVERY
def test_a_migration_that_was_released_is_never_edited(kept: KeptStore) -> None:
    now = migrations()
    released = kept.told()["migrations"]
    assert {name: now.get(name) for name in released} == released


@EVERY
def test_no_row_is_lost(kept: KeptStore, upgraded: Path) -> None:
    with closing(sqlite3.connect(upgraded / FILE)) as store:
        rows = {
            table: store.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            for table in kept.told()["rows"]
        }
    assert rows == kept.told()["rows"]


@EVERY
def test_its_ledger_is_the_same_and_verifies(
    kept: KeptStore, upgraded: Path, tmp_path: Path
) -> None:
    heads = tmp_path / "heads"
    heads.write_text("".join(f"{head}\n" for head in kept.told()["heads"]))
    found = manage(upgraded, "verify_ledger", "--against", str(heads), WATERSIDE_DEMO="1")
    assert not found.returncode, found.stdout + found.stderr
    assert all(head in found.stdout for head in kept.told()["heads"])


@EVERY
def test_every_measurement_comes_out_as_it_is_stored(kept: KeptStore, upgraded: Path) -> None:
    """Old versions of methods stay: what was typed is worked to the very same text."""
    code = "from tests.kept.rework import rework; rework()"
    done = manage(upgraded, "shell", "--no-imports", "-c", code, WATERSIDE_DEMO="1")
    assert not done.returncode, done.stderr
    worked = kept.told()["rows"]["records_measurement"]
    assert done.stdout == f"{worked} measurements worked again\n"


@EVERY
def test_it_is_served_with_its_guards(kept: KeptStore, tmp_path: Path) -> None:
    folder = kept.lay(tmp_path / "data")
    mill = kept.told()["heads"][-1].split()[0]  # they are told by the plants' names
    with served(folder, WATERSIDE_DEMO="1") as server:
        magda = server.visitor()
        signed_in = magda.post("/login", {"username": "magda", "password": company()["password"]})
        assert signed_in.status_code == 302
        pages = [magda.get(f"/plants/{mill}{page}").status_code for page in ("/", "/sheets")]
    assert pages == [200, 200]
    with closing(sqlite3.connect(folder / FILE)) as store, pytest.raises(sqlite3.Error):
        store.execute("UPDATE records_result SET value = '1'")
