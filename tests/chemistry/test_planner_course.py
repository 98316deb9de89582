"""How water is swapped, against the balance of the drum integrated step by step."""

from dataclasses import replace

import pytest

from chemistry.blowdown import value_after
from chemistry.planner_case import CONTINUOUS, Valve
from chemistry.planner_course import SLOPE_STEP, SWAP_MOST_PER_HOUR, Swapped, ways
from tests.chemistry.planner_cases import BANKED, STEAMING

BLOWN = replace(
    STEAMING,
    valves=(Valve("bottom", blow_kg=600.0),),
    level_span_kg=900.0,
    tank_kg=1000.0,
    tank_recovery_h=1.0,
    load_share=0.1,
    bottom_load_most=0.5,
)


def way_of(case):
    return ways(case)[0][0]


@pytest.mark.parametrize("share", [0.02, 0.1, 0.4, 0.8])
def test_a_continuous_valve_swaps_as_the_balance_says(share):
    """UFC 3-240-13FN (2005), eqs. 5 to 8, exact solution in chemistry.blowdown."""
    course = way_of(STEAMING).course(share)
    start, feed = 1500.0, 60.0
    after = value_after(start, feed, 8000.0, course.rate_kg_h, 12_000.0, course.hours)
    assert start * (1.0 - share) + course.fed * feed == pytest.approx(after, rel=1e-9)
    assert course.blown_kg == pytest.approx(course.rate_kg_h * course.hours)
    assert course.hours >= 1.0 - 1e-9 and course.rate_kg_h <= 1500.0 + 1e-9


@pytest.mark.parametrize("share", [0.02, 0.05, 0.2, 0.45])
def test_blows_swap_as_the_balance_says(share):
    """By steps: each blow is drained and refilled, between them the boiler steams on."""
    course = way_of(BLOWN).course(share)
    start, feed = 1500.0, 60.0
    value = start
    for count in range(course.blows):
        if count:
            value += 8000.0 * feed * 1.0 / 12_000.0
        value -= course.blow_kg / 12_000.0 * (value - feed)
    assert start * (1.0 - share) + course.fed * feed == pytest.approx(value, rel=1e-9)
    assert course.blow_kg <= 600.0 + 1e-9
    assert course.hours == pytest.approx((course.blows - 1) * 1.0)


@pytest.mark.parametrize("share", [0.02, 0.05, 0.08, 0.3])
@pytest.mark.parametrize("case", [STEAMING, BLOWN, BANKED], ids=["steady", "blown", "banked"])
def test_what_a_course_swaps_by_its_own_figures(case, share):
    """The balance again, from rate and blows: heavier by a tenth and faster by a tenth is the
    same share, but for what the steam left behind."""
    course = way_of(case).course(share)
    swapped = course.swapped(case)
    assert (swapped.share, swapped.fed) == pytest.approx((share, course.fed), rel=1e-9)
    both = course.swapped(case, mass=1.1, flow=1.1)
    assert both.share == pytest.approx(share, rel=1e-9)
    rest = swapped.fed - share
    assert both.fed - share == pytest.approx(rest / 1.1, rel=1e-9, abs=1e-12)


def test_a_share_of_whole_blows_takes_just_so_many():
    course = way_of(BANKED).course(1.0 - 0.95**3)
    assert course.blows == 3 and course.blow_kg == pytest.approx(600.0)
    assert course.fed == pytest.approx(course.share)


def test_a_share_of_nothing_is_nothing():
    for case in (STEAMING, BANKED):
        course = way_of(case).course(0.0)
        assert course.swapped(case).share == course.swapped(case).fed == course.rate_kg_h == 0.0
        assert course.share == 0.0 and course.swapped(case) == Swapped(0.0, 0.0)
        assert (course.fed, course.hours, course.blown_kg, course.blows) == (0.0, 0.0, 0.0, 0)


def test_a_small_share_is_one_blow():
    for case in (BANKED, BLOWN):
        course = way_of(case).course(0.005)
        assert course.blows == 1 and course.blow_kg == pytest.approx(60.0)
    assert way_of(STEAMING).course(0.005).hours == pytest.approx(1.0)
    assert way_of(BANKED).fed_slope(0.005) == pytest.approx(1.0)
    assert way_of(BLOWN).fed_slope(0.005) == pytest.approx(1.0, abs=1e-6)


def test_the_most_that_can_be_swapped():
    """Rules of our own of the blowdown remedy: a day, twelve blows; 2 t/h of 12 t, 600 kg."""
    assert way_of(STEAMING).share_most == pytest.approx(1.0 - 2.718281828**-3.0, rel=1e-8)
    assert way_of(BANKED).share_most == pytest.approx(1.0 - 0.95**12)


def test_the_slope_of_what_is_fed():
    """Against a wider difference; at the start what the valve does fully open."""
    for case, start in ((STEAMING, 1.0 + 8000.0 / 1500.0), (BLOWN, 1.0 + 8000.0 * 1.0 / 600.0)):
        way = way_of(case)
        assert way.fed_slope(0.0) == pytest.approx(start)
        rise = way.course(0.32).fed - way.course(0.318).fed
        assert way.fed_slope(0.32) == pytest.approx(rise / 0.002, rel=0.01)
    assert SLOPE_STEP == 1e-3


def test_a_hot_swap_is_slow():
    """Rule of our own: a quarter of the water in an hour."""
    assert SWAP_MOST_PER_HOUR == 0.25
    way = way_of(replace(STEAMING, water_mass_kg=4000.0))
    assert way.most == pytest.approx(1000.0) and way.valve.kind == CONTINUOUS
