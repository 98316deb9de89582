"""The remedy planner: what it plans, carried out on a simulated boiler, and what it refuses."""

from dataclasses import replace

import pytest

from chemistry import planner_words as words
from chemistry.dosing_plan import CONGRUENT, COORDINATED, NOT_SURE
from chemistry.errors import ChemistryError
from chemistry.planner import MISS_ALLOWED, seek
from chemistry.planner_case import Aim, Valve
from chemistry.planner_plan import plan_remedy
from chemistry.verdict import Side
from tests.chemistry.planner_cases import (
    AIMS,
    BANKED,
    BOTTOM,
    CONGRUENT_CASE,
    STEAMING,
    STOCKS,
    with_values,
)
from tests.chemistry.planner_simulation import carried_out, in_range, reads

HEADER = Valve("header", blow_kg=400.0)
BLOWS = {"level_span_kg": 900.0, "tank_kg": 1000.0, "tank_recovery_h": 0.25}


def values_after(case):
    plan = plan_remedy(case)
    return plan, reads(carried_out(case, plan, case.water), case.aims)


@pytest.mark.parametrize(
    "case", [STEAMING, BANKED, CONGRUENT_CASE], ids=["steaming", "banked", "ratio"]
)
def test_the_boiler_ends_where_the_plan_says(case):
    """The balance of the drum, integrated apart from the planner; the water solved anew."""
    plan, values = values_after(case)
    assert plan.good and in_range(values, case.aims)
    for each in plan.expected:
        width = case.aims[each.key].width
        assert values[each.key] == pytest.approx(each.value, abs=0.004 * width), each.key


@pytest.mark.parametrize(
    "case", [STEAMING, BANKED, CONGRUENT_CASE], ids=["steaming", "banked", "ratio"]
)
def test_what_was_out_of_range_comes_to_its_target(case):
    plan = plan_remedy(case)
    for each in plan.expected:
        aim = case.aims[each.key]
        if aim.side is not Side.IN_RANGE:
            assert each.value == pytest.approx(each.target, abs=0.02 * aim.width), each.key


def test_every_parameter_lies_inside_its_range_by_its_uncertainty():
    plan = plan_remedy(STEAMING)
    for each in plan.expected:
        assert each.low is None or each.value - each.expanded >= each.low
        assert each.high is None or each.value + each.expanded <= each.high


def test_the_kilograms_by_hand():
    """By hand: sodium sulfite of 97 % holds 0.6161 of SO3 (IUPAC 2021); 12 mg/L diluted by the
    swap to 12 (1 - s), raised to 30 in 12 t."""
    plan = plan_remedy(STEAMING)
    sulfite = next(each for each in plan.doses if each.key == "sodium_sulfite")
    rise = 30.0 - 12.0 * (1.0 - plan.share_swapped)
    assert sulfite.kg == pytest.approx(rise * 12e-3 / (0.97 * 80.057 / 126.037), rel=2e-3)
    assert sulfite.entry == "deaerator" and sulfite.measures is None
    # more than half the target in one go is not done: two portions
    assert sulfite.portions == 2


def test_the_continuous_valve_its_hours_and_its_time_constant():
    """By hand: B t / M = -ln(1 - s); 12 t over 1.5 t/h are 8 h."""
    plan = plan_remedy(STEAMING)
    assert plan.valve == "continuous" and plan.rate_kg_h == pytest.approx(1500.0)
    assert 1.0 - plan.share_swapped == pytest.approx(2.718281828 ** (-plan.hours / 8.0), rel=1e-6)
    assert plan.time_constant_h == pytest.approx(8.0)
    # half an hour of mixing for each portion of a dose, a quarter after the valve
    assert plan.retest_after_min == pytest.approx(plan.hours * 60.0 + 15 + 2 * 30, abs=1.0)
    assert (plan.blows, plan.blow_kg) == (0, 0.0)


def test_the_rate_that_then_holds():
    """UFC 3-240-13FN (2005), eq. 7: E / (cycles - 1)."""
    plan = plan_remedy(STEAMING)
    feed = reads(dict(STEAMING.feed), {"conductivity": AIMS["conductivity"]})["conductivity"]
    held = next(each.value for each in plan.expected if each.key == "conductivity")
    assert plan.hold_kg_h == pytest.approx(8000.0 / (held / feed - 1.0), rel=1e-6)
    present = 8000.0 / (1500.0 / feed - 1.0)
    assert plan.water_kg == pytest.approx((1500.0 - present) * plan.hours, rel=1e-6)


def test_the_heat_that_goes_with_the_water():
    """IF97 by an independent open library: h' at 1101.325 kPa less water at 15 °C."""
    from iapws import IAPWS97

    plan = plan_remedy(STEAMING)
    lost = IAPWS97(P=1.101325, x=0.0).h - IAPWS97(P=0.101325, T=288.15).h
    assert plan.heat_kwh == pytest.approx(plan.water_kg * lost / 3600.0, rel=1e-5)


def test_a_small_swap_takes_an_hour():
    """Rule of our own: no faster, so that the drum mixes and its level can be followed."""
    near = replace(AIMS["conductivity"], expanded=10.0, target=1240.0)
    case = replace(STEAMING, aims={**AIMS, "conductivity": near})
    plan = plan_remedy(with_values(case, conductivity=1305.0, phosphate=40.0, sulfite=30.0))
    assert plan.hours == pytest.approx(1.0) and 0.0 < plan.rate_kg_h < 1500.0


def test_a_hot_boiler_takes_no_more_than_a_quarter_of_its_water_an_hour():
    """Rule of our own."""
    plan = plan_remedy(replace(STEAMING, water_mass_kg=4000.0))
    assert plan.rate_kg_h == pytest.approx(1000.0)


def test_a_banked_boiler_is_blown_and_refilled():
    plan = plan_remedy(BANKED)
    assert plan.valve == "bottom" and plan.blows > 1
    assert plan.blow_kg <= 600.0 + 1e-9
    assert plan.share_swapped == pytest.approx(1.0 - (1.0 - plan.blow_kg / 12_000.0) ** plan.blows)
    assert plan.hours == pytest.approx((plan.blows - 1) * 0.5)
    assert plan.water_kg == pytest.approx(plan.blows * plan.blow_kg)
    assert plan.hold_kg_h is None and plan.time_constant_h is None and plan.rate_kg_h == 0.0
    assert words.STEPS["mix"] in plan.steps and words.STEPS["refill"] in plan.steps
    assert words.BANKED_LEVEL in plan.cautions


def test_a_bottom_blow_while_steaming_needs_the_load_to_allow_it():
    case = replace(STEAMING, valves=(BOTTOM,), feed={"Na": 2.0}, **BLOWS)
    assert plan_remedy(replace(case, load_share=0.4, bottom_load_most=0.5)).valve == "bottom"
    for load, most, why in (
        (0.6, 0.5, words.LOAD_TOO_HIGH),
        (None, 0.5, words.LOAD_NOT_KNOWN),
        (0.4, None, words.LOAD_NOT_KNOWN),
    ):
        plan = plan_remedy(replace(case, load_share=load, bottom_load_most=most))
        assert plan.valve == "" and ("bottom", why) in plan.left_out and not plan.good


def test_a_header_is_never_blown_while_fired():
    fired = replace(BANKED, valves=(HEADER,), fired=True)
    plan = plan_remedy(fired)
    assert plan.valve == "" and ("header", words.HEADER_FIRED) in plan.left_out
    steaming = replace(STEAMING, valves=(HEADER,), fired=False, **BLOWS)
    assert ("header", words.HEADER_FIRED) in plan_remedy(steaming).left_out
    cold = replace(with_values(BANKED, conductivity=1350.0), valves=(HEADER,))
    assert plan_remedy(cold).valve == "header"


def test_the_gentlest_valve_that_can_do_it_is_taken():
    surface = Valve("surface", blow_kg=500.0)
    case = replace(BANKED, valves=(HEADER, BOTTOM, surface))
    assert plan_remedy(case).valve == "surface"
    small = replace(case, valves=(replace(surface, blow_kg=50.0), BOTTOM))
    assert plan_remedy(small).valve == "bottom"


def test_the_continuous_valve_is_of_no_use_to_a_banked_boiler():
    plan = plan_remedy(replace(BANKED, valves=(*STEAMING.valves, BOTTOM)))
    assert ("continuous", words.CONTINUOUS_BANKED) in plan.left_out and plan.valve == "bottom"


@pytest.mark.parametrize(
    ("changes", "most"),
    [
        ({"level_span_kg": 300.0}, 300.0),
        ({"tank_kg": 350.0}, 350.0),
        (
            {"valves": (Valve("bottom", blow_kg=2000.0),), "level_span_kg": 5e3, "tank_kg": 5e3},
            1200.0,
        ),
    ],
)
def test_level_tank_and_a_tenth_bound_a_blow(changes, most):
    """A tenth of the boiler's water is a rule of our own."""
    plan = plan_remedy(replace(BANKED, **changes))
    assert 0.0 < plan.blow_kg <= most + 1e-9


def test_blows_wait_for_the_tank_and_for_the_level():
    plan = plan_remedy(replace(BANKED, tank_recovery_h=2.0))
    assert plan.hours == pytest.approx((plan.blows - 1) * 2.0)
    # a tenth at a time at a quarter an hour is 0.4 h, less than the half hour between blows
    small = replace(BANKED, water_mass_kg=4800.0, tank_recovery_h=None)
    assert plan_remedy(small).hours == pytest.approx((plan_remedy(small).blows - 1) * 0.5)


@pytest.mark.parametrize("gone", ["level_span_kg", "tank_kg"])
def test_a_blow_is_not_planned_without_level_or_tank(gone):
    plan = plan_remedy(replace(BANKED, **{gone: None}))
    assert plan.valve == "" and ("bottom", words.LEVEL_OR_TANK_NOT_KNOWN) in plan.left_out


def test_a_valve_of_unknown_size_is_left_out():
    valves = (Valve("continuous"), Valve("surface"), BOTTOM)
    case = replace(STEAMING, valves=valves, load_share=0.1, bottom_load_most=0.5, **BLOWS)
    left_out = plan_remedy(case).left_out
    assert {("continuous", words.VALVE_NOT_KNOWN), ("surface", words.VALVE_NOT_KNOWN)} <= set(
        left_out
    )


def test_whole_measures_are_whole_and_cost_no_water():
    measured = tuple(replace(each, measure_kg=0.2) for each in STOCKS)
    loose, plan = plan_remedy(STEAMING), plan_remedy(replace(STEAMING, stocks=measured))
    assert plan.good and plan.doses
    for dose in plan.doses:
        assert dose.kg == pytest.approx(dose.measures * 0.2, rel=1e-9) and dose.measures >= 1
    assert plan.share_swapped <= loose.share_swapped + 0.0101
    values = reads(carried_out(STEAMING, plan, STEAMING.water), AIMS)
    assert in_range(values, AIMS)


def test_where_measures_are_too_coarse_the_nearest_is_told():
    coarse = (replace(STOCKS[0], measure_kg=50.0), *STOCKS[1:])
    plan = plan_remedy(replace(STEAMING, stocks=coarse))
    assert all(dose.key != "tsp_crystals" for dose in plan.doses)
    assert not plan.good and plan.clash == ((("phosphate", Side.LOW),),)
    assert plan.cautions[0] == words.NEAREST_ONLY


def test_nothing_is_blown_where_a_dose_alone_will_do():
    case = with_values(STEAMING, conductivity=900.0, chloride=90.0, phosphate=25.0)
    plan = plan_remedy(case)
    assert plan.valve == "" and plan.good and plan.water_kg == 0.0 and plan.heat_kwh == 0.0
    assert plan.time_constant_h is None and plan.hours == 0.0 and plan.blows == 0
    assert plan.retest_after_min in (30, 60)


def test_the_limits_that_clash_are_named():
    """No stock: low phosphate and low sulfite can't be mended at all, each by itself."""
    plan = plan_remedy(replace(STEAMING, stocks=()))
    assert set(plan.clash) == {(("phosphate", Side.LOW),), (("sulfite", Side.LOW),)}
    assert not plan.good and plan.cautions[0] == words.NEAREST_ONLY


def test_two_limits_that_clash_with_each_other_are_named_together():
    """Caustic alone raises pH, and more of it conducts more than the limit lets."""
    aims = {
        "ph": Aim(10.2, 0.05, 11.2, 11.6, 11.4),
        "conductivity": Aim(900.0, 20.0, None, 950.0, 900.0),
    }
    case = replace(with_values(replace(STEAMING, aims=aims)), valves=())
    plan = plan_remedy(case)
    assert set(plan.clash[0]) == {("ph", Side.LOW), ("conductivity", Side.HIGH)}


def test_a_good_plan_clashes_with_nothing():
    found = seek(STEAMING)
    assert found.clash == () and found.found.missed <= MISS_ALLOWED


def test_an_aim_without_a_target():
    """Rule of our own: the middle of the range, nine tenths of the only limit."""
    assert Aim(1.0, 0.1, 20.0, 40.0).aimed == 30.0
    assert Aim(1.0, 0.1, None, 40.0).aimed == pytest.approx(36.0)
    assert Aim(1.0, 0.1, 36.0).aimed == pytest.approx(40.0)
    assert Aim(1.0, 0.1, 36.0).width == pytest.approx(4.0)
    assert Aim(1.0, 0.1, 20.0, 40.0, 25.0).width == pytest.approx(10.0)


def test_each_ratio_program_plans_by_the_ratio():
    plan, values = values_after(CONGRUENT_CASE)
    assert 2.3 <= values["sodium_to_phosphate"] <= 2.9
    assert {dose.key for dose in plan.doses} == {"tsp_anhydrous", "dsp_anhydrous"}
    assert words.DOSING["acid_phosphate"][-1] in plan.cautions


@pytest.mark.parametrize("program", [COORDINATED, CONGRUENT, NOT_SURE])
def test_no_caustic_without_a_ratio_where_free_caustic_is_kept_out(program):
    plan = plan_remedy(replace(STEAMING, program=program, allowed=frozenset({"caustic_soda"})))
    assert all(dose.key != "caustic_soda" for dose in plan.doses)
    assert "caustic_soda" in dict(plan.left_out)


def test_alkalinity_is_planned_for():
    aims = {**AIMS, "p_alkalinity": Aim(60.0, 8.0, 90.0, 200.0, 120.0)}
    aims |= {"m_alkalinity": Aim(90.0, 10.0, None, 400.0, 250.0)}
    aims |= {"ph": replace(AIMS["ph"], value=11.0)}
    case = replace(STEAMING, aims=aims)
    read = reads(case.water, aims)
    aims |= {key: replace(aims[key], value=read[key]) for key in ("p_alkalinity", "m_alkalinity")}
    plan, values = values_after(replace(case, aims=aims))
    assert plan.good and in_range(values, aims)
    for each in plan.expected:
        if each.key.endswith("alkalinity"):
            assert values[each.key] == pytest.approx(each.value, abs=1.0)


def test_what_is_dosed_and_too_high_is_looked_at_first():
    case = with_values(STEAMING, phosphate=70.0)
    assert words.FEED_OFF_FIRST in plan_remedy(case).cautions
    assert words.FEED_OFF_FIRST not in plan_remedy(STEAMING).cautions


def test_sulfite_above_600_psig_is_cautioned():
    """UFC 3-240-13FN (2005), eqs. 16 and 17."""
    assert words.SULFITE_FROM_600 in plan_remedy(replace(STEAMING, working_psig=600.0)).cautions
    assert words.SULFITE_FROM_600 not in plan_remedy(replace(STEAMING, working_psig=599.0)).cautions


def test_steam_that_touches_food_is_cautioned():
    assert words.FOOD_STEAM in plan_remedy(replace(STEAMING, food_steam=True)).cautions
    assert words.FOOD_STEAM not in plan_remedy(STEAMING).cautions


def test_every_plan_says_that_it_is_advice_and_ends_with_a_retest():
    for case in (STEAMING, BANKED, CONGRUENT_CASE):
        plan = plan_remedy(case)
        assert words.ADVICE in plan.cautions and plan.steps[-1] == words.STEPS["retest"]
        assert plan.assumptions and plan.source


def test_the_order_is_swap_then_doses():
    steps = plan_remedy(STEAMING).steps
    assert steps[0] == words.STEPS["continuous"]
    assert steps.index(words.STEPS["trisodium"]) < steps.index(words.STEPS["sulfite"])


def test_a_solver_that_gives_up_is_told(monkeypatch):
    import scipy.optimize

    class Nothing:
        x = None

    monkeypatch.setattr(scipy.optimize, "milp", lambda *_, **__: Nothing())
    with pytest.raises(ChemistryError) as caught:
        plan_remedy(STEAMING)
    assert caught.value.code == "no_plan" and str(caught.value)
