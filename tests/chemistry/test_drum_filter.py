"""The filter by itself: what it must do in cases that can be seen through, and pinned figures."""

import math

import numpy as np
import pytest

from chemistry import drum_words
from chemistry.drum import Blow, Dose, Result, Setting
from chemistry.drum_filter import Spread, acted, advanced, follow
from chemistry.drum_model import Fluid, Model
from chemistry.errors import ChemistryError

MASS_KG = 50_000.0
MODEL = Model(MASS_KG, ("chloride",))
STEADY = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0})
SEA = Fluid("seawater", {"chloride": 19_383.0, "phosphate": -590.0}, 3.0)
FULL = Model(MASS_KG, ("chloride", "phosphate"), "phosphate", SEA)


def results(*values, u=1.0, start=0.0, solute="chloride"):
    return [Result(start + 8.0 * at, solute, value, u) for at, value in enumerate(values)]


def full_log():
    setting = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0}, {"phosphate": 20_000.0})
    return [
        setting,
        *results(21.0, 22.0, 20.5, 21.5, 24.0, 28.0, 33.0),
        *results(20.0, 19.0, 19.5, 18.0, 17.0, 16.5, 15.0, solute="phosphate", start=1.0),
        Dose(20.5, {"phosphate": 1e5}),
        Blow(30.0, 1000.0),
        Setting(33.0, 15_000.0, 1500.0, {"chloride": 1.1}, {"phosphate": 25_000.0}),
        Setting(41.0, 0.0, 0.0, {}, state="banked"),
        Setting(45.0, 21_000.0, 1200.0, {"chloride": 1.0}, {"phosphate": 25_000.0}),
    ]


def test_a_steady_boiler_is_believed_steady():
    found = follow(MODEL, [STEADY, *results(*[21.0] * 30)]).belief
    assert found.concentration("chloride").value == pytest.approx(21.0, abs=0.1)
    assert found.blowdown_kg_h.value == pytest.approx(1000.0, rel=0.02)
    assert found.cycles.value == pytest.approx(21.0, rel=0.02)
    assert found.time_constant_h == pytest.approx(50.0, rel=0.02)
    assert found.leak_kg_h is None
    assert found.hideout_per_h is None


def test_the_true_blowdown_shows_in_the_cycles():
    """Twice the chloride that the logged flows explain: half the blowdown, but for the feed."""
    found = follow(MODEL, [STEADY, *results(*[41.0] * 60)]).belief
    assert found.blowdown_kg_h.value == pytest.approx(520.0, rel=0.08)
    assert found.cycles.value == pytest.approx(40.0, rel=0.08)


def test_cycles_carry_the_uncertainty_of_the_blowdown():
    found = follow(MODEL, [STEADY, *results(*[21.0] * 9)]).belief
    blowdown, cycles = found.blowdown_kg_h, found.cycles
    assert cycles.value == pytest.approx(1.0 + 20_000.0 / blowdown.value)
    assert cycles.u / (cycles.value - 1.0) == pytest.approx(blowdown.u / blowdown.value)


def test_a_spread_reaches_two_standard_uncertainties():
    assert (Spread(10.0, 2.0).low, Spread(10.0, 2.0).high) == (6.0, 14.0)


def test_what_is_foretold_of_a_result_was_foretold_before_it():
    found = follow(MODEL, [STEADY, *results(21.0, 21.0, 21.0, 30.0)])
    last = found.foretold[-1]
    assert last.result.value == 30.0
    assert last.expected.value == pytest.approx(21.0, abs=0.5)
    assert last.z == pytest.approx((30.0 - last.expected.value) / last.expected.u)
    assert last.evidence < found.foretold[-2].evidence


def test_evidence_is_counted_from_an_hour():
    found = follow(MODEL, [STEADY, *results(21.0, 22.0, 23.0)])
    every = [each.evidence for each in found.foretold]
    assert found.evidence(8.0) == pytest.approx(sum(every[1:]))
    assert found.evidence(-1.0) == pytest.approx(sum(every))


def test_noisier_results_than_stated_are_learned():
    rng = np.random.default_rng(1)
    quiet = follow(MODEL, [STEADY, *results(*(21.0 + 0.5 * rng.standard_normal(90)))]).belief
    noisy = follow(MODEL, [STEADY, *results(*(21.0 + 1.5 * rng.standard_normal(90)))]).belief
    assert noisy.result("chloride", 1.0).u > 1.8 * quiet.result("chloride", 1.0).u


def test_a_banked_boilers_result_is_not_used():
    log = [
        STEADY,
        *results(21.0, 21.0, 21.0),
        Setting(20.0, 0.0, 0.0, {}, state="banked"),
        Result(24.0, "chloride", 99.0, 1.0),
    ]
    found = follow(MODEL, log)
    assert [(each.value, code) for each, code in found.not_used] == [(99.0, "not_mixed")]
    assert found.not_used[0][1] in drum_words.NOT_USED
    assert found.belief.concentration("chloride").value == pytest.approx(21.0, abs=0.5)


@pytest.mark.parametrize(
    ("state", "least", "most"),
    [
        pytest.param("banked", 0.1, 0.2, id="unmixed: off by a tenth"),
        pytest.param("raising_steam", 0.1, 0.2, id="raising steam"),
        pytest.param("filling", 9.0, 11.0, id="new water: not known"),
    ],
)
def test_water_is_less_sure_after_a_time_without_steaming(state, least, most):
    log = [
        STEADY,
        *results(*[21.0] * 9),
        Setting(70.0, 0.0, 0.0, {}, state=state),
        Setting(72.0, 20_000.0, 1000.0, {"chloride": 1.0}),
    ]
    found = follow(MODEL, log).belief.concentration("chloride")
    assert least <= found.u / found.value <= most


def test_a_dose_and_a_blow_move_the_belief_and_make_it_less_sure():
    model = Model(MASS_KG, ("chloride", "phosphate"))
    log = [STEADY, *results(*[21.0] * 9), *results(*[20.0] * 9, solute="phosphate")]
    before = follow(model, log).belief
    held, blow = before.concentration("phosphate"), Blow(before.at_h, 5000.0)
    after_dose = acted(before, Dose(before.at_h, {"phosphate": 1e6})).concentration("phosphate")
    assert after_dose.value == pytest.approx(held.value + 20.0)
    dosed = acted(before, Dose(before.at_h, {"phosphate": 1e6}))
    assert dosed.concentration("chloride").value == before.concentration("chloride").value
    assert after_dose.u == pytest.approx(math.hypot(held.u, 0.05 * 20.0), rel=1e-6)
    held = before.concentration("chloride")
    after_blow = acted(before, blow).concentration("chloride")
    moved = (1.0 - held.value) * 0.1
    assert after_blow.value == pytest.approx(held.value + moved)
    assert after_blow.u == pytest.approx(math.hypot(0.9 * held.u, 0.1 * moved), rel=1e-3)


def test_it_goes_on_as_the_balance_does():
    """From 41 mg/kg toward 21 with 50 h (calculated)."""
    found = follow(MODEL, [STEADY, *results(41.0, u=0.01)]).belief
    ahead = advanced(found, 24.0).concentration("chloride")
    assert ahead.value == pytest.approx(21.0 + 20.0 * math.exp(-0.48), rel=0.01)
    assert ahead.u > found.concentration("chloride").u
    soon = advanced(found, 0.005)
    assert soon.concentration("chloride").u > found.concentration("chloride").u


def test_a_result_has_the_uncertainty_of_the_water_and_its_own():
    found = follow(MODEL, [STEADY, *results(*[21.0] * 9)]).belief
    water = found.concentration("chloride").u
    assert math.hypot(0.5 * 3.0, water) < found.result("chloride", 3.0).u
    assert found.result("chloride", 3.0).u < math.hypot(1.4 * 3.0, water)


@pytest.mark.parametrize(
    ("entries", "code"),
    [
        ([], "no_setting"),
        ([STEADY], "no_result"),
        ([STEADY, Result(0.0, "chloride", math.nan, 1.0)], "not_a_result"),
        ([STEADY, Result(0.0, "chloride", 1.0, 0.0)], "not_a_result"),
        ([STEADY, *results(1.0), Result(0.0, "silica", 1.0, 0.1)], "not_a_result"),
    ],
)
def test_what_can_not_be_followed_is_refused(entries, code):
    with pytest.raises(ChemistryError) as refused:
        follow(MODEL, entries)
    assert refused.value.code == code


def test_a_result_may_be_very_sure():
    assert follow(MODEL, [STEADY, *results(21.0, 21.0, u=0.005)]).belief.at_h == 8.0


def test_pinned_beliefs():
    """Pinned: computed by this program on an invented log, so that no figure moves unseen."""
    found = follow(FULL, full_log())
    belief = found.belief
    seen = [
        *(belief.concentration(each) for each in FULL.solutes),
        belief.blowdown_kg_h,
        belief.leak_kg_h,
        belief.hideout_per_h,
    ]
    figures = [figure for each in seen for figure in (each.value, each.u)]
    figures.append(found.evidence(0.0))
    assert figures == pytest.approx(PINNED, rel=1e-7)
    later = advanced(belief, belief.at_h + 60.0)
    ahead = [later.concentration(each) for each in FULL.solutes]
    figures = [figure for each in ahead for figure in (each.value, each.u)]
    assert figures == pytest.approx(PINNED_AHEAD, rel=1e-7)


PINNED = [
    33.06981272,
    0.9923692323,
    15.14858329,
    0.8195639144,
    1194.425173,
    277.1067213,
    2.024126531,
    0.8176466083,
    0.006640698096,
    0.006805357907,
    -27.64233802,
]
PINNED_AHEAD = [45.94370595, 14.06403557, 15.85173782, 3.912399078]
