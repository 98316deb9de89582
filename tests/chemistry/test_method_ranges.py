"""What is possible in every field that asks for a number or for words: none of it may move unseen.

The ranges are rules of our own unless the method names a source beside them.
"""

import pytest

from chemistry import methods
from tests.golden import golden

ROWS = golden("method_ranges")
COLUMNS = ("low", "high", "unit", "units", "default", "longest", "decimals")


def plain(number: float | None) -> str:
    return "" if number is None else f"{number:.10g}"


@pytest.mark.parametrize(
    "row", ROWS, ids=[f"{row['method']}, {row['mode']}: {row['field']}" for row in ROWS]
)
def test_what_is_possible_stays_the_same_in_version_1(row):
    """Pinned: the range of each field, its units, its default and what a dial shows of it."""
    fields = methods.get(row["method"], "1").mode(row["mode"]).fields
    field = next(each for each in fields if each.key == row["field"])
    assert {name: row[name] for name in COLUMNS} == {
        "low": plain(field.low),
        "high": plain(field.high),
        "unit": field.unit,
        "units": " ".join(field.units),
        "default": field.default,
        "longest": str(field.longest),
        "decimals": plain(field.decimals),
    }


def test_every_range_is_pinned():
    found = {(row["method"], row["mode"], row["field"]) for row in ROWS}
    assert found == {
        (method.key, mode.key, field.key)
        for method in methods.METHODS.values()
        if method.version == "1"
        for mode in method.modes
        for field in mode.fields
        if not field.choices
    }
