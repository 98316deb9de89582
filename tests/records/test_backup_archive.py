"""The archive alone: what it holds is what was put in, and whatever else is refused."""

import json
from pathlib import Path

import pytest

from records.backup.archive import About, ArchiveError, manifest_of, pack, unpack
from tests.backups import opened, rewritten

ABOUT = About(
    version="0.0.1", made_at="2026-03-10T17:00:00+00:00", store="sqlite",
    heads=("a head",), migrations=("0001_first",),
)  # fmt: skip


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    sources = {"store/waterside.sqlite3": b"rows", "data/secret": b"s", "data/a/b.txt": b""}
    for name, content in sources.items():
        (tmp_path / name.replace("/", "-")).write_bytes(content)
    target = tmp_path / "a.zip"
    pack(target, {name: tmp_path / name.replace("/", "-") for name in sources}, ABOUT)
    return target


def test_what_was_packed_comes_out(archive: Path, tmp_path: Path) -> None:
    unpack(archive, tmp_path / "out")
    assert (tmp_path / "out/store/waterside.sqlite3").read_bytes() == b"rows"
    assert (tmp_path / "out/data/a/b.txt").read_bytes() == b""
    manifest = manifest_of(archive)
    assert {key: getattr(manifest, key) for key in vars(ABOUT)} == vars(ABOUT)
    # SHA-256 of "s", by coreutils' sha256sum.
    secret = next(part for part in manifest.parts if part.name == "data/secret")
    assert secret.sha256 == "043a718774c572bd8a25adbeb1bfcd5c0256ae11cecf9f9c3f925d0e52beaf89"


@pytest.mark.parametrize("at", range(30, 700, 67))
def test_no_byte_changes_unseen(archive: Path, tmp_path: Path, at: int) -> None:
    """Either the archive is refused, or what it holds is the same still."""
    content = bytearray(archive.read_bytes())
    before = opened(archive)
    content[at] ^= 0x10
    archive.write_bytes(bytes(content))
    try:
        unpack(archive, tmp_path / "out")
    except ArchiveError:
        return
    out = tmp_path / "out"
    parts = {str(f.relative_to(out)): f.read_bytes() for f in out.rglob("*") if f.is_file()}
    assert parts == {name: each for name, each in before.items() if name != "manifest.json"}


@pytest.mark.parametrize("keep", [0, 10, 100, 500])
def test_an_archive_that_was_cut_is_refused(archive: Path, tmp_path: Path, keep: int) -> None:
    archive.write_bytes(archive.read_bytes()[:keep])
    with pytest.raises(ArchiveError, match="not a whole one"):
        unpack(archive, tmp_path / "out")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("data/secret", b"t", "data/secret is not what was saved"),
        ("data/secret", b"", "data/secret is not what was saved"),
        ("data/more", b"x", "its parts are not those of its manifest"),
        ("manifest.json", b"{}", "no backup of this program"),
        ("manifest.json", b"[]", "no backup of this program"),
        ("manifest.json", b"\xff", "no backup of this program"),
        ("manifest.json", b'{"form": "2"}', "form 2, which this program"),
    ],
)
def test_an_archive_that_was_changed_is_refused(
    archive: Path, tmp_path: Path, name: str, content: bytes, told: str
) -> None:
    rewritten(archive, **{name: content})
    with pytest.raises(ArchiveError, match=told):
        unpack(archive, tmp_path / "out")


@pytest.mark.parametrize(
    "name", ["../out", "data/../../out", "/etc/out", "data/..", "data", "etc/x", "data//x", "a\\b"]
)
def test_a_part_lies_nowhere_but_in_its_folder(archive: Path, tmp_path: Path, name: str) -> None:
    told = json.loads(opened(archive)["manifest.json"])
    told["parts"].append({"name": name, "size": 1, "sha256": "0" * 64})
    rewritten(archive, **{"manifest.json": json.dumps(told).encode(), name: b"x"})
    with pytest.raises(ArchiveError, match="which no backup has"):
        unpack(archive, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_backup_that_fails_leaves_no_file(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        pack(tmp_path / "a.zip", {"data/gone": tmp_path / "gone"}, ABOUT)
    assert list(tmp_path.iterdir()) == []
