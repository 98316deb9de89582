"""Every color test, drawing, plant reading and boiler check: pinned, arbitrary text, help."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry import methods
from chemistry.analytes import ANALYTES
from chemistry.checks import CHECKS
from tests.chemistry.workings import check_arbitrary, check_pinned, check_pinned_outcome, pinned

COLORS = ("phosphate", "silica", "iron", "hydrazine", "scavenger", "oxygen")
PLANT = (
    "steam_flow",
    "feed_meter",
    "makeup_meter",
    "condensate_return",
    "drum_pressure",
    "deaerator",
    "blowdown_valve",
    "pump_stroke",
    "tank_level",
    "softener_throughput",
)
CHECKED = ("low_water_cutoff", "gauge_glass", "bottom_blow", "safety_valve", "appearance")
NUMBERS = (*COLORS, *PLANT, "drawing")
KEYS = (*NUMBERS, *CHECKED)
ROWS = [(key, row) for key in NUMBERS for row in pinned(key)]
METHODS = {key: methods.get(key, "1") for key in KEYS}
MODES = [(key, mode.key) for key, method in METHODS.items() for mode in method.modes]
LIKELY = [
    "0",
    "1",
    "12",
    "25.0",
    "40.2",
    "1e-3",
    "80 F",
    "yes",
    "no",
    "on",
    "above",
    "below",
    "ppm",
]


@pytest.mark.parametrize(("key", "row"), ROWS, ids=lambda part: str(part)[:40])
def test_version_1_gives_the_same_text_for_ever(key, row):
    """Pinned: computed by version 1 itself."""
    check_pinned(key, row)


def test_every_mode_has_a_pinned_row():
    wanted = {(key, mode) for key, mode in MODES if key in NUMBERS}
    assert {(key, row["mode"]) for key, row in ROWS} == wanted


@pytest.mark.parametrize("key", CHECKED)
def test_a_check_gives_the_same_outcome_for_ever(key):
    """Pinned: concluded by version 1 itself."""
    rows = pinned(key)
    for row in rows:
        check_pinned_outcome(key, row)
    assert {row["mode"] for row in rows} == {mode.key for mode in METHODS[key].modes}


@given(st.data())
def test_arbitrary_text_is_worked_or_refused(data):
    key, mode = data.draw(st.sampled_from(MODES))
    fields = METHODS[key].mode(mode).fields
    choices = [choice for field in fields for choice, _ in field.choices]
    texts = st.text(max_size=30) | st.sampled_from([*LIKELY, *choices])
    typed = {field.key: data.draw(texts) for field in fields if data.draw(st.booleans())}
    units = data.draw(
        st.dictionaries(st.sampled_from([f.key for f in fields]), st.text(max_size=8))
    )
    check_arbitrary(METHODS[key], mode, typed, units)


@pytest.mark.parametrize("key", KEYS)
def test_it_says_what_a_tester_needs(key):
    method = METHODS[key]
    assert method.source and method.purpose and method.steps and method.modes
    assert set(method.analytes) <= set(ANALYTES) and set(method.checks) <= set(CHECKS)
    assert method.analytes or method.checks
    for mode in method.modes:
        assert mode.help and len({field.key for field in mode.fields}) == len(mode.fields)
        for field in mode.fields:
            assert field.help and field.label
            assert [bool(field.unit), bool(field.choices), bool(field.longest)].count(True) == 1
            assert field.unit in field.units or not field.unit
            assert len(field.key) <= 40 and all(len(unit) <= 16 for unit in field.units)


def test_how_much_sample_each_takes():
    """Common practice, no source; plant readings and boiler checks take none."""
    takes = {"phosphate": 50.0, "silica": 50.0, "iron": 100.0, "hydrazine": 50.0}
    takes |= {"scavenger": 50.0, "oxygen": 500.0, "appearance": 100.0}
    assert {key: METHODS[key].sample_ml for key in KEYS} == dict.fromkeys(KEYS, 0.0) | takes
