"""The water behind a bench's results, by the solver and the virtual titration."""

import pytest

from chemistry.errors import Refused
from chemistry.planner_water import (
    CARBON_TAKES,
    CLOSE_ENOUGH,
    DISAGREE_PART,
    FEED_ALKALINITY_LEAST,
    ROUNDS_MOST,
    SULFATE_PER_US,
    feed_behind,
    water_behind,
    water_of_alkalinity,
)
from chemistry.solve import equilibrate
from chemistry.titrated import alkalinity_of

TESTED = {"PO4": 40.0, "Cl": 60.0, "SiO2": 15.0, "SO3": 25.0}


@pytest.mark.parametrize(
    ("ph", "conductivity"), [(9.5, 450.0), (10.5, 900.0), (11.3, 1500.0), (11.9, 3200.0)]
)
def test_it_has_the_ph_and_the_conductivity_that_were_read(ph, conductivity):
    solved = equilibrate(water_behind(ph, conductivity, TESTED))
    assert solved.ph == pytest.approx(ph, abs=1e-5)
    assert solved.conductivity == pytest.approx(conductivity, rel=1.5e-4)


def test_what_was_tested_stays_as_it_is():
    water = water_behind(10.5, 900.0, TESTED)
    assert {key: water[key] for key in TESTED} == TESTED
    assert water["C"] == 0.0


@pytest.mark.parametrize("m_alkalinity", [150.0, 250.0, 400.0])
def test_carbonate_follows_from_m_alkalinity(m_alkalinity):
    water = water_behind(10.5, 1500.0, TESTED, m_alkalinity)
    assert alkalinity_of(water).m == pytest.approx(m_alkalinity, rel=2e-3)
    assert equilibrate(water).conductivity == pytest.approx(1500.0, rel=3e-4)
    assert water["C"] > 0.0


def test_ions_that_conduct_a_little_more_are_let_pass():
    """Rule of our own: a tenth."""
    alone = float(equilibrate(water_behind(10.5, 900.0, TESTED)).conductivity)
    bare = {**water_behind(10.5, 900.0, TESTED), "SO4": 0.0}
    least = _conductivity_without_sulfate()
    assert alone > least and bare["SO4"] == 0.0
    assert water_behind(10.5, least / 1.09, TESTED)["SO4"] == 0.0
    with pytest.raises(Refused) as caught:
        water_behind(10.5, least / 1.11, TESTED)
    assert caught.value.code == "readings_disagree" and str(caught.value)


def _conductivity_without_sulfate():
    """Return what the tested ions conduct at pH 10.5 with their sodium, by bisection of the
    search's own edge."""
    low, high = 100.0, 900.0
    for _ in range(40):
        middle = (low + high) / 2.0
        try:
            salt = water_behind(10.5, middle, TESTED)["SO4"]
        except Refused:
            salt = 0.0
        low, high = (middle, high) if salt == 0.0 else (low, middle)
    return high


def test_an_alkalinity_far_below_the_others_is_refused():
    with pytest.raises(Refused) as caught:
        water_behind(11.5, 1500.0, TESTED, 20.0)
    assert caught.value.code == "readings_disagree"


def test_an_acid_water_of_neutral_salts_is_refused():
    with pytest.raises(Refused) as caught:
        water_behind(4.0, 900.0, {"NH3": 30.0})
    assert caught.value.code == "readings_disagree"


def test_alkalinity_at_a_ph_below_its_end_point_is_refused():
    """Standard Methods 2320 B, from memory: M ends at 4.5."""
    for ph in (4.0, 4.5):
        with pytest.raises(Refused) as caught:
            water_behind(ph, 900.0, {"Cl": 30.0}, 10.0)
        assert caught.value.code == "readings_disagree"


def test_the_rules_of_the_search():
    """Rules of our own; they pace and end the search."""
    assert (DISAGREE_PART, CLOSE_ENOUGH, ROUNDS_MOST) == (0.10, 1e-4, 30)
    assert (CARBON_TAKES, SULFATE_PER_US) == (1.5, 0.42)


@pytest.mark.parametrize(
    ("p", "m", "conductivity"), [(60.0, 120.0, 900.0), (200.0, 260.0, 2e3), (360.0, 470.0, 3150.0)]
)
def test_a_water_of_its_alkalinity_titrates_and_conducts_as_it_did(p, m, conductivity):
    """There and back through the virtual titration of chemistry.titrated."""
    water = water_of_alkalinity(p, conductivity, TESTED, m)
    found = alkalinity_of(water)
    assert found.p == pytest.approx(p, rel=2e-3) and found.m == pytest.approx(m, rel=2e-3)
    assert equilibrate(water).conductivity == pytest.approx(conductivity, rel=3e-4)


def test_ph_and_alkalinity_lead_to_one_water():
    water = water_behind(11.2, 1500.0, TESTED)
    again = water_of_alkalinity(float(alkalinity_of(water).p), 1500.0, TESTED)
    assert equilibrate(again).ph == pytest.approx(11.2, abs=2e-3)
    assert again["Na"] == pytest.approx(water["Na"], rel=1e-3)


def test_an_alkalinity_that_no_water_has_is_refused():
    with pytest.raises(Refused, match="don't describe one water"):
        water_of_alkalinity(400.0, 300.0, TESTED)
    with pytest.raises(Refused, match="don't describe one water"):
        # phosphate, sulfite and silica alone take 44 mg/L between the end points
        water_of_alkalinity(60.0, 900.0, TESTED, 90.0)


def test_bicarbonate_of_the_feed_turns_to_caustic():
    """By hand: 50 mg/L as CaCO3 are 1.0 meq/L, of sodium 23 mg/kg; 200 µS/cm leave some 0.9 meq/L
    of sodium sulfate."""
    feed = feed_behind(200.0, 50.0)
    assert feed["C"] == 0.0
    base = feed["Na"] / 22.990 - feed["SO4"] / 48.03
    # the end point takes 1.6 of the 50 by itself
    assert base == pytest.approx((50.0 - 1.6) / 50.04, rel=0.015)
    # in the boiler all of it is P alkalinity
    assert alkalinity_of(feed).p == pytest.approx(base * 50.04, rel=0.01)


def test_what_the_end_point_takes_by_itself_is_no_alkalinity_of_a_feedwater():
    """1.6 mg/L as CaCO3 bring pure water to pH 4.5: 10^-4.5 mol/L, by hand."""
    assert 50_040.0 * 10.0**-4.5 < FEED_ALKALINITY_LEAST == 2.0
    assert feed_behind(100.0, 2.0) == feed_behind(100.0, 0.0)
    assert feed_behind(100.0, 2.1)["Na"] != feed_behind(100.0, 0.0)["Na"]
