"""The limit sets that come with the program, by key."""

from pathlib import Path

from chemistry.limit_sets import load

FOLDER = Path(__file__).parents[2] / "fixtures" / "limits"
SETS = {path.stem: load(path) for path in sorted(FOLDER.glob("*.toml"))}
