"""The dosing remedy: ends at the target inside the range, or is refused with its reason."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.dosing import CHEMICALS
from chemistry.dosing_plan import DoseCase, plan_dose
from chemistry.errors import Refused

PHOSPHATE = DoseCase(
    analyte="phosphate",
    value=22.0,
    expanded=2.0,
    low=30.0,
    target=40.0,
    high=60.0,
    chemical="tsp_crystals",
    strength_percent=98.0,
    steam_kg_h=8000.0,
    feed_conductivity=60.0,
    boiler_conductivity=1260.0,
    water_mass_kg=12000.0,
    next_test_h=8.0,
    working_psig=150.0,
    state="steaming",
    program="free_caustic",
)
SULFITE = replace(
    PHOSPHATE,
    analyte="sulfite",
    value=18.0,
    low=20.0,
    target=30.0,
    high=40.0,
    chemical="sodium_sulfite",
    feed_oxygen=7.0,
)
ALKALI = replace(
    PHOSPHATE,
    analyte="hydroxide_alkalinity",
    value=120.0,
    expanded=10.0,
    low=150.0,
    target=200.0,
    high=300.0,
    chemical="caustic_soda",
    strength_percent=50.0,
)
EVERY = pytest.mark.parametrize("case", [PHOSPHATE, SULFITE, ALKALI], ids=lambda c: c.analyte)


def refusal(case: DoseCase, **changes: object) -> Refused:
    with pytest.raises(Refused) as caught:
        plan_dose(replace(case, **changes))
    assert str(caught.value) and "%(" not in str(caught.value)
    return caught.value


@EVERY
def test_the_dose_brings_the_water_to_the_target(case):
    """By hand: mass x strength x what counts of it, over the water."""
    plan = plan_dose(case)
    share = CHEMICALS[case.chemical].share(case.analyte) * case.strength_percent / 100.0
    assert plan.doses == 1 and plan.aim == case.target
    assert plan.dose_kg * share / 12000.0 * 1e6 == pytest.approx(case.target - case.value)


def test_the_dose_by_hand():
    """18 mg/L in 12 t of water are 216 g PO4: 882 g of crystals that are 98 % pure."""
    plan = plan_dose(PHOSPHATE)
    assert plan.dose_kg == pytest.approx(0.882, abs=5e-4)
    assert plan.strength_percent == pytest.approx(98.0)
    assert plan.blowdown_kg_h == pytest.approx(400.0)  # 21 cycles
    assert plan.hold_kg_h == pytest.approx(40e-6 * 400.0 / 0.2498 / 0.98, rel=1e-3)
    assert plan.until_next_kg == pytest.approx(8.0 * plan.hold_kg_h)
    # half an hour's blowdown, 200 kg of 12000, thins what was dosed
    assert plan.predicted == pytest.approx(40.0 * math.exp(-200.0 / 12000.0))
    assert plan.predicted_expanded == pytest.approx(math.hypot(2.0, 1.8, 0.9))
    # one equivalent a mole above the P end point, NAVEDTRA 14075, Table 7-4
    assert plan.alkalinity_change == pytest.approx(18.0 / 94.97 * 50.04, rel=1e-3)


def test_a_thin_solution_is_dosed_like_any_other():
    """By hand: 216 g PO4 of crystals dissolved to 1 %."""
    plan = plan_dose(replace(PHOSPHATE, strength_percent=1.0))
    assert plan.dose_kg == pytest.approx(0.216 / 0.2498 / 0.01, rel=1e-3)


def test_oxygen_adds_to_what_holds_the_sulfite():
    without = plan_dose(replace(SULFITE, feed_oxygen=0.0))
    plan = plan_dose(SULFITE)
    assert plan.hold_kg_h - without.hold_kg_h == pytest.approx(plan.oxygen_kg_h)
    assert plan.oxygen_kg_h == pytest.approx(8400.0 * 7e-9 * 7.878 / 0.98, rel=1e-3)


def test_a_large_rise_goes_in_steps():
    plan = plan_dose(replace(PHOSPHATE, value=5.0))
    assert plan.doses == 2
    assert plan.predicted < PHOSPHATE.low  # half way, and a test before the rest


@pytest.mark.parametrize(("value", "doses"), [(20.0, 1), (19.9, 2), (0.0, 2)])
def test_one_step_is_at_most_half_the_target(value, doses):
    """Rule of our own."""
    assert plan_dose(replace(PHOSPHATE, value=value)).doses == doses


def test_at_most_500_mg_of_pure_chemical_for_a_kilogram_at_once():
    """Rule of our own, by hand: 124.9 mg/L PO4 are 499.9 mg/kg of crystals, 125.0 are 500.3."""
    empty = replace(PHOSPHATE, value=0.0, high=None)
    plan = plan_dose(replace(empty, target=249.8))
    assert plan.doses == 2 and plan.dose_kg * 0.98 / 12000.0 == pytest.approx(499.9e-6, rel=1e-4)
    assert refusal(empty, target=250.0).code == "dose_too_large"


def test_an_unsure_reading_is_aimed_lower():
    """Rule of our own, by hand: of tenths of the way from 40 down to 30, 35 may be 60.04."""
    plan = plan_dose(replace(PHOSPHATE, expanded=25.0))
    assert plan.aim == pytest.approx(34.0)
    assert refusal(PHOSPHATE, expanded=31.0).code == "range_too_narrow"


@EVERY
@pytest.mark.parametrize(
    "key",
    [
        "chemical",
        "strength_percent",
        "steam_kg_h",
        "feed_conductivity",
        "boiler_conductivity",
        "water_mass_kg",
        "next_test_h",
    ],
)
def test_each_missing_figure_is_named(case, key):
    found = refusal(case, **{key: "" if key == "chemical" else None})
    assert (found.code, found.missing) == ("figures_missing", (key,))


@pytest.mark.parametrize(
    ("case", "changes", "code"),
    [
        (PHOSPHATE, {"state": "banked"}, "not_steaming"),
        (PHOSPHATE, {"state": "unknown"}, "not_steaming"),
        (PHOSPHATE, {"value": 40.0}, "nothing_to_do"),
        (PHOSPHATE, {"program": "congruent"}, "congruent"),
        (PHOSPHATE, {"program": "not_sure"}, "program_not_known"),
        (
            PHOSPHATE,
            {"program": "coordinated", "chemical": "dsp_anhydrous"},
            "lowers_ph",
        ),
        (PHOSPHATE, {"chemical": "caustic_soda"}, "other_chemical"),
        (PHOSPHATE, {"chemical": "salt"}, "other_chemical"),
        (PHOSPHATE, {"boiler_conductivity": 60.0}, "impossible_figure"),
        (PHOSPHATE, {"boiler_conductivity": 0.0, "feed_conductivity": 0.005}, "impossible_figure"),
        (PHOSPHATE, {"feed_conductivity": 0.0}, "impossible_figure"),
        (PHOSPHATE, {"steam_kg_h": 0.0}, "impossible_figure"),
        (PHOSPHATE, {"water_mass_kg": 0.0}, "impossible_figure"),
        (PHOSPHATE, {"next_test_h": 0.0}, "impossible_figure"),
        (PHOSPHATE, {"strength_percent": 0.0}, "impossible_figure"),
        (PHOSPHATE, {"strength_percent": 101.0}, "impossible_figure"),
        (PHOSPHATE, {"water_mass_kg": float("nan")}, "impossible_figure"),
        (PHOSPHATE, {"target": 70.0}, "impossible_figure"),
        (PHOSPHATE, {"target": 1000.0, "high": None}, "dose_too_large"),
        (SULFITE, {"feed_oxygen": None}, "figures_missing"),
        (SULFITE, {"working_psig": 901.0}, "too_hot_for_sulfite"),
        (ALKALI, {"program": "coordinated"}, "no_free_caustic"),
        (ALKALI, {"program": "congruent"}, "no_free_caustic"),
        (ALKALI, {"program": "not_sure"}, "no_free_caustic"),
    ],
)
def test_a_dose_that_cannot_be_safe_is_refused(case, changes, code):
    assert refusal(case, **changes).code == code


def test_sulfite_from_600_psig_says_so():
    """UFC 3-240-13FN, Table 3-3: not above 900 psig; it breaks down from 600 on."""
    told = " ".join(plan_dose(replace(SULFITE, working_psig=600.0)).cautions)
    assert "600 psig" in told
    assert "600 psig" not in " ".join(plan_dose(replace(SULFITE, working_psig=599.0)).cautions)
    assert plan_dose(replace(SULFITE, working_psig=900.0))


@EVERY
def test_every_dose_carries_its_cautions(case):
    plan = plan_dose(case)
    told = " ".join(plan.cautions)
    for word in ("advice", "procedures", "licensed", "drum under pressure", "never dry"):
        assert word in told
    assert plan.way and plan.assumptions and plan.source and plan.retest_after_min == 30
    if case.chemical != "sodium_sulfite":
        assert "face shield" in told and "cold water" in told


@given(
    value=st.floats(0.0, 500.0),
    relative=st.floats(0.0, 0.5),
    low=st.floats(0.1, 500.0),
    span=st.floats(1.0, 3.0),
    share=st.floats(0.0, 1.0),
    mass=st.floats(10.0, 1e6),
    strength=st.floats(0.1, 100.0),
)
def test_no_dose_overshoots_by_its_own_uncertainty(
    value, relative, low, span, share, mass, strength
):
    high = low * span
    case = replace(
        PHOSPHATE,
        value=value,
        expanded=relative * value,
        low=low,
        target=low + share * (high - low),
        high=high,
        water_mass_kg=mass,
        strength_percent=strength,
    )
    try:
        plan = plan_dose(case)
    except Refused as refused:
        assert refused.code and str(refused)
        return
    step = (plan.aim - value) / plan.doses
    assert value + step + plan.predicted_expanded <= high * (1.0 + 1e-9)
    assert 0.0 < step <= 0.5 * case.target * (1.0 + 1e-6)
    assert plan.predicted <= plan.aim <= case.target and plan.dose_kg > 0.0


def test_no_aim_below_the_range_is_tried():
    """Rule of our own, by hand: 30 may be 30 + hypot(1, 2, 1) = 32.4, and 29.9 a little less."""
    assert refusal(PHOSPHATE, expanded=1.0, value=10.0, target=31.0, high=32.4).code == (
        "range_too_narrow"
    )
