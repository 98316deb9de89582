"""A backup's one file: a zip of parts, and a manifest that holds the digest of each.

The digests find damage. Who can write the archive can write them anew: only heads of the ledger
that were kept elsewhere tell that.
"""

import hashlib
import json
import os
import re
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO

FORM = "1"
MANIFEST = "manifest.json"
_CHUNK = 1 << 20
# store/... is the store, data/... a file of the data folder; never a way out of either.
_NAME = re.compile(r"(store|data)(/(?!\.\.?(/|$))[^/\\\0]+)+")
# What a file that is no whole zip may raise while it is read.
_UNREADABLE = (
    zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, TypeError,
    NotImplementedError, RuntimeError,
)  # fmt: skip


class ArchiveError(Exception):
    """The file is no backup, or not a whole one; the text says what is wrong."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """One file in the archive."""

    name: str
    size: int
    sha256: str


@dataclass(frozen=True, kw_only=True)
class Manifest:
    """What an archive says of itself. `store` is "sqlite" or "postgresql"."""

    form: str
    version: str
    made_at: str
    store: str
    heads: tuple[str, ...]
    migrations: tuple[str, ...]
    parts: tuple[Part, ...]


@dataclass(frozen=True, kw_only=True)
class About:
    """What is known of an installation before its parts are packed."""

    version: str
    made_at: str
    store: str
    heads: tuple[str, ...]
    migrations: tuple[str, ...]


def pack(target: Path, sources: Mapping[str, Path], about: About) -> Manifest:
    """Write the archive, for its owner's eyes alone; it has its name only once it is whole."""
    unfinished = target.with_name(f".{target.name}.unfinished")
    descriptor = os.open(unfinished, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600)
    try:
        with os.fdopen(descriptor, "w+b") as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
                parts = tuple(_add(archive, name, path) for name, path in sources.items())
                manifest = Manifest(form=FORM, parts=parts, **asdict(about))
                archive.writestr(MANIFEST, json.dumps(asdict(manifest), indent=1))
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(target)
    finally:
        unfinished.unlink(missing_ok=True)
    return manifest


def _add(archive: zipfile.ZipFile, name: str, path: Path) -> Part:
    with path.open("rb") as source, archive.open(name, "w", force_zip64=True) as into:
        size, digest = _copy(source, into)
    return Part(name=name, size=size, sha256=digest)


def _copy(source: IO[bytes], into: IO[bytes]) -> tuple[int, str]:
    """Copy a file; return its size in bytes and its SHA-256."""
    digest, size = hashlib.sha256(), 0
    while chunk := source.read(_CHUNK):
        into.write(chunk)
        digest.update(chunk)
        size += len(chunk)
    return size, digest.hexdigest()


def manifest_of(path: Path) -> Manifest:
    """Return what an archive says of itself; raises ArchiveError."""
    try:
        with zipfile.ZipFile(path) as archive:
            told = json.loads(archive.read(MANIFEST))
            if told["form"] != FORM:
                raise ArchiveError(f"it has the form {told['form']}, which this program can't read")
            parts = tuple(Part(**each) for each in told.pop("parts"))
            told |= {key: tuple(told[key]) for key in ("heads", "migrations")}
            manifest = Manifest(parts=parts, **told)
            _check_names(archive, manifest)
    except _UNREADABLE as error:
        raise ArchiveError("it is no backup of this program, or not a whole one") from error
    return manifest


def _check_names(archive: zipfile.ZipFile, manifest: Manifest) -> None:
    listed = [part.name for part in manifest.parts]
    if sorted([*listed, MANIFEST]) != sorted(archive.namelist()):
        raise ArchiveError("its parts are not those of its manifest")
    for name in listed:
        if not _NAME.fullmatch(name):
            raise ArchiveError(f"a part is named {name!r}, which no backup has")


def unpack(path: Path, folder: Path) -> None:
    """Lay an archive's parts into a folder, each checked by its digest; raises ArchiveError."""
    parts = manifest_of(path).parts
    try:
        with zipfile.ZipFile(path) as archive:
            for part in parts:
                _extract(archive, part, folder / part.name)
    except _UNREADABLE as error:
        raise ArchiveError(f"a part of it can't be read: {error}") from error


def _extract(archive: zipfile.ZipFile, part: Part, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    descriptor = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as into, archive.open(part.name) as source:
        found = _copy(source, into)
        into.flush()
        os.fsync(into.fileno())
    if found != (part.size, part.sha256):
        raise ArchiveError(f"{part.name} is not what was saved")
