"""The stores of releases, kept as they were: what comes later must bring each of them up to date.

`python -m tests.kept VERSION` keeps a store of what is now, once, when it is released: fourteen
days of the demo's mill, and a small shift that leaves a row in every table.
"""

import hashlib
import json
import lzma
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
STORES = ROOT / "tests" / "golden" / "stores"
FILE = "waterside.sqlite3"


@dataclass(frozen=True)
class KeptStore:
    """A release's store, by its version, and what was told of it when it was kept."""

    version: str

    @property
    def _told(self) -> Path:
        return STORES / f"{self.version}.json"

    @property
    def _packed(self) -> Path:
        return STORES / f"{self.version}.sqlite3.xz"

    def told(self) -> dict[str, Any]:
        """Return the heads of its ledgers, its rows by table, its migrations with their digests."""
        found: dict[str, Any] = json.loads(self._told.read_text())
        return found

    def lay(self, folder: Path) -> Path:
        """Lay the store into a data folder, as an installation would have it."""
        folder.mkdir()
        (folder / FILE).write_bytes(lzma.decompress(self._packed.read_bytes()))
        return folder

    def keep(self, store: Path, told: dict[str, Any]) -> None:
        """Keep a store; one that is there is never written over. Errors: FileExistsError."""
        with self._packed.open("xb") as packed:
            packed.write(lzma.compress(store.read_bytes(), preset=9 | lzma.PRESET_EXTREME))
        self._told.write_text(json.dumps(told, indent=1, sort_keys=True) + "\n")


def kept_stores() -> list[KeptStore]:
    return [KeptStore(path.stem) for path in sorted(STORES.glob("*.json"))]


def migrations() -> dict[str, str]:
    """Return the digest of each migration file of our own, by its name."""
    folder = ROOT / "records" / "migrations"
    return {
        path.stem: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.glob("0*.py"))
    }
