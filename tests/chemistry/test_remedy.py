"""The blowdown remedy, simulated independently, and its refusals."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from chemistry.errors import Refused
from chemistry.remedy import HOURS_BETWEEN_BLOWS, BlowdownCase, plan_blowdown

CASE = BlowdownCase(
    value=1500.0,
    expanded=45.0,
    target=1100.0,
    high=1300.0,
    feed=60.0,
    steam_kg_h=8000.0,
    water_mass_kg=12000.0,
    gauge_kpa=1000.0,
    makeup_c=15.0,
    state="steaming",
    continuous_max_kg_h=1500.0,
)
BOTTOM = replace(CASE, continuous_max_kg_h=None, bottom_blow_kg=600.0, feed=20.0)


def simulate(case, blowdown_kg_h, hours, start):
    """The drum as a balance, integrated numerically: independent of the closed form."""

    def slope(_time, c):
        fed = (case.steam_kg_h + blowdown_kg_h) * case.feed
        return (fed - blowdown_kg_h * c) / case.water_mass_kg

    return float(solve_ivp(slope, (0.0, hours), [start], rtol=1e-10, atol=1e-9).y[0, -1])


def refusal(**changes):
    with pytest.raises(Refused) as caught:
        plan_blowdown(replace(CASE, **changes))
    assert str(caught.value)
    return caught.value


def test_the_continuous_plan_lands_at_the_target_when_simulated():
    plan = plan_blowdown(CASE)
    assert (plan.valve, plan.raise_to_kg_h, plan.blows) == ("continuous", 1500.0, None)
    assert simulate(CASE, plan.raise_to_kg_h, plan.hours, CASE.value) == pytest.approx(
        1100.0, rel=1e-6
    )
    assert plan.predicted == pytest.approx(1100.0)


def test_the_holding_rate_holds_and_the_present_rate_explains_the_reading():
    plan = plan_blowdown(CASE)
    assert simulate(CASE, plan.hold_kg_h, 50.0, plan.aim) == pytest.approx(plan.aim, rel=1e-8)
    assert simulate(CASE, plan.present_kg_h, 50.0, CASE.value) == pytest.approx(
        CASE.value, rel=1e-8
    )
    assert plan.percent_of_feedwater == pytest.approx(
        100.0 * plan.hold_kg_h / (8000.0 + plan.hold_kg_h)
    )
    assert (plan.cycles_now, plan.cycles_target) == (25.0, pytest.approx(1100.0 / 60.0))


@pytest.mark.parametrize("gauge_kpa", [1000.0, 0.0])
def test_extra_water_and_heat_are_beyond_what_is_blown_anyway(gauge_kpa):
    plan = plan_blowdown(replace(CASE, gauge_kpa=gauge_kpa))
    assert plan.extra_water_kg == pytest.approx((1500.0 - plan.present_kg_h) * plan.hours)
    # IF97 at 1101.325 kPa: h' 781.2 kJ/kg (independent library), makeup 15 °C 63.1 kJ/kg
    from iapws import IAPWS97

    drum = IAPWS97(P=gauge_kpa / 1000.0 + 0.101325, x=0.0).h
    makeup = IAPWS97(P=0.101325, T=288.15).h
    assert plan.heat_lost_kwh == pytest.approx(
        plan.extra_water_kg * (drum - makeup) / 3600.0, rel=1e-5
    )


def test_a_large_valve_is_not_opened_faster_than_an_hour_allows():
    case = replace(CASE, continuous_max_kg_h=50000.0)
    plan = plan_blowdown(case)
    assert plan.hours == 1.0 and plan.raise_to_kg_h < 50000.0
    assert simulate(case, plan.raise_to_kg_h, 1.0, case.value) == pytest.approx(1100.0, rel=1e-6)


def test_the_bottom_plan_lands_below_its_aim_when_simulated():
    plan = plan_blowdown(BOTTOM)
    value = BOTTOM.value
    for blow in range(plan.blows):
        if blow:
            value = simulate(BOTTOM, 0.0, HOURS_BETWEEN_BLOWS, value)
        before = value
        value = (value * (12000.0 - 600.0) + BOTTOM.feed * 600.0) / 12000.0
    assert value == pytest.approx(plan.predicted, rel=1e-9)
    assert plan.predicted <= plan.aim < before
    assert plan.extra_water_kg == plan.blows * 600.0
    assert plan.raise_to_kg_h == 0.0
    assert any("Never leave the valve" in caution for caution in plan.cautions)


def test_the_bottom_valve_is_used_when_the_continuous_one_is_too_small():
    assert plan_blowdown(replace(BOTTOM, continuous_max_kg_h=120.0)).valve == "bottom"


def test_a_target_near_the_limit_is_aimed_below():
    plan = plan_blowdown(replace(CASE, target=1290.0))
    assert plan.aim < 1290.0
    assert plan.predicted + plan.predicted_expanded <= 1300.0


def test_the_same_reading_less_sure_is_refused_or_aimed_lower():
    plan = plan_blowdown(replace(CASE, expanded=900.0))
    assert plan.aim < 1100.0
    assert plan.predicted + plan.predicted_expanded <= 1300.0
    assert refusal(expanded=1400.0).code == "target_too_near_limit"


def test_the_aim_goes_down_to_four_fifths_of_the_target():
    """Rule of our own, by hand for pure feed: 800 µS/cm after 1500 are known to 66.5 by the
    figures, which leaves 188.6 of the 200 up to the limit for the reading: 353.6 when it was drawn.
    """
    case = replace(CASE, feed=1e-9, target=1000.0, high=1000.0)
    assert plan_blowdown(replace(case, expanded=353.0)).aim == pytest.approx(800.0)
    with pytest.raises(Refused) as caught:
        plan_blowdown(replace(case, expanded=354.0))
    assert caught.value.code == "target_too_near_limit"


@pytest.mark.parametrize(
    "state", ["banked", "filling", "wet_layup", "dry_layup", "raising_steam", "", "nonsense"]
)
def test_only_a_steaming_boiler_gets_advice(state):
    found = refusal(state=state)
    assert found.code == "not_steaming"
    assert ("mix" in str(found)) == (state == "banked")


@pytest.mark.parametrize("key", ["feed", "steam_kg_h", "water_mass_kg", "gauge_kpa"])
def test_each_missing_figure_is_named(key):
    found = refusal(**{key: None})
    assert (found.code, found.missing) == ("figures_missing", (key,))


def test_all_missing_figures_are_named_at_once():
    found = refusal(feed=None, steam_kg_h=None, continuous_max_kg_h=None)
    assert found.missing == ("feed", "steam_kg_h", "valve")
    assert "feedwater" in str(found) and "steam flow" in str(found)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"value": 1100.0}, "nothing_to_do"),
        ({"value": 3901.0}, "far_off"),
        ({"feed": 1100.0}, "feed_too_strong"),
        ({"continuous_max_kg_h": 450.0}, "valve_too_small"),
        ({"continuous_max_kg_h": 500.0}, "valve_too_small"),
        ({"continuous_max_kg_h": None, "bottom_blow_kg": 1201.0}, "blow_too_large"),
        ({"continuous_max_kg_h": None, "bottom_blow_kg": 100.0}, "too_many_blows"),
        ({"steam_kg_h": 0.0}, "impossible_figure"),
        ({"water_mass_kg": -1.0}, "impossible_figure"),
        ({"feed": float("nan")}, "impossible_figure"),
        ({"target": 1400.0}, "impossible_figure"),
        ({"expanded": -1.0}, "impossible_figure"),
        ({"makeup_c": 150.0}, "impossible_figure"),
        ({"gauge_kpa": 20000.0}, "impossible_figure"),
    ],
)
def test_advice_that_cannot_be_safe_is_refused(changes, code):
    assert refusal(**changes).code == code


def test_just_inside_three_times_the_limit_is_still_planned():
    assert plan_blowdown(replace(CASE, value=3900.0)).hours > 0.0


@given(
    value=st.floats(100.0, 5000.0),
    relative=st.floats(0.0, 0.2),
    target=st.floats(100.0, 3000.0),
    headroom=st.floats(1.0, 1.5),
    feed=st.floats(0.1, 500.0),
    steam=st.floats(10.0, 1e5),
    mass=st.floats(100.0, 1e5),
    valve=st.none() | st.floats(1.0, 1e5),
    blow=st.none() | st.floats(1.0, 1e4),
)
def test_a_plan_always_ends_inside_the_limit_by_its_uncertainty(
    value, relative, target, headroom, feed, steam, mass, valve, blow
):
    case = replace(
        CASE,
        value=value,
        expanded=relative * value,
        target=target,
        high=target * headroom,
        feed=feed,
        steam_kg_h=steam,
        water_mass_kg=mass,
        continuous_max_kg_h=valve,
        bottom_blow_kg=blow,
    )
    try:
        plan = plan_blowdown(case)
    except Refused as refused:
        assert refused.code and str(refused)
        return
    assert plan.predicted + plan.predicted_expanded <= case.high
    assert plan.predicted <= plan.aim * (1.0 + 1e-9) <= case.target * (1.0 + 1e-9)
    assert 0.0 <= plan.hours <= 24.0 and plan.extra_water_kg > 0.0
    assert plan.predicted_expanded >= 0.0 and plan.heat_lost_kwh > 0.0


@given(st.floats(0.9, 1.1), st.floats(0.9, 1.1), st.floats(0.9, 1.1), st.floats(-1.0, 1.0))
def test_figures_off_by_what_is_stated_land_within_twice_the_uncertainty(steam, mass, feed, shift):
    plan = plan_blowdown(CASE)
    true = replace(
        CASE,
        steam_kg_h=CASE.steam_kg_h * steam,
        water_mass_kg=CASE.water_mass_kg * mass,
        feed=CASE.feed * feed,
    )
    landed = simulate(true, plan.raise_to_kg_h, plan.hours, CASE.value + shift * CASE.expanded)
    # four figures at their ends at once exceed quadrature by at most sqrt(4), plus curvature
    assert abs(landed - plan.predicted) <= 2.1 * plan.predicted_expanded


def test_every_plan_carries_cautions_and_defers_to_the_plant():
    for case in (CASE, BOTTOM):
        plan = plan_blowdown(case)
        text = " ".join(plan.cautions)
        for word in (
            "advice",
            "procedures",
            "codes",
            "maker",
            "licensed",
            "scald",
            "140",
            "gauge glass",
            "takes phosphate, sulfite and alkalinity along",
        ):
            assert word in text
        assert any("stands in" in line for line in plan.assumptions)
        assert plan.source and plan.retest_after_min >= plan.hours * 60.0


def test_the_rules_of_our_own_stand_as_documented():
    """Rules of our own, restated: a day, twelve blows, half an hour apart, a quarter to mix."""
    assert plan_blowdown(CASE).retest_after_min == math.ceil(plan_blowdown(CASE).hours * 60) + 15
    slow = replace(CASE, value=1310.0, water_mass_kg=49000.0, continuous_max_kg_h=850.0)
    hours = plan_blowdown(slow).hours
    nearly = replace(slow, water_mass_kg=49000.0 * 23.99 / hours)
    assert plan_blowdown(nearly).hours == pytest.approx(23.99)
    with pytest.raises(Refused):
        plan_blowdown(replace(slow, water_mass_kg=49000.0 * 24.01 / hours))


def test_bottom_blows_are_half_an_hour_apart_and_at_most_twelve():
    plan = plan_blowdown(BOTTOM)
    assert plan.hours == 0.5 * (plan.blows - 1)
    # each blow of a hundredth takes one per cent: twelve reach 0.886, thirteen reach 0.878
    pure = replace(BOTTOM, feed=1e-9, bottom_blow_kg=120.0, value=1000.0, high=1300.0)
    assert plan_blowdown(replace(pure, target=887.0)).blows == 12
    with pytest.raises(Refused) as caught:
        plan_blowdown(replace(pure, target=880.0))
    assert caught.value.code == "too_many_blows"


def test_the_prediction_allows_ten_percent_on_each_figure():
    """By hand for a sure reading and pure feed: C = C0 exp(-B t / M), so M and B alone count."""
    case = replace(CASE, expanded=0.0, feed=1e-9)
    plan = plan_blowdown(case)
    share = plan.raise_to_kg_h * plan.hours / 12000.0
    one = case.value * (math.exp(-share / 1.1) - math.exp(-share))
    assert plan.predicted_expanded == pytest.approx(math.hypot(one, one), rel=1e-6)
