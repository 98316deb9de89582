"""The drum filter on invented boilers: 3 samples a day, 5 % noise, 50 t, 20 t/h of steam.

Goals of our own: 5 kg/h of seawater told of within a day, at most 2 % of boilers with a false
alarm, 90 to 98 % of the truth inside two standard uncertainties.
"""

import pytest

from chemistry.drum_filter import advanced, follow
from chemistry.drum_leaks import LEAK_Z, fluid_of, least_that_shows, watch
from chemistry.drum_model import Model
from tests.chemistry.simulated_drums import (
    MASS_KG,
    NOTHING,
    RIVER,
    SEAWATER,
    SOLUTES,
    USUAL_U,
    Plot,
    story,
)

BOILERS = 20
LEARNED_H = 72.0
MODEL = Model(MASS_KG, SOLUTES, "phosphate")


def fluids(log):
    return [
        fluid_of(key, brings, USUAL_U, log[0], MASS_KG)
        for key, brings in (("seawater", SEAWATER), ("river", RIVER))
    ]


def watched(log):
    return watch(MASS_KG, SOLUTES, log, fluids(log), "phosphate")


def first_told_h(found, key):
    """Return the first hour at which a fluid's leak was told of, once the filter had learned."""
    (leak,) = (each for each in found.fluids if each.fluid.key == key)
    told = (
        belief.at_h
        for belief in leak.followed.course
        if belief.at_h > LEARNED_H and belief.leak_kg_h.value >= LEAK_Z * belief.leak_kg_h.u
    )
    return next(told, None)


@pytest.mark.parametrize(
    ("noise", "restless"),
    [
        pytest.param(0.05, None, id="as stated"),
        pytest.param(0.03, None, id="better than stated"),
        pytest.param(0.07, None, id="worse than stated"),
        pytest.param(0.05, 0.02, id="steady feed"),
        pytest.param(0.05, 0.25, id="restless feed"),
    ],
)
def test_two_standard_uncertainties_hold_the_truth(noise, restless):
    concentrations, results, blowdowns, ahead = [], [], [], []
    for seed in range(8):
        told = story(seed, 20, noise=noise, restless=restless)
        found = follow(MODEL, told.log)
        known = [belief for belief in found.course if belief.at_h > LEARNED_H]
        concentrations += [
            abs(belief.concentration(each).value - told.truth[belief.at_h][each])
            <= 2.0 * belief.concentration(each).u
            for belief in known
            for each in SOLUTES
        ]
        results += [abs(each.z) <= 2.0 for each in found.foretold if each.result.at_h > LEARNED_H]
        blowdowns.append(
            abs(known[-1].blowdown_kg_h.value - told.blowdown) <= 2.0 * known[-1].blowdown_kg_h.u
        )
        hours = sorted(told.truth)
        for belief in known[::3]:
            later = [hour for hour in hours if 20.0 < hour - belief.at_h < 28.0]
            for hour in later[:1]:
                then = advanced(belief, hour)
                ahead += [
                    abs(then.concentration(each).value - told.truth[hour][each])
                    <= 2.0 * then.concentration(each).u
                    for each in SOLUTES
                ]
    assert 0.90 <= sum(concentrations) / len(concentrations) <= 0.98
    assert 0.90 <= sum(results) / len(results) <= 0.98
    assert sum(blowdowns) >= 7
    assert sum(ahead) / len(ahead) >= 0.90


def test_a_seawater_leak_is_told_of_in_a_day_and_named():
    """5 kg/h into 50 t: 16 mg/L of chloride in 8 h (calculated)."""
    for seed in range(BOILERS):
        told = story(3000 + seed, 9, Plot(SEAWATER, 5.0))
        found = watched(told.log)
        assert 168.0 <= first_told_h(found, "seawater") <= 168.0 + 24.0
        assert [each.fluid.key for each in found.leaks] == ["seawater"]
        leak = found.leaks[0].kg_h
        assert abs(leak.value - 5.0) <= 2.5 * leak.u


def test_no_leak_is_told_of_where_there_is_none():
    alarms = 0
    for seed in range(2 * BOILERS):
        found = watched(story(5000 + seed, 10, NOTHING).log)
        told = [first_told_h(found, each) is not None for each in ("seawater", "river")]
        alarms += any(told)
    assert alarms <= 0.02 * 2 * BOILERS


def test_a_little_river_water_is_not_seen_and_the_least_that_shows_says_so():
    """5 kg/h of river water: next to nothing. The least that would show is about 100 kg/h."""
    told = story(7000, 12, Plot(RIVER, 5.0))
    found = watched(told.log)
    assert found.leaks == ()
    least = least_that_shows(RIVER, USUAL_U, told.log[0], MASS_KG)
    assert 80.0 < least < 200.0


def test_phosphate_that_hides_is_told_of():
    """2 % an hour, as much as blowdown takes; a tenth of the boilers may keep it to themselves."""
    noticed = returned = 0
    for seed in range(10):
        found = watch(
            MASS_KG, SOLUTES, story(2000 + seed, 11, Plot(hideout=0.02)).log, (), "phosphate"
        )
        noticed += found.hideout == "hiding"
        found = watch(MASS_KG, SOLUTES, story(2000 + seed, 11).log, (), "phosphate")
        returned += found.hideout != ""
    assert noticed >= 9
    assert returned == 0
