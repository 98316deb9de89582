"""Drawing the sample: refusals, notes, how much and in which order."""

import math

import pytest

from chemistry import methods
from chemistry.methods.drawing import in_bench_order, sample_needed_ml
from tests.chemistry.workings import parts_of, trouble, work

DRAWING = methods.get("drawing", "1")
GOOD = {"cooler": "on", "temperature": "25.0", "from_bottom": "yes"}


def notes(**typed) -> str:
    return " ".join(template % params for template, params in work(DRAWING, **typed).notes)


def test_it_yields_the_temperature():
    found = work(DRAWING, "minutes", flush_time="5", **{**GOOD, "temperature": "77 F"})
    assert (found.analyte, found.value, found.unit) == ("sample_temperature", 25.0, "degC")
    assert parts_of(found)["thermometer"] == pytest.approx(0.5 / math.sqrt(3.0))
    assert found.notes == ()


@pytest.mark.parametrize(("temperature", "noted"), [("38.0", False), ("38.1", True), ("60", True)])
def test_a_warm_sample_is_cautioned(temperature, noted):
    """Common practice, no source: at most 38 °C."""
    assert ("can scald" in notes(mode="running", **{**GOOD, "temperature": temperature})) is noted


@pytest.mark.parametrize(
    ("mode", "typed", "where", "code"),
    [
        ("running", {**GOOD, "temperature": "60.1"}, "temperature", "impossible"),
        ("running", {**GOOD, "temperature": "-5"}, "temperature", "impossible"),
        ("running", {**GOOD, "cooler": "off"}, "cooler", "cooler_off"),
        ("running", {**GOOD, "cooler": ""}, "cooler", "missing"),
        ("running", {**GOOD, "from_bottom": "perhaps"}, "from_bottom", "not_a_choice"),
        ("minutes", GOOD, "flush_time", "missing"),
        ("minutes", {**GOOD, "flush_time": "0"}, "flush_time", "impossible"),
        ("liters", {**GOOD, "flush_volume": "0"}, "flush_volume", "impossible"),
        ("liters", {**GOOD, "flush_volume": "5 min"}, "flush_volume", "wrong_dimension"),
        ("running", {**GOOD, "drawn": "0"}, "drawn", "impossible"),
    ],
)
def test_bad_input_stands_beside_its_field(mode, typed, where, code):
    assert trouble(DRAWING, mode, **typed) == {where: code}


def test_a_bottle_filled_from_the_top_is_told():
    assert "air has got in" in notes(mode="running", **{**GOOD, "from_bottom": "no"})


@pytest.mark.parametrize(("drawn", "told"), [("1 L", False), ("999", True), ("", False)])
def test_too_little_is_told(drawn, told):
    said = notes(mode="running", drawn=drawn, due="1000", **GOOD)
    assert ("Draw more" in said) is told


def test_how_much_ten_tests_need():
    """Common practice, no source: ten tests need about 1 L, conductivity at least 200 mL."""
    due = [methods.get(key, "1") for key in ("conductivity", "phosphate", "silica")]
    assert sample_needed_ml(due) == pytest.approx(1.2 * (200.0 + 50.0 + 50.0))
    assert sample_needed_ml([]) == 0.0


def test_what_air_spoils_is_tested_first():
    due = ["conductivity", "ph", "chloride", "sulfite", "oxygen", "drawing"]
    assert in_bench_order(due) == ["drawing", "oxygen", "sulfite", "ph", "conductivity", "chloride"]
    assert in_bench_order(["b", "a"]) == ["b", "a"]


def test_cautions_stand_among_the_steps():
    said = " ".join(step.text for step in DRAWING.steps if step.caution)
    assert "scald" in said and "cooling water first" in said
