"""Every basis on which a limit may be set is one that a bench test gives, and none is missing."""

from chemistry import methods
from chemistry.analytes import ANALYTES
from chemistry.bases import BASES
from chemistry.errors import EntryError
from chemistry.methods.base import InstrumentFacts
from tests.golden import golden

# Worked from a choice and one figure; their golden rows are laid out by themselves.
_NO_FIGURE = {"gauge_glass", "low_water_cutoff"}
_APART = {"bottom_blow_time", "safety_valve_pressure"}


def worked_bases() -> set[tuple[str, str]]:
    """Work every golden row again, rule of our own; returns analyte and basis of each result."""
    found = set()
    for key, version in methods.METHODS:
        if key in _NO_FIGURE:
            continue
        method = methods.get(key, version)
        for row in golden(f"method_{key}_{version}"):
            asked = {field.key for field in method.mode(row["mode"]).fields}
            typed = {name: text for name, text in row.items() if name in asked and text}
            entry = method.read(row["mode"], typed, {})
            try:
                results = method.work(row["mode"], entry, InstrumentFacts())
            except EntryError:
                continue
            found |= {(each.analyte, each.basis.text) for each in results}
    return found


def test_the_table_holds_just_what_the_bench_tests_give():
    worked = worked_bases()
    told = {(analyte, basis.text) for analyte, bases in BASES.items() for basis in bases}
    assert set(BASES) == set(ANALYTES) and len(worked) > 40
    assert worked <= told
    assert {analyte for analyte, _ in told - worked} <= _APART
