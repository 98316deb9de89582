"""Verdicts: JCGM 106:2012 probabilities (from memory, recomputed) and our own boundary rules."""

import math

import pytest

from chemistry.analytes import Basis
from chemistry.errors import ChemistryError
from chemistry.verdict import REASON_WORDS, SIDE_WORDS, Limit, Side, conformance_probability, judge

PLAIN = Basis("25C", "not_neutralized")
NEUTRAL = Basis("25C", "neutralized")
MAXIMUM = Limit(None, 1300.0, PLAIN, "uS/cm", target=1100.0)


def verdict(value, expanded=30.0, limit=MAXIMUM, basis=PLAIN, **rule):
    return judge(value, expanded, 2.0, math.inf, basis, limit, **rule)


@pytest.mark.parametrize(
    ("value", "u", "low", "high", "probability"),
    [
        pytest.param(-5.47, 0.05, None, -5.40, 0.919, id="diode, one upper limit"),
        pytest.param(509.7, 8.6, 490.0, None, 0.989, id="burst strength, one lower limit"),
        pytest.param(13.6, 1.8, 12.5, 16.3, 0.663, id="oil viscosity, two limits"),
    ],
)
def test_jcgm_106_probability_of_conformity(value, u, low, high, probability):
    """JCGM 106:2012, 7.3 and 7.4, from memory and recomputed: 0.919, 0.989, 0.66."""
    limit = Limit(low, high, PLAIN, "")
    found = conformance_probability(value, u, math.inf, limit)
    assert found == pytest.approx(probability, abs=5e-4)


def test_a_guard_band_of_the_expanded_uncertainty_lets_2_3_percent_pass():
    """ISO 14253-1; JCGM 106:2012, 8.3 (from memory): false acceptance at most 2.28 %."""
    found = verdict(1270.0, 30.0, guard_band=30.0)
    assert found.side == Side.IN_RANGE
    assert 1.0 - found.probability == pytest.approx(0.0228, abs=5e-5)
    assert verdict(1270.1, 30.0, guard_band=30.0).side == Side.HIGH


def test_few_degrees_of_freedom_widen_the_tail():
    few = judge(1270.0, 30.0, 2.0, 3.0, PLAIN, MAXIMUM)
    assert few.probability < verdict(1270.0).probability


@pytest.mark.parametrize(
    ("value", "side", "near"),
    [
        pytest.param(1269.9, Side.IN_RANGE, False, id="clear of the limit"),
        pytest.param(1299.9, Side.IN_RANGE, True, id="just below"),
        pytest.param(1300.0, Side.IN_RANGE, True, id="on the line is in range"),
        pytest.param(1300.1, Side.HIGH, True, id="just above"),
        pytest.param(1330.1, Side.HIGH, False, id="plainly above"),
    ],
)
def test_simple_acceptance_at_a_maximum(value, side, near):
    found = verdict(value)
    assert (found.side, found.near_limit, found.reason) == (side, near, "")
    assert found.rule == "simple_acceptance/1"


@pytest.mark.parametrize(
    ("value", "side"),
    [(9.9, Side.LOW), (10.0, Side.IN_RANGE), (12.0, Side.IN_RANGE), (12.1, Side.HIGH)],
)
def test_a_range_has_two_ends(value, side):
    assert verdict(value, 0.1, Limit(10.0, 12.0, PLAIN, "")).side == side


def test_without_a_limit_nothing_is_judged():
    found = verdict(1230.0, limit=None)
    assert (found.side, found.reason, found.probability) == (Side.NOT_JUDGED, "no_limit", None)


def test_another_basis_is_not_judged():
    found = verdict(1500.0, basis=NEUTRAL)
    assert (found.side, found.reason) == (Side.NOT_JUDGED, "other_basis")


def test_a_coarse_test_is_not_judged():
    assert verdict(11.0, 2.0, Limit(10.0, 12.0, PLAIN, "")).reason == "too_coarse"
    assert verdict(0.5, 1.0, Limit(None, 1.0, PLAIN, "")).reason == "too_coarse"
    assert verdict(11.0, 1.9, Limit(10.0, 12.0, PLAIN, "")).side == Side.IN_RANGE


def test_a_value_far_outside_is_high_even_by_a_coarse_test():
    found = verdict(50000.0, 1500.0)
    assert (found.side, found.reason) == (Side.HIGH, "")


def test_guard_bands_that_leave_no_room_are_not_judged():
    found = verdict(11.0, 0.1, Limit(10.0, 12.0, PLAIN, ""), guard_band=1.1)
    assert found.reason == "too_coarse"


def test_every_side_and_reason_has_words():
    assert set(SIDE_WORDS) == set(Side)
    assert set(REASON_WORDS) == {"", "no_limit", "other_basis", "too_coarse", "off_scale"}


def test_crossed_or_empty_limits_are_refused():
    for low, high, target in (
        (None, None, None),
        (2.0, 1.0, None),
        (1.0, 2.0, 3.0),
        (None, math.nan, 1),
    ):
        with pytest.raises(ChemistryError):
            Limit(low, high, PLAIN, "", target)


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_what_is_no_number_is_refused(bad):
    with pytest.raises(ChemistryError):
        verdict(bad)


def test_a_basis_survives_being_stored():
    assert Basis.parse(PLAIN.text) == PLAIN
    assert PLAIN.text == "25C|not_neutralized|"
    assert PLAIN.words() == ["not neutralized", "at 25 °C"]
    for text in ("25C", "25C|maybe|", "a|b|c|d"):
        with pytest.raises(ChemistryError):
            Basis.parse(text)


@pytest.mark.parametrize(
    ("value", "qualifier", "low", "high", "side"),
    [
        (100.0, ">", None, 60.0, Side.HIGH),
        (60.0, ">", None, 60.0, Side.HIGH),
        (59.0, ">", None, 60.0, Side.NOT_JUDGED),
        (100.0, ">", 30.0, 60.0, Side.HIGH),
        (50.0, ">", 30.0, 60.0, Side.NOT_JUDGED),
        (30.0, ">", 30.0, None, Side.IN_RANGE),
        (29.0, ">", 30.0, None, Side.NOT_JUDGED),
        (5.0, "<", 30.0, None, Side.LOW),
        (30.0, "<", 30.0, 60.0, Side.LOW),
        (31.0, "<", 30.0, 60.0, Side.NOT_JUDGED),
        (7.0, "<", None, 7.0, Side.IN_RANGE),
        (8.0, "<", None, 7.0, Side.NOT_JUDGED),
    ],
)
def test_a_reading_off_the_scale_is_judged_only_where_it_is_certain(
    value, qualifier, low, high, side
):
    """A bound has one side only where all that lies beyond it has that side."""
    found = judge(
        value, 2.0, 2.0, math.inf, PLAIN, Limit(low, high, PLAIN, "uS/cm"), qualifier=qualifier
    )
    assert found.side is side and not found.near_limit and found.probability is None
    assert found.reason == ("off_scale" if side is Side.NOT_JUDGED else "")


@pytest.mark.parametrize(
    ("value", "probability"), [(1299.999, 1.0), (1300.0, 1.0), (1300.001, 0.0)]
)
def test_a_sure_value_lies_on_one_side(value, probability):
    """By definition: without uncertainty the true value is the value."""
    assert verdict(value, 0.0).probability == probability


def test_there_is_no_least_coverage_or_guard_band():
    assert judge(1270.0, 0.01, 0.005, math.inf, PLAIN, MAXIMUM).side == Side.IN_RANGE
    found = verdict(1299.996, guard_band=0.005)
    assert (found.side, found.rule) == (Side.HIGH, "guard_band/1")
    assert verdict(1299.999).rule == "simple_acceptance/1"


@pytest.mark.parametrize(
    ("value", "expanded", "limit", "reason"),
    [
        pytest.param(0.002, 0.005, Limit(None, 0.005, PLAIN, ""), "too_coarse", id="one end"),
        pytest.param(5.002, 0.005, Limit(5.0, 5.004, PLAIN, ""), "too_coarse", id="two ends"),
        pytest.param(0.0, 0.0, Limit(None, 0.0, PLAIN, ""), "", id="sure of nothing"),
        pytest.param(5.0, 0.0, Limit(5.0, 5.0, PLAIN, ""), "", id="sure of the one value"),
    ],
)
def test_small_figures_are_coarse_too(value, expanded, limit, reason):
    assert verdict(value, expanded, limit).reason == reason


@pytest.mark.parametrize(("guard_band", "reason"), [(1.0, ""), (1.001, "too_coarse")])
def test_two_guard_bands_may_just_meet(guard_band, reason):
    limit = Limit(10.0, 12.0, PLAIN, "")
    assert verdict(11.0, 0.1, limit, guard_band=guard_band).reason == reason
