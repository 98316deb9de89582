"""Leaks and hideout: the rules by which they are told of, and the least that shows."""

import math
from dataclasses import replace

import pytest

from chemistry import drum_words
from chemistry.drum import Result, Setting
from chemistry.drum_filter import Spread
from chemistry.drum_leaks import SPREAD_TIMES, Leak, Watch, fluid_of, least_that_shows, watch
from tests.chemistry.simulated_drums import MASS_KG, SEAWATER, SOLUTES, USUAL_U, Plot, story

STEADY = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0})
SEA = fluid_of("seawater", SEAWATER, USUAL_U, STEADY, MASS_KG)


def test_the_least_that_shows_in_a_day():
    """Three times 1 mg/kg: what a kg/h of 19 383 mg/kg brings in 24 h, 50 h being the time constant
    (calculated by hand)."""
    a_kg_h = 19_383.0 / 1000.0 * -math.expm1(-24.0 / 50.0)
    assert least_that_shows({"chloride": 19_383.0}, USUAL_U, STEADY, MASS_KG) == pytest.approx(
        3.0 / a_kg_h
    )


def test_the_clearest_solute_decides():
    both = {"chloride": 19_383.0, "phosphate": -1e9}
    assert least_that_shows(both, USUAL_U, STEADY, MASS_KG) < 0.01


def test_what_moves_little_shows_in_the_end():
    assert math.isfinite(least_that_shows({"chloride": 10.0}, USUAL_U, STEADY, MASS_KG))


def test_what_moves_nothing_never_shows():
    assert least_that_shows({"chloride": 0.0, "silica": 9.0}, USUAL_U, STEADY, MASS_KG) == math.inf


def test_a_leak_may_be_eight_times_what_shows():
    """Rule of our own."""
    shows = least_that_shows(SEAWATER, USUAL_U, STEADY, MASS_KG)
    assert pytest.approx(8.0 * shows) == SEA.spread_kg_h
    assert (SEA.key, SEA.brings) == ("seawater", SEAWATER)


def short(hours):
    """Return a log of a boiler into which seawater has come from the first hour."""
    return [
        STEADY,
        *(
            Result(float(hour), "chloride", 21.0 + 1.9 * max(0, hour - 8), 0.5)
            for hour in range(0, hours + 1, 4)
        ),
    ]


@pytest.mark.parametrize(("hours", "watched"), [(44, False), (48, True)])
def test_two_days_of_log_are_needed(hours, watched):
    found = watch(MASS_KG, ("chloride",), short(hours), [SEA])
    assert bool(found.fluids) is watched
    assert bool(found.leaks) is watched
    assert found.belief.at_h == hours
    assert (found.belief.leak_kg_h is not None) is watched


def told(z, evidence, base=None):
    base = base or watch(MASS_KG, ("chloride",), short(48), [SEA]).fluids[0]
    return replace(base, kg_h=Spread(z, 1.0), evidence=evidence)


@pytest.mark.parametrize(("z", "is_told"), [(3.001, True), (2.999, False), (-5.0, False)])
def test_a_leak_is_told_of_at_three_standard_uncertainties(z, is_told):
    assert told(z, 1.0).told is is_told


@pytest.mark.parametrize(("behind", "count"), [(2.99, 2), (3.01, 1)])
def test_fluids_that_explain_alike_are_both_told(behind, count):
    base = watch(MASS_KG, ("chloride",), short(48), [SEA])
    first, second = (told(5.0, evidence, base.fluids[0]) for evidence in (10.0, 10.0 - behind))
    assert len(Watch(base.without, (first, second)).leaks) == count


def test_a_fluid_is_named_by_the_last_three_days():
    log = [*short(100), Result(27.6, "chloride", 60.0, 0.5), Result(28.0, "chloride", 60.0, 0.5)]
    found = watch(MASS_KG, ("chloride",), log, [SEA])
    leak = found.fluids[0]
    recent = [
        one.evidence - other.evidence
        for one, other in zip(leak.followed.foretold, found.without.foretold, strict=True)
        if one.result.at_h >= 28.0
    ]
    assert leak.evidence == pytest.approx(sum(recent))


@pytest.mark.parametrize(
    ("per_h", "u", "said"),
    [
        (2.01, 1.0, "hiding"),
        (1.99, 1.0, ""),
        (-1.99, 1.0, ""),
        (-2.01, 1.0, "returning"),
        (0.005, 0.001, "hiding"),
    ],
)
def test_hideout_is_told_of_at_two_standard_uncertainties(per_h, u, said):
    found = watch(MASS_KG, SOLUTES, story(4, 3).log, (), "phosphate")
    belief = found.without.belief
    means, covariances = belief.means.copy(), belief.covariances.copy()
    at = belief.model.hideout_at
    means[:, at], covariances[:, at, at] = per_h, u**2
    sure = replace(belief, means=means, covariances=covariances)
    assert Watch(replace(found.without, belief=sure), ()).hideout == said


@pytest.mark.parametrize(
    ("hideout", "said"),
    [
        pytest.param(0.03, "hiding", id="hides"),
        pytest.param(-0.03, "returning", id="comes back"),
        pytest.param(0.0, "", id="neither"),
    ],
)
def test_hideout_and_its_return(hideout, said):
    found = watch(MASS_KG, SOLUTES, story(4, 9, Plot(hideout=hideout)).log, (), "phosphate")
    assert found.hideout == said
    assert found.hideout == "" or found.hideout in drum_words.HIDEOUT
    assert found.leaks == ()
    assert found.belief is found.without.belief


def test_without_phosphate_there_is_no_hideout():
    assert watch(MASS_KG, ("chloride",), short(8)).hideout == ""


def test_a_leak_is_what_its_filter_says():
    found = watch(MASS_KG, ("chloride",), short(60), [SEA]).leaks[0]
    assert isinstance(found, Leak)
    assert found.kg_h == found.followed.belief.leak_kg_h
    assert found.kg_h.value == pytest.approx(4.9 * 1.15, rel=0.2)


def test_a_leak_may_well_be_eight_times_the_least_that_shows():
    """Rule of our own, by simulation: typed a second time."""
    assert SPREAD_TIMES == 8.0
