"""Forecasts: the hour that the balance gives, the band, and what is refused."""

import math

import pytest

from chemistry.drum import Result, Setting
from chemistry.drum_filter import follow
from chemistry.drum_forecast import forecast
from chemistry.drum_model import Model
from chemistry.errors import Refused

MASS_KG = 50_000.0
STEADY = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0})


def belief(value=41.0, count=1, u=0.01, setting=STEADY):
    log = [setting, *(Result(8.0 * at, "chloride", value, u) for at in range(count))]
    return follow(Model(MASS_KG, ("chloride",)), log).belief


def crossed(found, values, limit):
    """Return the hour at which rising values pass a limit, read off a straight line."""
    at = next(at for at, value in enumerate(values) if value > limit)
    rise = (limit - values[at - 1]) / (values[at] - values[at - 1])
    return found.hours[at - 1] + rise * (found.hours[at] - found.hours[at - 1])


def hours_to(value, start=41.0):
    return -50.0 * math.log((value - 21.0) / (start - 21.0))


@pytest.mark.parametrize(
    ("start", "low", "high", "limit", "side"),
    [
        pytest.param(41.0, 35.0, None, 35.0, "low", id="falls below"),
        pytest.param(11.0, None, 15.0, 15.0, "high", id="rises above"),
    ],
)
def test_the_hour_at_which_it_leaves(start, low, high, limit, side):
    """(M / B) ln((C0 - Css) / (C - Css)), as chemistry.blowdown.hours_to_reach has it."""
    found = forecast(belief(start), "chloride", low, high)
    assert found.leaves_h == pytest.approx(hours_to(limit, start), rel=0.03)
    assert 0.0 < found.soonest_h < found.leaves_h
    assert found.side == side


def test_the_band_may_leave_where_the_value_does_not():
    found = forecast(belief(21.0, 9, 1.0), "chloride", 0.0, 24.0)
    assert found.leaves_h is None
    assert found.soonest_h == pytest.approx(crossed(found, [v.high for v in found.values], 24.0))
    assert found.side == "high"
    assert found.values[0].u < found.values[-1].u


def test_the_band_at_the_low_end():
    found = forecast(belief(21.0, 9, 1.0), "chloride", 18.0, 99.0)
    assert (found.leaves_h, found.side) == (None, "low")
    assert found.soonest_h == pytest.approx(crossed(found, [-v.low for v in found.values], -18.0))


def test_within_a_wide_range_it_stays():
    found = forecast(belief(21.0, 9, 1.0), "chloride", 0.0, 99.0)
    assert (found.leaves_h, found.soonest_h, found.side) == (None, None, "")


def test_what_is_out_of_range_now_leaves_now():
    found = forecast(belief(), "chloride", None, 30.0)
    assert (found.leaves_h, found.soonest_h, found.side) == (0.0, 0.0, "high")
    assert forecast(belief(), "chloride", None, 40.995).leaves_h == 0.0


def test_it_is_worked_for_each_hour_and_the_last():
    found = forecast(belief(), "chloride", hours=2.5)
    assert found.hours == (0.0, 1.0, 2.0, 2.5)
    expected = [21.0 + 20.0 * math.exp(-hour / 50.0) for hour in found.hours]
    assert [each.value for each in found.values] == pytest.approx(expected, rel=0.005)


def test_nothing_less_than_nothing_is_foretold():
    used_up = Setting(0.0, 20_000.0, 1000.0, {}, {"chloride": -1e5})
    found = forecast(belief(5.0, setting=used_up), "chloride")
    assert found.values[-1].value == 0.0


def test_three_days_unless_asked_otherwise_and_a_week_at_most():
    assert forecast(belief(), "chloride").hours[-1] == 72.0
    assert forecast(belief(), "chloride", hours=168.0).hours[-1] == 168.0
    assert forecast(belief(), "chloride", hours=0.005).hours == (0.0, 0.005)


@pytest.mark.parametrize("hours", [0.0, -1.0, 168.5, math.nan])
def test_what_is_too_far_is_refused(hours):
    with pytest.raises(Refused) as refused:
        forecast(belief(), "chloride", hours=hours)
    assert refused.value.code == "too_far"


def test_a_boiler_that_does_not_steam_is_not_foretold():
    banked = Setting(1.0, 0.0, 0.0, {}, state="banked")
    log = [STEADY, Result(0.0, "chloride", 21.0, 1.0), banked]
    with pytest.raises(Refused) as refused:
        forecast(follow(Model(MASS_KG, ("chloride",)), log).belief, "chloride")
    assert refused.value.code == "not_steaming"
