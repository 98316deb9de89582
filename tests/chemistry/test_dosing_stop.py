"""Too much of what is dosed: the feed rests while blowdown carries it off, simulated apart."""

import math
from dataclasses import replace

import pytest
from scipy.integrate import solve_ivp

from chemistry.dosing_stop import FeedStopCase, plan_feed_stop
from chemistry.errors import Refused

CASE = FeedStopCase(
    analyte="phosphate",
    value=60.0,
    expanded=3.0,
    target=40.0,
    high=50.0,
    steam_kg_h=40000.0,
    feed_conductivity=60.0,
    boiler_conductivity=660.0,
    water_mass_kg=12000.0,
    state="steaming",
    continuous_max_kg_h=8000.0,
)


def thinned(hours: float, rate: float) -> float:
    """The drum integrated numerically with nothing coming in."""
    found = solve_ivp(lambda _t, c: -rate * c / 12000.0, (0.0, hours), [60.0], rtol=1e-10)
    return float(found.y[0, -1])


def test_blowdown_alone_brings_it_to_the_target():
    plan = plan_feed_stop(CASE)
    assert plan.blowdown_kg_h == pytest.approx(4000.0)  # 11 cycles
    assert thinned(plan.hours, 4000.0) == pytest.approx(40.0)
    assert plan.predicted == pytest.approx(40.0)
    assert plan.hours_open == pytest.approx(1.0)  # twice the flow would be quicker than an hour


@pytest.mark.parametrize("expanded", [3.0, 0.0])
def test_what_the_prediction_allows(expanded):
    """By hand: the reading's own shrinks to two thirds; a tenth on flow and on mass, rule of our
    own, each move 40 by a tenth of ln(3/2) of it."""
    moved = 40.0 * 0.1 * math.log(1.5)
    found = plan_feed_stop(replace(CASE, expanded=expanded)).predicted_expanded
    assert found == pytest.approx(math.hypot(expanded * 2.0 / 3.0, moved, moved))


def test_a_trace_is_thinned_as_fast():
    trace = replace(CASE, value=0.006, target=0.004, high=0.005, expanded=0.0003)
    assert plan_feed_stop(trace).hours == pytest.approx(plan_feed_stop(CASE).hours)


def test_it_is_tested_within_four_hours_even_where_more_is_needed():
    plan = plan_feed_stop(replace(CASE, steam_kg_h=5000.0))
    assert plan.hours > 4.0 and plan.retest_after_min == 240
    assert plan.predicted == pytest.approx(thinned(4.0, 500.0))


def test_a_valve_no_wider_than_now_offers_nothing():
    assert plan_feed_stop(replace(CASE, continuous_max_kg_h=4000.0)).hours_open is None
    assert plan_feed_stop(replace(CASE, continuous_max_kg_h=None)).hours_open is None


def test_oxygen_is_named_for_sulfite():
    assert "oxygen" in " ".join(plan_feed_stop(replace(CASE, analyte="sulfite")).assumptions)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"state": "banked"}, "not_steaming"),
        ({"analyte": "p_alkalinity"}, "not_by_blowdown"),
        ({"analyte": "m_alkalinity", "steam_kg_h": None}, "not_by_blowdown"),
        ({"steam_kg_h": None}, "figures_missing"),
        ({"water_mass_kg": None}, "figures_missing"),
        ({"boiler_conductivity": 59.0}, "impossible_figure"),
        ({"target": 51.0}, "impossible_figure"),
        ({"value": 40.0}, "nothing_to_do"),
        ({"steam_kg_h": 0.0}, "impossible_figure"),
        ({"water_mass_kg": 0.0}, "impossible_figure"),
        ({"expanded": -0.1}, "impossible_figure"),
        ({"steam_kg_h": 1000.0}, "too_slow"),
    ],
)
def test_what_cannot_be_reckoned_is_refused(changes, code):
    with pytest.raises(Refused) as caught:
        plan_feed_stop(replace(CASE, **changes))
    assert caught.value.code == code and "%(" not in str(caught.value)


def test_phosphate_that_comes_back_from_hideout_is_spoken_of():
    """Phosphate rises and pH falls as the load falls: common practice, no source."""
    told = " ".join(plan_feed_stop(CASE).cautions)
    assert "hideout" in told and "pH may fall" in told and "call the chemist" in told
    sulfite = plan_feed_stop(replace(CASE, analyte="sulfite"))
    assert sulfite.cautions and "hideout" not in " ".join(sulfite.cautions)
