"""A pH or a temperature beside the last ones: which slips are named, and how often honest results
are asked about. The rules are our own, so the checks are simulations and invented readings."""

import random

import pytest

from chemistry import units
from chemistry.plausibility_linear import suspicions

STEADY_PH = (10.62, 10.70, 10.66, 10.74, 10.71)
STEADY_C = (24.5, 25.0, 26.0, 25.5, 24.0)
TRIALS = 4_000


def _codes(value, recent, unit="pH", resolution=0.01):
    found = suspicions(value=value, u=0.03, unit=unit, recent=recent, resolution=resolution)
    return [each.code for each in found]


@pytest.mark.parametrize(
    ("value", "code"),
    [
        pytest.param(10.65, None, id="an ordinary value is not asked about"),
        pytest.param(10.10, None, id="nor is a treatment running out"),
        pytest.param(1.07, "decimal_slip", id="the point one place to the left"),
        pytest.param(7.0, "unlikely", id="a buffer or another bottle"),
        pytest.param(8.60, "unlikely", id="feedwater in the boiler's place"),
        pytest.param(13.10, "unlikely", id="an electrode that drifts"),
    ],
)
def test_a_ph_is_held_beside_the_last_ones(value, code):
    assert _codes(value, STEADY_PH) == ([code] if code else [])


@pytest.mark.parametrize(
    ("unit", "usual", "u", "passed", "asked"),
    [
        pytest.param("pH", 10.0, 0.0, 10.79, 10.805, id="0.8 by itself"),
        pytest.param("pH", 10.0, 0.15, 11.080, 11.083, id="six spreads, of 0.1 and of 0.15"),
        pytest.param("degC", 25.0, 0.0, 34.95, 35.05, id="10 °C by itself"),
        pytest.param("degC", 25.0, 2.0, 39.97, 40.03, id="six spreads, of 1.5 and of 2"),
        pytest.param("K", 20.0, 0.0, 25.97, 26.03, id="six spreads of 1 K"),
    ],
)
def test_how_far_is_far(unit, usual, u, passed, asked):
    """Rules of our own, worked by hand for a point that always showed the same."""
    for value, codes in ((passed, []), (asked, ["unlikely"])):
        found = suspicions(value=value, u=u, unit=unit, recent=[usual] * 5, resolution=0.0)
        assert [each.code for each in found] == codes


@pytest.mark.parametrize(("value", "codes"), [(11.87, []), (11.88, ["unlikely"])])
def test_restless_water_may_go_further(value, codes):
    """By hand: steps of 0.2 are a spread of 0.2965, with 0.1 of 0.3129; six of them are 1.878."""
    recent = [10.0, 10.0, 10.2, 10.0, 10.2, 10.0, 10.0, 10.2, 10.0, 10.0]
    found = suspicions(value=value, u=0.0, unit="pH", recent=recent, resolution=0.0)
    assert [each.code for each in found] == codes


@pytest.mark.parametrize(("value", "code"), [(1.0199, "decimal_slip"), (1.0201, "unlikely")])
def test_a_slip_explains_what_comes_within_two_spreads(value, code):
    """By hand: two spreads are 0.2, and ten times the value lies 0.199 or 0.201 off."""
    found = suspicions(value=value, u=0.0, unit="pH", recent=[10.0] * 5, resolution=0.0)
    assert [each.code for each in found] == [code]


def test_what_was_likely_meant_is_said():
    (found,) = suspicions(value=250.0, u=0.0, unit="degC", recent=[25.0] * 5, resolution=1.0)
    assert (found.code, found.likely) == ("decimal_slip", pytest.approx(25.0))


def test_swapped_digits_are_named():
    assert _codes(8.90, (9.8, 9.8, 9.85, 9.75), resolution=0.01) == ["swapped_digits"]
    assert _codes(8.9, (9.8, 9.8, 9.85, 9.75), resolution=0.1) == ["swapped_digits"]


@pytest.mark.parametrize(
    ("celsius", "code"),
    [
        pytest.param(27.0, None, id="an ordinary temperature"),
        pytest.param(units.convert(25.0, "degC", "degF"), "temperature_unit_slip", id="°F as °C"),
        pytest.param(units.convert(25.0, "degF", "degC"), "temperature_unit_slip", id="°C as °F"),
        pytest.param(47.0, "unlikely", id="cooling water off"),
    ],
)
def test_a_temperature_is_held_beside_the_last_ones(celsius, code):
    assert _codes(celsius, STEADY_C, "degC", 0.1) == ([code] if code else [])


@pytest.mark.parametrize("few", [0, 1, 2, 3])
def test_too_few_results_say_nothing(few):
    assert _codes(1.07, STEADY_PH[:few]) == []


def _history(dice, count=10):
    """Honest pH values of a boiler: wandering, and at times drifting as treatment runs out."""
    level, drift = dice.uniform(9.6, 11.4), dice.choice((0.0, 0.0, 0.0, -0.15, 0.12))
    values = []
    for _ in range(count + 1):
        level += drift + dice.gauss(0.0, 0.06)
        values.append(round(level + dice.gauss(0.0, 0.04), 2))
    return values[:-1], values[-1]


def test_honest_results_are_hardly_ever_asked_about():
    """Share of false alarms on simulated honest benches: below 1 in 200."""
    dice = random.Random(11)
    asked = sum(bool(_codes(value, recent)) for recent, value in map(_history, [dice] * TRIALS))
    assert asked / TRIALS < 0.005


@pytest.mark.parametrize(
    ("slip", "least"),
    [
        pytest.param(lambda ph: round(ph / 10, 2), 0.99, id="decimal point"),
        pytest.param(lambda ph: 7.0, 0.99, id="read in the buffer"),
        pytest.param(lambda ph: round(ph - 2.0, 2), 0.99, id="another bottle, two units off"),
    ],
)
def test_slips_are_caught(slip, least):
    """Share caught of simulated slips."""
    dice = random.Random(12)
    caught = sum(
        bool(_codes(slip(value), recent)) for recent, value in map(_history, [dice] * TRIALS)
    )
    assert caught / TRIALS > least
