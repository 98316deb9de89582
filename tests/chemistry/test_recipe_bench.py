"""Burettes, balances and photometers: published factors, budgets by hand, bad input."""

import math

import pytest

from chemistry import recipes
from chemistry.methods.base import InstrumentFacts
from chemistry.recipes.base import EffectKind
from chemistry.recipes.burette import ISO_385_ML, z_ml_per_g
from chemistry.recipes.tolerance import Acceptance
from chemistry.standards import Standard
from chemistry.water import density_kg_m3
from tests.chemistry.checking import check, parts, said, trouble

BURETTE, BALANCE = recipes.get("burette", "1"), recipes.get("balance", "1")
PHOTOMETER, FILTERS = recipes.get("photometer", "1"), recipes.get("photometer_filters", "1")
FULL = {"capacity": "50", "class": "a", "volume": "50.00", "temperature": "20"}


def burette(**typed):
    return check(BURETTE, {}, **{**FULL, **typed})


@pytest.mark.parametrize(
    ("temp_c", "z"),
    [(15.0, 1.0020), (20.0, 1.0029), (22.0, 1.0033), (25.0, 1.0040), (30.0, 1.0054)],
)
def test_the_factors_of_iso_8655_6(temp_c, z):
    """ISO 8655-6 (2002), table A.1 at 101.3 kPa, from memory: of water and buoyancy alone."""
    assert z_ml_per_g(float(density_kg_m3(temp_c)), 1.2, 0.0) == pytest.approx(z, abs=6e-5)


def test_the_factor_from_published_densities():
    """Tanaka (2001, published): 998.2071 and 997.0479 kg/m³; by hand (1 - 0.00015)/(w - a)."""
    assert z_ml_per_g(998.2071, 1.2, 0.0) == pytest.approx(0.99985 / 0.9970071, rel=1e-12)
    warm = z_ml_per_g(997.0479, 1.2, 9.9e-6 * 5.0)
    assert warm == pytest.approx(0.99985 / 0.9958479 * (1.0 - 4.95e-5), rel=1e-12)


def test_a_burette_that_delivers_what_it_shows():
    seen = burette(mass="49.858")
    assert seen.figures[0].value == pytest.approx(0.0, abs=1e-3)
    assert seen.figure("z").value_text.startswith("1.002")
    assert seen.effect.kind is EffectKind.FACTOR and seen.effect.size == pytest.approx(
        1.0, abs=1e-4
    )
    assert seen.levels == (50.0,) and said(seen) == ""


@pytest.mark.parametrize(
    ("kind", "capacity", "limit"),
    [(kind, size, limit) for kind, row in ISO_385_ML.items() for size, limit in row.items()],
)
def test_the_class_limits_go_into_the_tolerance(kind, capacity, limit):
    text = f"{capacity:g}"
    seen = burette(**{"capacity": text, "class": kind, "volume": text, "mass": f"{capacity:.3f}"})
    assert (seen.figures[0].low, seen.figures[0].high) == (-limit, limit)


def test_the_class_limits_of_iso_385_typed_a_second_time():
    """ISO 385:2005, limits of error in mL, from memory."""
    assert list(ISO_385_ML["a"].values()) == [0.006, 0.01, 0.01, 0.02, 0.03, 0.05, 0.1]
    assert list(ISO_385_ML["b"].values()) == [0.01, 0.02, 0.02, 0.05, 0.05, 0.1, 0.2]
    assert all(list(row) == [1.0, 2.0, 5.0, 10.0, 25.0, 50.0, 100.0] for row in ISO_385_ML.values())


def test_a_burette_that_delivers_too_little_shows_too_much():
    """By hand: 49.700 g at 20 °C are 49.842 mL, so 50.00 shows 0.158 mL too much."""
    seen = burette(mass="49.700")
    assert seen.figures[0].value == pytest.approx(50.0 - 49.700 * 1.002852, abs=2e-4)
    assert seen.acceptance is Acceptance.NOT_ACCEPTED
    assert seen.effect.size == pytest.approx(50.0 / (49.700 * 1.002852), abs=1e-5)


def test_a_syringe_without_a_class_may_be_off_by_one_percent():
    """Common practice, no source: ± 0.5 of 50 mL."""
    for mass, acceptance in (("49.40", "accepted"), ("49.33", "not_accepted")):
        seen = burette(**{"class": "none", "mass": mass})
        assert (seen.acceptance, seen.figures[0].high) == (acceptance, 0.5)


def test_warm_plastic_widens():
    """ISO/TR 20461:2000 (from memory): 240e-6 per K, over 10 K 2.4 per thousand."""
    glass, plastic = (
        burette(temperature="30", mass="49.6", glass=each).figure("z").value
        for each in ("borosilicate", "plastic")
    )
    soda = burette(temperature="30", mass="49.6", glass="soda_lime").figure("z").value
    bare = z_ml_per_g(float(density_kg_m3(30.0)), 1.2, 0.0)
    assert plastic / bare == pytest.approx(1.0 - 240e-5)
    assert glass / bare == pytest.approx(1.0 - 9.9e-5)
    assert soda / bare == pytest.approx(1.0 - 27e-5)


def test_the_budget_of_a_burette_by_hand():
    """Defaults: common practice; the air by its buoyancy (1/1000 - 1/8000), water by 0.0206 %/K at
    20 °C (Tanaka, 2001, published: 999.1026 at 15 to 997.0479 at 25 °C)."""
    found, root3 = parts(burette(mass="49.858").figures[0]), math.sqrt(3.0)
    assert found == pytest.approx(
        {
            "repeatability": 0.01,
            "last digit of the reading": 0.0005 / root3 * 1.00285,
            "balance": 0.01 / root3 * 1.00285,
            "thermometer": 50.0 * (2.055e-4 - 9.9e-6) * 0.5 / root3,
            "density of air": 50.0 * 0.3 * (1 / 998.2 - 1 / 8000.0) / root3,
        },
        rel=0.02,
    )
    of_air = 49.858 * (z_ml_per_g(998.2071, 1.5, 0.0) - z_ml_per_g(998.2071, 0.9, 0.0)) / 2.0
    assert found["density of air"] == pytest.approx(of_air / root3, rel=1e-3)
    assert found["balance"] == pytest.approx(0.01 / root3 * 1.002852, rel=1e-4)
    assert found["last digit of the reading"] == pytest.approx(0.0005 / root3 * 1.002852, rel=1e-4)
    poor = check(BURETTE, {}, facts=InstrumentFacts(thermometer_u_k=2.0), **FULL, mass="49.858")
    cold, hot = (
        z_ml_per_g(float(density_kg_m3(20.0 + away)), 1.2, 9.9e-6 * away) for away in (-2.0, 2.0)
    )
    assert parts(poor.figures[0])["thermometer"] == pytest.approx(49.858 * (hot - cold) / 2.0)
    warm = parts(burette(temperature="30", mass="49.7").figures[0])
    assert warm["expansion"] == pytest.approx(50.0 * 9.9e-7 * 10.0 / root3, rel=3e-3)


def test_repeated_deliveries():
    seen = burette(mass="49.850", mass_2="49.858", mass_3="49.866")
    assert seen.figures[0].value == pytest.approx(0.0, abs=1e-3)
    assert parts(seen.figures[0])["repeatability"] == pytest.approx(0.01 / math.sqrt(3.0))
    spread = burette(mass="49.84", mass_2="49.88")
    assert spread.acceptance is Acceptance.UNCERTAIN and "not settled" in said(spread)


def test_a_small_delivery_tells_little():
    assert "at least half" in said(burette(volume="24.9", mass="24.83"))
    assert said(burette(volume="25.0", mass="24.93")) == ""


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"mass": ""}, {"mass": "missing"}),
        ({"mass": "49,858"}, {"mass": "ambiguous_comma"}),
        ({"mass": "49,86"}, {}),
        ({"mass": "39.9"}, {"mass": "mass_and_volume"}),
        ({"mass": "40"}, {}),
        ({"volume": "50.5"}, {"volume": "more_than_it_holds"}),
        ({"volume": "0"}, {"volume": "impossible"}),
        ({"capacity": "30", "volume": "30", "mass": "30"}, {"class": "not_a_size"}),
        ({"capacity": "101"}, {"capacity": "impossible"}),
        ({"class": ""}, {"class": "missing"}),
        ({"glass": "wood"}, {"glass": "not_a_choice"}),
        ({"temperature": "9"}, {"temperature": "impossible"}),
        ({"temperature": "36"}, {"temperature": "impossible"}),
    ],
)
def test_bad_input_of_a_burette_stands_beside_its_field(change, expected):
    assert trouble(BURETTE, {}, **{**FULL, "mass": "49.858", **change}) == expected


WEIGHT = {"weight": Standard(100.0, "g", 0.0005, steady=True)}


def balance(**typed):
    return check(BALANCE, WEIGHT, **{"zero": "0.000", "reading": "100.000", **typed})


@pytest.mark.parametrize(
    ("reading", "acceptance"), [("100.100", "accepted"), ("100.102", "not_accepted")]
)
def test_a_balance_may_be_off_by_a_thousandth(reading, acceptance):
    """Common practice, no source."""
    assert balance(reading=reading).acceptance == acceptance


def test_the_reading_of_the_empty_balance_is_taken_off():
    seen = balance(zero="0.050", reading="100.040")
    assert seen.figures[0].value == pytest.approx(-0.010)
    assert "0.05 g" in said(seen) and said(balance(zero="0.001")) == ""
    assert (seen.effect.kind, seen.effect.size) == (EffectKind.FACTOR, pytest.approx(0.9999))


def test_the_budget_of_a_balance_by_hand():
    """0.6 digits of scatter: common practice; half a digit of two readings."""
    assert parts(balance().figures[0]) == pytest.approx(
        {
            "standard": 0.0005,
            "last digit of the reading": 0.0005 * math.sqrt(2.0) / math.sqrt(3.0),
            "repeatability": 0.0006,
        }
    )


def test_a_balance_that_does_not_repeat():
    assert balance(reading_2="100.001").acceptance is Acceptance.ACCEPTED
    assert balance(reading_2="100.002").acceptance is Acceptance.UNCERTAIN


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"zero": ""}, {"zero": "missing"}),
        ({"zero": "-1001"}, {"zero": "impossible"}),
        ({"reading": "0"}, {"reading": "impossible"}),
        ({"reading": "50.1 kg"}, {"reading": "impossible"}),
        ({"reading": "0.1 kg"}, {}),
        ({"reading": "100 mL"}, {"reading": "wrong_dimension"}),
        ({"reading_3": "x"}, {"reading_3": "not_a_number"}),
    ],
)
def test_bad_input_of_a_balance_stands_beside_its_field(change, expected):
    assert trouble(BALANCE, WEIGHT, **{"zero": "0", "reading": "100", **change}) == expected


def test_a_weight_of_nothing_is_no_weight():
    little = {"weight": Standard(0.005, "g", 0.0001, steady=True)}
    assert trouble(BALANCE, little, zero="0", reading="0.0050") == {}
    nothing = {"weight": Standard(0.0, "g", 0.1, steady=True)}
    assert trouble(BALANCE, nothing, zero="0", reading="1") == {"weight": "no_strength"}


def mg_l(*values):
    keys = ("standard", "standard_2", "standard_3")
    return {
        key: Standard(value, "mg/L", value / 100.0, steady=True)
        for key, value in zip(keys, values, strict=False)
    }


def photometer(standards, **typed):
    return check(PHOTOMETER, standards, **{"blank": "0.00", **typed})


@pytest.mark.parametrize(
    ("reading", "acceptance"),
    [("2.20", "accepted"), ("2.21", "not_accepted"), ("1.79", "not_accepted")],
)
def test_a_check_standard_may_be_off_by_a_tenth(reading, acceptance):
    """Common practice, no source."""
    assert photometer(mg_l(2.0), reading=reading).acceptance == acceptance


@pytest.mark.parametrize(
    ("blank", "acceptance"),
    [("0.04", "accepted"), ("0.06", "not_accepted"), ("-0.06", "not_accepted")],
)
def test_what_a_blank_may_show(blank, acceptance):
    """± 0.05 mg/L: common practice, no source."""
    seen = photometer(mg_l(2.0), reading="2.00", blank=blank)
    assert seen.figure("blank").acceptance == acceptance == seen.acceptance
    assert seen.figure("blank").budget.combined == pytest.approx(0.005 / math.sqrt(3.0))


def test_standards_that_share_a_ratio_make_a_factor():
    seen = photometer(mg_l(2.0, 8.0), reading="2.40", reading_2="9.60")
    assert seen.effect.kind is EffectKind.FACTOR and seen.effect.size == pytest.approx(1.2)
    assert seen.levels == (2.0, 8.0)
    apart = photometer(mg_l(2.0, 8.0), reading="2.40", reading_2="8.00")
    assert apart.effect.kind is EffectKind.NOT_PLAIN
    dirty = photometer(mg_l(2.0, 8.0), reading="2.40", reading_2="9.60", blank="0.30")
    assert dirty.effect.kind is EffectKind.NOT_PLAIN


def test_the_budget_of_a_photometer_by_hand():
    """2 % of one color: common practice."""
    assert parts(photometer(mg_l(2.0), reading="2.00").figures[0]) == pytest.approx(
        {
            "standard": 0.02,
            "last digit of the reading": 0.005 / math.sqrt(3.0),
            "repeatability": 0.04,
        }
    )


@pytest.mark.parametrize(
    ("reading", "blank", "acceptance"),
    [
        ("0.509", "0.000", "accepted"),
        ("0.511", "0.000", "not_accepted"),
        ("0.500", "0.009", "accepted"),
        ("0.500", "0.011", "not_accepted"),
    ],
)
def test_glass_filters_tell_the_photometer_alone(reading, blank, acceptance):
    """± 2 % and ± 0.01; 0.3 % scatter: common practice, no source."""
    standards = {"standard": Standard(0.5, "absorbance", 0.001, steady=True)}
    seen = check(FILTERS, standards, blank=blank, reading=reading)
    assert seen.acceptance == acceptance
    assert parts(seen.figures[0])["repeatability"] == pytest.approx(0.0015)


@pytest.mark.parametrize(
    ("standards", "typed", "expected"),
    [
        (mg_l(2.0), {"reading": ""}, {"reading": "missing"}),
        (mg_l(2.0), {"reading": "2", "reading_2": "3"}, {"standard_2": "standard_needed"}),
        (mg_l(2.0, 5.0), {"reading": "2"}, {"reading_2": "missing"}),
        (mg_l(2.0), {"reading": "1001"}, {"reading": "impossible"}),
        (mg_l(2.0), {"reading": "2", "blank": ""}, {"blank": "missing"}),
        (mg_l(2.0), {"reading": "2", "blank": "-101"}, {"blank": "impossible"}),
        (mg_l(2.0), {"reading": "2 A"}, {"reading": "wrong_dimension"}),
        (mg_l(0.0), {"reading": "0"}, {"standard": "no_strength"}),
        ({}, {"reading": "2"}, {"standard": "standard_needed"}),
    ],
)
def test_bad_input_of_a_photometer_stands_beside_its_field(standards, typed, expected):
    assert trouble(PHOTOMETER, standards, **{"blank": "0", **typed}) == expected
