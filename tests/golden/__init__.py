"""Tables of check values; every row names its source and kind."""

import csv
from pathlib import Path

HERE = Path(__file__).parent


def golden(name: str) -> list[dict[str, str]]:
    """Return the rows of one table; each must name its source and its kind."""
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows, name
    assert all(row["source"] and row["kind"] for row in rows), name
    return rows
