"""What a failed check reaches: known errors are taken out again, and verdicts follow `judge`."""

import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.analytes import ANALYTES, Basis
from chemistry.errors import ChemistryError, Refused
from chemistry.lookback import (
    BEARINGS,
    SUPPOSITION_WORDS,
    Bearing,
    Span,
    Supposition,
    bearing_of,
    corrected,
    effect_on_results,
    errors_at,
    look_back,
    span_between,
)
from chemistry.recipes.base import Effect, EffectKind
from chemistry.verdict import Limit, judge
from chemistry.verdict_arrays import Many, sides

BASIS = Basis("25C", "not_neutralized")
FACTOR, OFFSET = EffectKind.FACTOR, EffectKind.OFFSET
numbers = st.floats(-50.0, 50.0).map(lambda each: round(each, 2))
ends = st.none() | numbers


def many(values, times=None, *, low=np.nan, high=np.nan, expanded=0.0, qualifiers=""):
    """Return results that share what is not given as a list."""
    array = np.asarray(values, dtype=np.float64)

    def all_of(value):
        return np.broadcast_to(np.asarray(value), array.shape).copy()

    return Many(
        times=all_of(0.0 if times is None else times).astype(np.float64),
        values=array,
        expanded=all_of(float(expanded)),
        low=all_of(low),
        high=all_of(high),
        guard=all_of(0.0),
        qualifiers=all_of(qualifiers),
    )


@given(
    st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(0.01, 1e4)), min_size=1, max_size=20),
    st.floats(0.2, 5.0),
    st.floats(0.2, 5.0),
    st.sampled_from([FACTOR, OFFSET]),
)
def test_a_known_drift_is_taken_out_again(drawn, first, last, kind):
    """The error is put in by hand, share by share, and `corrected` must give the truth back."""
    span = Span(100.0, 130.0, first, last, kind)
    shares, truth = np.array(drawn).T
    error = first + shares * (last - first)
    shown = truth * error if kind is FACTOR else truth + error
    found = corrected(span, 100.0 + 30.0 * shares, shown, Supposition.DRIFT)
    assert found == pytest.approx(truth, rel=1e-9, abs=1e-6)


def test_the_three_suppositions_by_hand():
    span = Span(0.0, 10.0, 1.0, 0.8, FACTOR)
    times = np.array([0.0, 2.5, 10.0])
    assert errors_at(span, times, Supposition.DRIFT) == pytest.approx([1.0, 0.95, 0.8])
    assert errors_at(span, times, Supposition.AFTER_PASS) == pytest.approx([0.8] * 3)
    assert errors_at(span, times, Supposition.BEFORE_FAILURE) == pytest.approx([1.0] * 3)
    assert set(SUPPOSITION_WORDS) == set(Supposition)


def test_a_meter_that_read_low_hid_what_was_too_high():
    """By hand: shown 2850 of at most 3000; at 0.9 it was 3167, half way down the drift 3000."""
    drift, after, before = look_back(
        many([2850.0, 2850.0], [5.0, 10.0], high=3000.0, expanded=60.0),
        Span(0.0, 10.0, 1.0, 0.9, FACTOR),
    )
    assert drift.supposition == "drift" and drift.values == pytest.approx([3000.0, 3166.6667])
    assert drift.changed.tolist() == [False, True] and drift.after.tolist() == ["in_range", "high"]
    assert after.changed.tolist() == [True, True]
    assert after.expanded == pytest.approx([60.0 / 0.9] * 2)
    assert not before.changed.any() and before.before.tolist() == ["in_range"] * 2


def test_an_offset_leaves_the_uncertainty():
    """By hand: a pH shown 0.3 too high."""
    _, after, _ = look_back(
        many([10.2], [5.0], low=10.0, high=11.0, expanded=0.1), Span(0.0, 10.0, 0.0, 0.3, OFFSET)
    )
    assert (after.values[0], after.expanded[0]) == pytest.approx((9.9, 0.1))
    assert after.after.tolist() == ["low"]


@st.composite
def judged(draw):
    """A result with limits that run the right way."""
    low, high = draw(ends), draw(ends)
    if low is not None and high is not None and low > high:
        low, high = high, low
    return {
        "value": draw(numbers),
        "expanded": draw(st.floats(0.0, 30.0).map(lambda each: round(each, 1))),
        "dof": draw(st.sampled_from([1.0, 3.7, 20.0, np.inf])),
        "low": low,
        "high": high,
        "guard": draw(st.sampled_from([0.0, 0.5, 4.0])),
        "qualifier": draw(st.sampled_from(["", "", "<", ">"])),
    }


@given(st.lists(judged(), min_size=1, max_size=8))
def test_many_at_once_are_judged_as_each_by_itself(cases):
    def column(name):
        return np.array([np.nan if each[name] is None else each[name] for each in cases])

    at_once = Many(
        times=np.zeros(len(cases)),
        values=column("value"),
        expanded=column("expanded"),
        low=column("low"),
        high=column("high"),
        guard=column("guard"),
        qualifiers=np.array([each["qualifier"] for each in cases]),
    )
    one_by_one = [
        judge(
            each["value"],
            each["expanded"],
            2.0,
            each["dof"],
            BASIS,
            None
            if each["low"] is None and each["high"] is None
            else Limit(each["low"], each["high"], BASIS, "uS/cm"),
            guard_band=each["guard"],
            qualifier=each["qualifier"],
        ).side
        for each in cases
    ]
    assert sides(at_once, at_once.values, at_once.expanded).tolist() == one_by_one


@pytest.mark.parametrize(
    ("value", "expanded", "low", "high", "guard"),
    [
        (5.0, 0.0, 1.0, 9.05, 4.0),  # just room for both guard bands
        (5.0, 0.0, 1.0, 8.95, 4.0),
        (1.002, 0.005, 1.0, 1.004, 0.0),  # coarse, though sure to a hundredth
        (3.0, 3.0, np.nan, 5.0, 0.0),
        (4.0, 5.0, np.nan, 5.0, 0.0),
        (11.0, 5.0, np.nan, 5.0, 0.0),
    ],
)
def test_edges_are_judged_as_each_by_itself(value, expanded, low, high, guard):
    results = replace(many([value], low=low, high=high, expanded=expanded), guard=np.array([guard]))
    limit = Limit(None if np.isnan(low) else low, high, BASIS, "uS/cm")
    alone = judge(value, expanded, 2.0, np.inf, BASIS, limit, guard_band=guard).side
    assert sides(results, results.values, results.expanded).tolist() == [alone]


def test_a_hundred_thousand_results_take_no_time():
    """Far under the 5 s that a chemist would wait; linear, since each step is one array."""
    count = 100_000
    random = np.random.default_rng(1)
    results = many(random.uniform(1.0, 5000.0, count), low=500.0, high=3000.0, expanded=50.0)
    began = time.perf_counter()
    found = look_back(results, Span(-1.0, 1.0, 1.0, 1.1, FACTOR))
    assert time.perf_counter() - began < 5.0
    assert all(len(each.values) == count for each in found) and found[0].changed.any()


def test_what_is_no_plain_factor_or_offset_is_refused():
    factor, offset = Effect(FACTOR, 1.1), Effect(OFFSET, 0.3, "pH")
    assert effect_on_results(factor, Bearing.PROPORTIONAL) is factor
    assert effect_on_results(factor, Bearing.ONE_TO_ONE) is factor
    assert effect_on_results(offset, Bearing.ONE_TO_ONE) is offset
    refused = [
        (offset, Bearing.PROPORTIONAL),
        (factor, Bearing.OTHER),
        (offset, Bearing.OTHER),
        (Effect(EffectKind.NOT_PLAIN, 0.0), Bearing.ONE_TO_ONE),
    ]
    for effect, bearing in refused:
        with pytest.raises(Refused, match="no plain factor"):
            effect_on_results(effect, bearing)


def test_bearings_name_analytes_that_are_known():
    assert {analyte for _, analyte in BEARINGS} <= set(ANALYTES)
    assert bearing_of("conductivity_cell", "conductivity") is Bearing.PROPORTIONAL
    assert bearing_of("thermometer", "conductivity") is Bearing.OTHER
    assert bearing_of("ph_meter", "ph") is Bearing.ONE_TO_ONE
    assert bearing_of("burette", "hydroxide_alkalinity") is Bearing.PROPORTIONAL
    assert bearing_of("online_analyzer", "silica") is Bearing.ONE_TO_ONE


def test_a_span_between_two_checks():
    span = span_between(None, 0.0, Effect(FACTOR, 1.2), 9.0, Bearing.PROPORTIONAL)
    assert (span.at_pass, span.at_failure) == (1.0, 1.2)
    span = span_between(None, 0.0, Effect(OFFSET, 0.2, "pH"), 9.0, Bearing.ONE_TO_ONE)
    assert span.at_pass == 0.0
    assert Span(0.0, 1.0, 1.0, 0.005, FACTOR).at_failure == 0.005
    assert (span.kind, Effect(OFFSET, 0.2).u) == (OFFSET, 0.0)
    passed = Effect(FACTOR, 1.02)
    assert span_between(passed, 0.0, Effect(FACTOR, 1.2), 9.0, Bearing.PROPORTIONAL).at_pass == 1.02


@pytest.mark.parametrize(
    ("code", "make"),
    [
        ("checks_crossed", lambda: Span(5.0, 5.0, 1.0, 1.1, FACTOR)),
        ("bad_factor", lambda: Span(0.0, 5.0, 1.0, 0.0, FACTOR)),
        ("not_plain", lambda: Span(0.0, 5.0, 1.0, 1.1, EffectKind.NOT_PLAIN)),
        (
            "other_kind",
            lambda: span_between(
                Effect(OFFSET, 0.1, "pH"), 0.0, Effect(FACTOR, 1.1), 1.0, Bearing.ONE_TO_ONE
            ),
        ),
        (
            "outside_span",
            lambda: look_back(many([1.0], [5.1], high=3.0), Span(0.0, 5.0, 1.0, 1.1, FACTOR)),
        ),
        (
            "outside_span",
            lambda: look_back(many([1.0], [np.nan], high=3.0), Span(0.0, 5.0, 1.0, 1.1, FACTOR)),
        ),
    ],
)
def test_what_can_not_be_looked_back_at_says_why(code, make):
    with pytest.raises(ChemistryError) as caught:
        make()
    assert caught.value.code == code and str(caught.value)
