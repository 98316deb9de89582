"""pH: its buffers, its basis, what is never corrected, and the budget."""

import math

import numpy as np
import pytest

from chemistry import methods
from chemistry.errors import OutOfValidity
from chemistry.methods.base import InstrumentFacts
from chemistry.ph import LEAST_BUFFER_SPAN, WATER_PH_PER_K, Sensitivity, buffer_ph, phthalate_ph
from tests.chemistry.working import notes, parts, trouble, work
from tests.golden import golden

METHOD = methods.get("ph", "1")
TYPED = {
    "reading": "9.85",
    "temperature": "25.0",
    "buffer_low": "seven",
    "buffer_high": "carbonate",
}
BUFFERS = golden("buffers")


def only(mode="automatic", facts=None, **typed):
    return work(METHOD, mode, facts or InstrumentFacts(), **{**TYPED, **typed})["ph"]


@pytest.mark.parametrize("row", BUFFERS, ids=lambda row: f"{row['buffer']} {row['temp_c']}")
def test_buffers_at_temperature(row):
    """Phthalate: J. Res. NBS 81A:21 (1977), published formula, computed elsewhere. Phosphate and
    borax: JIS Z 8802:2011, published. Each row names its own source and kind."""
    found = buffer_ph(row["buffer"], float(row["temp_c"]))
    assert found == pytest.approx(float(row["ph"]), abs=float(row["within"]))


def test_the_phthalate_formula_takes_a_year_in_one_call():
    """J. Res. NBS 81A:21 (1977), published formula, computed elsewhere: 4.010 and 4.006."""
    assert phthalate_ph(np.array([0.0, 25.0])) == pytest.approx([4.010, 4.006], abs=5e-4)


@pytest.mark.parametrize(
    ("temp_c", "phosphate", "borax"),
    [(5.0, 6.95, 9.395), (15.0, 6.90, 9.275), (27.5, 6.855, 9.16), (55.0, 6.835, 8.985)],
)
def test_between_the_rows_a_buffer_goes_straight(temp_c, phosphate, borax):
    """Half way between rows of JIS Z 8802:2011 (published; weak provenance): rule of our own."""
    assert buffer_ph("phosphate", temp_c) == pytest.approx(phosphate, abs=1e-9)
    assert buffer_ph("borax", temp_c) == pytest.approx(borax, abs=1e-9)


@pytest.mark.parametrize("temp_c", [-0.1, 60.1, math.nan])
def test_no_buffer_outside_its_range(temp_c):
    for buffer in ("phthalate", "borax"):
        with pytest.raises(OutOfValidity):
            buffer_ph(buffer, temp_c)


def test_what_an_alkaline_water_loses_per_degree():
    """pKw 14.165 at 20 °C and 13.833 at 30 °C: IAPWS R11-24 (2024), computed elsewhere."""
    assert pytest.approx((14.165 - 13.833) / 10.0, abs=1e-4) == WATER_PH_PER_K


@pytest.mark.parametrize(
    ("temperature", "basis"),
    [
        ("23", "25C||"),
        ("25", "25C||"),
        ("27", "25C||"),
        ("27.01", "sample||"),
        ("22.99", "sample||"),
        ("27.1", "sample||"),
        ("77 °F", "25C||"),
        ("100 °F", "sample||"),
    ],
)
def test_the_display_is_never_corrected_and_says_at_which_temperature(temperature, basis):
    found = only(temperature=temperature)
    assert (found.value, found.unit, found.basis.text) == (9.85, "pH", basis)
    assert ("not at 25 °C" in notes(found)) is (basis == "sample||")


def test_the_budget_by_hand():
    """JCGM 100:2008, 4.3.7 and 5.1.2. Between 7.00 and 10.01 at 25 °C; defaults: common practice.

    The straight line gives the buffers the weights 0.053 and 0.947.
    """
    found = parts(only())
    root3, share = math.sqrt(3.0), 2.85 / 3.01
    assert found == pytest.approx(
        {
            "lower buffer": 0.02 * (1.0 - share) / root3,
            "higher buffer": 0.02 * share / root3,
            "electrode": 0.05 / root3,
            "repeatability": 0.02,
            "last digit of the reading": 0.005 / root3,
            "thermometer": (2.85 / 298.15 + 0.0332) * 0.5 / root3,
        }
    )


def test_two_degrees_off_25_widen_it():
    found = parts(only(temperature="27"))
    assert found["water not quite at 25 °C"] == pytest.approx(0.0332 * 2.0 / math.sqrt(3.0))
    assert "water not quite at 25 °C" not in parts(only(temperature="28"))
    little = parts(only(temperature="25.1"))["water not quite at 25 °C"]
    assert little == pytest.approx(0.0332 * 0.1 / math.sqrt(3.0))


def test_buffers_that_do_not_bracket_it_are_noted_and_less_sure():
    within = only(reading="10.90", buffer_high="calcium_hydroxide")
    outside = only(reading="10.90")
    assert outside.budget.expanded > within.budget.expanded
    assert parts(outside)["outside the buffers"] == pytest.approx(0.1 * 0.89 / math.sqrt(3.0))
    assert "0.9 pH outside" in notes(outside) and "outside" not in notes(within)
    assert "outside the buffers" in notes(only(reading="10.015"))
    below = only(reading="6.50")
    assert parts(below)["outside the buffers"] == pytest.approx(0.1 * 0.5 / math.sqrt(3.0))


def test_unknown_buffers_are_noted_and_less_sure():
    unknown = only(buffer_low="unknown")
    assert "not known" in notes(unknown)
    assert parts(unknown)["buffers not known"] == pytest.approx(0.2 / math.sqrt(3.0))
    assert unknown.budget.expanded > only().budget.expanded


def test_a_knob_a_little_off_enters_the_budget():
    """An electrode's slope goes with the absolute temperature, about pH 7."""
    found = only("set_on_meter", dial="23.5")
    assert "knob stood 1.5 °C" in notes(found)
    by_hand = 2.85 / 298.15 * 1.5 / math.sqrt(3.0)
    assert parts(found)["temperature set on the meter"] == pytest.approx(by_hand)
    assert "temperature set on the meter" not in parts(only("set_on_meter", dial="25"))


def test_a_known_thermometer_replaces_the_default():
    found = parts(only(facts=InstrumentFacts(thermometer_u_k=0.05)))
    assert found["thermometer"] == pytest.approx((2.85 / 298.15 + 0.0332) * 0.05)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"reading": "19"}, {"reading": "impossible"}),
        ({"reading": "-1"}, {"reading": "impossible"}),
        ({"reading": "abc"}, {"reading": "not_a_number"}),
        ({"reading": "7,1"}, {}),
        ({"reading": "7.1 mg/L"}, {"reading": "wrong_dimension"}),
        ({"reading": "7.1 pH"}, {}),
        ({"temperature": "-5"}, {"temperature": "impossible"}),
        ({"temperature": "61"}, {"temperature": "impossible"}),
        ({"buffer_low": ""}, {"buffer_low": "missing"}),
        ({"buffer_high": "seven"}, {"buffer_high": "one_buffer"}),
        ({"buffer_low": "phosphate", "buffer_high": "seven"}, {"buffer_high": "one_buffer"}),
        ({"buffer_low": "carbonate", "buffer_high": "seven"}, {"buffer_high": "one_buffer"}),
        ({"buffer_low": "borax"}, {}),
        ({"buffer_low": "borax", "temperature": "0"}, {}),  # 0.55 apart, the least that will do
    ],
)
def test_bad_input_stands_beside_its_field(change, expected):
    assert trouble(METHOD, "automatic", **{**TYPED, **change}) == expected


def test_a_knob_far_off_asks_for_a_new_reading():
    assert trouble(METHOD, "set_on_meter", **TYPED, dial="27.1") == {"dial": "dial_differs"}


def test_it_warns_of_a_second_correction_and_of_rubbing():
    said = " ".join(step.text for step in METHOD.steps)
    assert "second time" in said and "Never rub" in said


def test_two_buffers_half_a_ph_apart_give_a_slope():
    """Rule of our own; the pairs that are sold lie 0.55 or more apart, or nearly together."""
    assert LEAST_BUFFER_SPAN == 0.5


def test_what_is_not_known_adds_nothing():
    at = Sensitivity(9.0, 0.005, 25.0, buffers=None)
    assert (at.outside, at.dial_difference_c) == (0.0, 0.0)
