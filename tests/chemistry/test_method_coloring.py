"""What the color tests share, tried on phosphate and silica."""

import math

import pytest

from chemistry import methods
from chemistry.methods.base import InstrumentFacts
from tests.chemistry.workings import parts_of, trouble, work

PHOSPHATE = methods.get("phosphate", "1")
IRON = methods.get("iron", "1")


def test_a_photometer_result_after_jcgm_100():
    """By hand from JCGM 100:2008, 5.1.2 and 4.3.7, with the stated defaults: 40.2 mg/L shown to
    0.1, diluted 2 times."""
    found = work(PHOSPHATE, "photometer", reading="40.2", dilution="2")
    root3 = math.sqrt(3.0)
    by_hand = {
        "photometer": 80.4 * 0.05 / root3,  # 2.321
        "photometer near zero": 2.0 * 0.5 / root3,  # 0.577
        "last digit of the reading": 2.0 * 0.05 / root3,  # 0.058
        "repeatability": 80.4 * 0.02,  # 1.608
        "dilution": 80.4 * 0.01 / root3,  # 0.464
    }
    assert found.value == pytest.approx(80.4)
    assert parts_of(found) == pytest.approx(by_hand)
    # squares by hand: 5.387 + 0.333 + 0.003 + 2.586 + 0.215 = 8.524
    assert found.budget.combined == pytest.approx(math.sqrt(8.524), abs=5e-3)
    assert (found.value_text, found.expanded_text) == ("80.4", "5.8")
    assert found.budget.u_random == pytest.approx(math.hypot(1.608, 0.058), abs=1e-3)


def test_a_comparator_is_half_a_step_sure():
    """By hand: 40 beside 60 lies within 30 to 50; half a step is 10 (JCGM 100:2008, 4.3.7)."""
    found = work(PHOSPHATE, "comparator", standard="40", next_standard="60")
    assert parts_of(found)["half a step between standards"] == pytest.approx(10.0 / math.sqrt(3.0))
    assert parts_of(found)["standard"] == pytest.approx(2.0 / math.sqrt(3.0))
    assert found.value == 40.0
    # half a step does not average out over repeats by the same eye
    assert found.budget.u_systematic > 5.0 > found.budget.u_random


def test_between_two_standards_the_middle_is_taken():
    found = work(PHOSPHATE, "comparator_between", lower="40", upper="60")
    assert found.value == 50.0
    assert parts_of(found)["half a step between standards"] == pytest.approx(10.0 / math.sqrt(3.0))


def test_an_absorbance_result_by_hand():
    found = work(PHOSPHATE, "absorbance", absorbance="0.423", blank="0.012", factor="95", path="20")
    assert found.value == pytest.approx(39.045 / 2.0)
    zero = 95.0 / 2.0 * 0.005 / math.sqrt(3.0)
    parts = parts_of(found)
    assert (parts["absorbance"], parts["blank"]) == pytest.approx((zero, zero))
    assert parts["factor"] == pytest.approx(39.045 / 2.0 * 0.05 / math.sqrt(3.0))
    half_digit = 95.0 / 2.0 * 0.0005 / math.sqrt(3.0)
    assert parts["last digit of the reading"] == pytest.approx(half_digit)


def test_the_makers_figure_replaces_the_default():
    better = InstrumentFacts(accuracy_percent=1.0)
    found = work(PHOSPHATE, "photometer", better, reading="40.0")
    assert parts_of(found)["photometer"] == pytest.approx(0.4 / math.sqrt(3.0))
    factor = work(PHOSPHATE, "absorbance", better, absorbance="0.5", factor="80")
    assert parts_of(factor)["factor"] == pytest.approx(0.4 / math.sqrt(3.0))


def test_what_the_scale_shows_is_converted_only_when_said():
    """PO4 is 3.066 times P: 94.971 / 30.974 (IUPAC atomic weights)."""
    assert work(PHOSPHATE, "photometer", reading="10").value == 10.0
    found = work(PHOSPHATE, "photometer", reading="10", shown_as="P")
    assert found.value == pytest.approx(30.662, abs=1e-3)
    assert found.basis.text == "any||PO4"
    assert found.basis.words() == ["as PO4"]


@pytest.mark.parametrize("unit", ["ppm", "mg/L", "PPM"])
def test_ppm_on_a_bench_scale_is_mg_per_liter(unit):
    """Common practice, no source: a color test measures out a volume."""
    assert work(PHOSPHATE, "photometer", reading=f"40.2 {unit}").value == pytest.approx(40.2)
    assert trouble(PHOSPHATE, "photometer", reading="40.2 mg/kg") == {"reading": "wrong_dimension"}


@pytest.mark.parametrize(
    ("mode", "typed", "qualifier", "value"),
    [
        ("photometer", {"scale": "above", "range_high": "50"}, ">", 50.0),
        ("photometer", {"scale": "below", "range_low": "2", "dilution": "3"}, "<", 6.0),
        ("photometer", {"reading": "50.1", "range_high": "50", "dilution": "2"}, ">", 100.0),
        ("photometer", {"reading": "50.0", "range_high": "50"}, "", 50.0),
        ("photometer", {"reading": "1.9", "range_low": "2"}, "<", 2.0),
        ("photometer", {"reading": "2.0", "range_low": "2"}, "", 2.0),
        ("photometer", {"scale": "below", "range_low": "0.005"}, "<", 0.005),
        ("comparator", {"scale": "above", "standard": "100"}, ">", 100.0),
        ("comparator", {"scale": "below", "standard": "5"}, "<", 5.0),
        ("absorbance", {"absorbance": "1.501", "factor": "50"}, ">", 75.0),
        ("absorbance", {"absorbance": "1.500", "factor": "50"}, "", 75.0),
        ("absorbance", {"scale": "above", "factor": "50", "highest": "0.8"}, ">", 40.0),
        ("absorbance", {"scale": "below", "factor": "50"}, "<", 0.5),
        ("absorbance", {"absorbance": "0.009", "factor": "50"}, "<", 0.5),
        ("absorbance", {"absorbance": "0.010", "blank": "0.020", "factor": "50"}, "<", 0.5),
    ],
)
def test_off_the_scale_gives_a_bound_and_a_note(mode, typed, qualifier, value):
    found = work(PHOSPHATE, mode, **typed)
    assert (found.qualifier, found.value) == (qualifier, pytest.approx(value))
    notes = " ".join(template for template, _ in found.notes)
    assert ("dilute" in notes) is (qualifier == ">")
    assert ("less than this" in notes) is (qualifier == "<")


@pytest.mark.parametrize(
    ("mode", "typed", "where", "code"),
    [
        ("photometer", {}, "reading", "missing"),
        ("photometer", {"scale": "above"}, "range_high", "missing"),
        ("photometer", {"scale": "below"}, "range_low", "missing"),
        ("photometer", {"scale": "below", "range_low": "0"}, "range_low", "no_bound"),
        (
            "photometer",
            {"reading": "5", "range_low": "50", "range_high": "50"},
            "range_high",
            "range_crossed",
        ),
        ("photometer", {"reading": "blue"}, "reading", "not_a_number"),
        ("photometer", {"reading": "-1"}, "reading", "impossible"),
        ("photometer", {"reading": "1001"}, "reading", "impossible"),
        ("photometer", {"reading": "5 °C"}, "reading", "wrong_dimension"),
        ("photometer", {"reading": "5", "dilution": "0.5"}, "dilution", "impossible"),
        ("photometer", {"reading": "5", "dilution": "40 ppm"}, "dilution", "wrong_dimension"),
        ("photometer", {"reading": "5", "scale": "maybe"}, "scale", "not_a_choice"),
        ("photometer", {"reading": "5", "shown_as": "N"}, "shown_as", "not_a_choice"),
        ("comparator", {"standard": "40"}, "next_standard", "missing"),
        (
            "comparator",
            {"standard": "40", "next_standard": "40.0"},
            "next_standard",
            "equal_standards",
        ),
        ("comparator", {"scale": "below", "standard": "0"}, "standard", "no_bound"),
        ("comparator_between", {"lower": "40", "upper": "40"}, "upper", "upper_below_lower"),
        ("comparator_between", {"lower": "40"}, "upper", "missing"),
        ("absorbance", {"factor": "50"}, "absorbance", "missing"),
        ("absorbance", {"absorbance": "0.5"}, "factor", "missing"),
        ("absorbance", {"absorbance": "2.1", "factor": "50"}, "absorbance", "impossible"),
        ("absorbance", {"absorbance": "1", "factor": "50", "path": "0"}, "path", "impossible"),
        (
            "absorbance",
            {"scale": "above", "factor": "50", "blank": "1.5", "highest": "1.5"},
            "blank",
            "no_bound",
        ),
    ],
)
def test_bad_input_stands_beside_its_field(mode, typed, where, code):
    assert trouble(PHOSPHATE, mode, **typed) == {where: code}


def test_units_selected_on_the_sheet_are_converted():
    found = work(PHOSPHATE, "photometer", units={"reading": "ug/L"}, reading="40200")
    assert found.value == pytest.approx(40.2)
    path = work(PHOSPHATE, "absorbance", absorbance="0.5", factor="80", path="5 cm")
    assert path.value == pytest.approx(8.0)


@pytest.mark.parametrize("typed", ({"scale": "above"}, {"scale": "below"}))
def test_an_off_scale_bound_is_not_called_a_reading(typed):
    shown = {"range_low": "2", "range_high": "50", "reading": "12.3"}
    beyond = parts_of(work(PHOSPHATE, "comparator", **typed, standard="40"))
    assert "standard" in beyond and "half a step between standards" not in beyond
    for found in (
        work(PHOSPHATE, "photometer", **typed, **shown),
        work(PHOSPHATE, "absorbance", **typed, absorbance="0.423", factor="50"),
    ):
        assert found.qualifier and "last digit of the reading" not in parts_of(found)


@pytest.mark.parametrize(("dilution", "made"), [("1", False), ("1.005", True)])
def test_only_a_dilution_that_was_made_adds_to_the_budget(dilution, made):
    found = work(PHOSPHATE, "photometer", reading="40.2", dilution=dilution)
    assert ("dilution" in parts_of(found)) is made


def test_a_trace_keeps_its_whole_budget():
    """By hand, stated defaults, JCGM 100:2008, 4.3.7: 0.010 mg/L of iron; none of its small parts
    is dropped."""
    found = parts_of(work(IRON, "photometer", reading="0.010", prepared="digested"))
    root3 = math.sqrt(3.0)
    assert found == pytest.approx(
        {
            "photometer": 0.010 * 0.05 / root3,
            "photometer near zero": 0.005 / root3,
            "last digit of the reading": 0.0005 / root3,
            "repeatability": 0.010 * 0.02,
        }
    )
