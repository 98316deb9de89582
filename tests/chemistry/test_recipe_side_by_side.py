"""Thermometers, gauges and analyzers beside a reference: deviations, their kind, their budgets."""

import math

import pytest

from chemistry import recipes
from chemistry.methods.base import InstrumentFacts
from chemistry.recipes.base import EffectKind
from chemistry.recipes.tolerance import Acceptance, Tolerance
from chemistry.standards import Standard
from tests.chemistry.checking import check, parts, said, trouble

THERMOMETER, GAUGE = recipes.get("thermometer", "1"), recipes.get("pressure_gauge", "1")
BY_REFERENCE = {"reference": Standard(0.1, "K", 0.05, steady=True)}
BY_GAUGE = {"reference": Standard(0.0, "kPag", 2.0, steady=True)}


def thermometer(standards=BY_REFERENCE, **typed):
    return check(THERMOMETER, standards, **typed)


def test_the_certificates_correction_is_added_to_the_reference():
    """By hand: the reference shows 25.0 and is 0.1 too low."""
    seen = thermometer(reading="25.4", reference="25.0")
    assert seen.figures[0].value == pytest.approx(0.3) and seen.figures[0].unit == "K"
    assert seen.levels == pytest.approx((25.1,)) and seen.level_unit == "degC"
    assert (seen.effect.kind, seen.effect.size) == (EffectKind.OFFSET, pytest.approx(0.3))


def test_fahrenheit_is_read_as_what_it_is():
    """77 °F is 25 °C and 1 °F is 5/9 K; the last digit follows."""
    seen = thermometer(reading="77.9 °F", reference="77.0 °F")
    assert seen.figures[0].value == pytest.approx(0.5 - 0.1)
    last = parts(seen.figures[0])["last digit of the reading"]
    assert last == pytest.approx(0.1 * 5.0 / 9.0 / 2.0 / math.sqrt(3.0))


@pytest.mark.parametrize(
    ("reading", "acceptance"),
    [("25.60", "accepted"), ("25.61", "not_accepted"), ("24.59", "not_accepted")],
)
def test_a_thermometer_may_be_off_by_half_a_degree(reading, acceptance):
    """What the bench tests take it to be right within: common practice, no source."""
    assert thermometer(reading=reading, reference="25.00").acceptance == acceptance


def test_melting_ice_stands_at_zero():
    """ASTM E563, from memory."""
    seen = thermometer({}, against="ice", reading="-0.2")
    assert seen.figures[0].value == pytest.approx(-0.2) and seen.levels == (0.0,)
    assert parts(seen.figures[0])["standard"] == 0.02
    assert "last digit of the reference" not in parts(seen.figures[0])


def test_the_budget_beside_a_reference_by_hand():
    """0.05 K of the certificate, half a digit of both, ± 0.05 K for the beaker: common practice."""
    found = parts(thermometer(reading="25.4", reference="25.00").figures[0])
    root3 = math.sqrt(3.0)
    assert found == pytest.approx(
        {
            "standard": 0.05,
            "last digit of the reading": 0.05 / root3,
            "last digit of the reference": 0.005 / root3,
            "not quite at one place": 0.05 / root3,
        }
    )


def test_points_that_agree_make_an_offset_and_others_nothing_plain():
    alike = thermometer(reading="25.5", reference="25.0", reading_2="40.5", reference_2="40.0")
    assert alike.effect.kind is EffectKind.OFFSET and alike.effect.size == pytest.approx(0.4)
    apart = thermometer(reading="25.1", reference="25.0", reading_2="41.1", reference_2="40.0")
    assert apart.effect.kind is EffectKind.NOT_PLAIN  # no scale of °C begins at a true zero
    assert apart.acceptance is Acceptance.NOT_ACCEPTED and "second point" in said(apart)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ({"reading": "25"}, {"reference": "missing"}),
        ({"reading": ""}, {"reading": "missing"}),
        ({"reading": "251", "reference": "25"}, {"reading": "impossible"}),
        ({"reading": "-21", "reference": "25"}, {"reading": "impossible"}),
        ({"reading": "25", "reference": "warm"}, {"reference": "not_a_number"}),
        ({"reading": "25", "reference": "25", "reading_2": "40"}, {"reference_2": "missing"}),
        ({"reading": "25", "reference": "25", "reference_2": "40"}, {"reading_2": "missing"}),
        (
            {"reading": "25", "reference": "25", "reading_2": "25.2", "reference_2": "25.0"},
            {"reference_2": "not_twice"},
        ),
        ({"against": "ice", "reading": "0", "reference": "0"}, {"reference": "one_ice"}),
        ({"against": "ice", "reading": "0", "reading_2": "1"}, {"reading_2": "one_ice"}),
        ({"against": "steam", "reading": "0"}, {"against": "not_a_choice"}),
    ],
)
def test_bad_input_stands_beside_its_field(typed, expected):
    assert trouble(THERMOMETER, BY_REFERENCE, **typed) == expected


def test_a_reference_must_be_named_and_its_correction_in_kelvin():
    typed = {"reading": "25", "reference": "25"}
    assert trouble(THERMOMETER, {}, **typed) == {"reference": "standard_needed"}
    in_celsius = {"reference": Standard(0.1, "degC", 0.05, steady=True)}
    assert trouble(THERMOMETER, in_celsius, **typed) == {"reference": "wrong_dimension"}


def gauge(**typed):
    return check(GAUGE, BY_GAUGE, **{"full_scale": "2000 kPag", **typed})


@pytest.mark.parametrize(
    ("reading", "acceptance"),
    [("1020", "accepted"), ("1021", "not_accepted"), ("979", "not_accepted")],
)
def test_a_gauge_may_be_off_by_one_percent_of_its_scale(reading, acceptance):
    """ASME B40.100 (2013), grade 1A, from memory: ± 20 of 2000 kPa."""
    assert gauge(reading=f"{reading} kPag", reference="1000 kPag").acceptance == acceptance


def test_a_gauge_whose_error_grows_with_the_pressure_is_off_by_a_factor():
    seen = gauge(
        reading="520 kPag", reference="500 kPag", reading_2="1560 kPag", reference_2="1500 kPag"
    )
    assert seen.effect.kind is EffectKind.FACTOR and seen.effect.size == pytest.approx(1.04)
    # the less sure of both, as a share of its own pressure
    assert seen.effect.u == pytest.approx(seen.figures[0].budget.combined / 500.0)


def test_a_gauge_near_nothing_may_still_be_off_by_a_factor():
    seen = gauge(
        reading="0.0052 kPag", reference="0.005 kPag", reading_2="520 kPag", reference_2="500 kPag"
    )
    assert seen.effect.kind is EffectKind.FACTOR
    nothing = gauge(
        reading="0 kPag", reference="0 kPag", reading_2="520 kPag", reference_2="500 kPag"
    )
    assert nothing.effect.kind is EffectKind.NOT_PLAIN


def test_a_gauge_that_sits_too_high_by_one_amount_has_an_offset():
    seen = gauge(
        reading="530 kPag", reference="500 kPag", reading_2="1530 kPag", reference_2="1500 kPag"
    )
    assert (seen.effect.kind, seen.effect.unit) == (EffectKind.OFFSET, "kPag")
    assert seen.effect.size == pytest.approx(30.0)


def test_the_budget_of_a_gauge_by_hand():
    """± 0.1 % of the pressure for the line: common practice."""
    found = parts(gauge(reading="1000 kPag", reference="1000 kPag").figures[0])
    assert found["not quite at one place"] == pytest.approx(1.0 / math.sqrt(3.0))
    assert found["standard"] == 2.0


def test_a_gauge_needs_its_scale():
    typed = {"reading": "10 barg", "reference": "10 barg"}
    assert trouble(GAUGE, BY_GAUGE, **typed) == {"full_scale": "missing"}
    assert trouble(GAUGE, BY_GAUGE, **typed, full_scale="0.01 barg") == {"full_scale": "impossible"}
    assert trouble(GAUGE, BY_GAUGE, **typed, full_scale="10 mL") == {
        "full_scale": "wrong_dimension"
    }


def analyzer(key, grab, unit, u, facts=None, **typed):
    standards = {"grab": Standard(grab, unit, u, steady=True)}
    return check(recipes.get(key, "1"), standards, **{"steady": "yes", **typed})


def test_the_score_of_an_analyzer_by_hand():
    """ISO/IEC 17043:2010, B.3.1.3 (from memory): the difference over both expanded uncertainties.
    5.60 less 5.20; 3 % of 5.60 and 2 % of 5.20 as limits, 0.1 of the grab sample, half a digit."""
    seen = analyzer("analyzer_conductivity", 5.20, "uS/cm", 0.1, reading="5.60")
    root3 = math.sqrt(3.0)
    u = math.hypot(0.168 / root3, 0.1, 0.104 / root3, 0.005 / root3)
    assert seen.figure("en_score").value == pytest.approx(0.40 / (2.0 * u))
    assert seen.figure("en_score").value_text == f"{0.40 / (2.0 * u):.2f}"
    assert parts(seen.figures[0]) == pytest.approx(
        {
            "grab sample": 0.1,
            "last digit of the reading": 0.005 / root3,
            "the water moving between the two": 0.104 / root3,
        }
    )
    assert (seen.effect.kind, seen.effect.size) == (EffectKind.FACTOR, pytest.approx(5.6 / 5.2))


def test_two_values_that_are_both_sure_and_apart_disagree():
    """Within ± 10 %, but by more than both can explain."""
    seen = analyzer("analyzer_conductivity", 100.0, "uS/cm", 0.3, reading="107.0", limits="1")
    assert seen.figure("deviation").acceptance is Acceptance.ACCEPTED
    assert seen.figure("en_score").acceptance is Acceptance.NOT_ACCEPTED
    assert seen.acceptance is Acceptance.NOT_ACCEPTED
    assert "outside -1 to 1." in said(seen)


@pytest.mark.parametrize(
    ("key", "grab", "unit", "u", "inside", "outside"),
    [
        ("analyzer_conductivity", 100.0, "uS/cm", 2.0, "109.9", "110.1"),
        ("analyzer_ph", 9.00, "pH", 0.05, "9.20", "9.21"),
        ("analyzer_trace", 10.0, "ug/L", 0.8, "11.9", "12.1"),
        ("analyzer_trace", 0.010, "mg/L", 0.0008, "11.9", "12.1"),
    ],
)
def test_how_far_an_analyzer_may_lie_from_its_grab_sample(key, grab, unit, u, inside, outside):
    """± 10 %, ± 0.2 pH, ± 20 %: common practice, no source."""
    near, far = (analyzer(key, grab, unit, u, reading=each) for each in (inside, outside))
    assert near.figure("deviation").acceptance is Acceptance.ACCEPTED
    assert far.figure("deviation").acceptance is Acceptance.NOT_ACCEPTED


def test_a_ph_analyzer_is_off_by_an_offset():
    seen = analyzer("analyzer_ph", 9.00, "pH", 0.05, reading="9.30")
    assert (seen.effect.kind, seen.effect.unit) == (EffectKind.OFFSET, "pH")
    assert seen.effect.size == pytest.approx(0.30)
    moving = parts(seen.figures[0])["the water moving between the two"]
    assert moving == pytest.approx(0.05 / math.sqrt(3.0))
    u = math.hypot(0.1 / math.sqrt(3.0), seen.figures[0].budget.combined)
    assert seen.figure("en_score").value == pytest.approx(0.30 / (2.0 * u))


def test_moving_water_tells_nothing():
    seen = analyzer("analyzer_ph", 9.00, "pH", 0.05, reading="9.00", steady="no")
    assert seen.acceptance is Acceptance.UNCERTAIN and "moving" in said(seen)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ({"reading": "9.0"}, {"steady": "missing"}),
        ({"reading": "14.1", "steady": "yes"}, {"reading": "impossible"}),
        ({"reading": "9.0", "steady": "perhaps"}, {"steady": "not_a_choice"}),
        ({"reading": "9.0", "steady": "yes", "limits": "3"}, {"limits": "impossible"}),
        ({"reading": "9.0", "steady": "yes", "limits": "0"}, {"limits": "impossible"}),
    ],
)
def test_bad_input_of_an_analyzer_stands_beside_its_field(typed, expected):
    grab = {"grab": Standard(9.0, "pH", 0.05, steady=True)}
    assert trouble(recipes.get("analyzer_ph", "1"), grab, **typed) == expected


def test_a_chemist_may_set_another_tolerance():
    narrow = {"deviation": Tolerance("deviation", "limit", -0.2, 0.2, "K")}
    seen = check(
        THERMOMETER,
        BY_REFERENCE,
        narrow,
        facts=InstrumentFacts(),
        reading="25.4",
        reference="25.00",
        reading_2="40.4",
        reference_2="40.00",
    )
    assert [each.acceptance for each in seen.figures] == [Acceptance.NOT_ACCEPTED] * 2
