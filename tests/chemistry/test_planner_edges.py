"""Small figures and quiet corners of the planner: what is nothing stays nothing."""

from dataclasses import replace

import numpy as np
import pytest

from chemistry import planner_words as words
from chemistry.planner import seek
from chemistry.planner_frame import frame_of
from chemistry.planner_model import State
from chemistry.planner_plan import plan_remedy
from tests.chemistry.planner_cases import AIMS, BOTTOM, STEAMING, STOCKS, with_values


@pytest.mark.parametrize(
    "salt",
    [
        # neutral salts, formula masses by hand from IUPAC (2021), mg/mmol
        {"Na": 22.990, "Cl": 35.45},
        {"K": 39.098, "Cl": 35.45},
        {"Na": 22.990, "NO3": 62.004},
        {"Na": 22.990, "F": 18.998},
        {"Na": 22.990, "CH3COO": 59.044},
        {"Na": 2 * 22.990, "SO4": 96.056},
        {"Na": 2 * 22.990, "SO3": 80.057},
    ],
    ids=lambda salt: "-".join(salt),
)
def test_a_neutral_salt_does_not_change_the_ratio(salt):
    base = {"Na": 30.0, "PO4": 40.0}
    ratios = []
    for water in (base, {key: base.get(key, 0.0) + salt.get(key, 0.0) for key in {*base, *salt}}):
        keys = tuple(sorted(water))
        state = State(keys, np.array([water[key] for key in keys]))
        ratios.append(state.value("sodium_to_phosphate"))
    assert ratios[0] == pytest.approx(30.0 / 22.990 / (40.0 / 94.970))
    assert ratios[1] == pytest.approx(ratios[0], abs=2e-4)


def test_what_has_no_charge_conducts_nothing():
    frame = frame_of(("Na", "SiO2"))
    assert min(frame.conducting) == min(frame.slowing) == min(frame.squares) == 0.0


def test_the_span_of_a_plan():
    """Rules of our own: 500 mg/kg of pure chemical at most, 0.001 for each, 1 for all the water."""
    span = seek(STEAMING).found.span
    assert span.most[1:] == pytest.approx([500.0, 1000.0, 500.0 / 0.97])
    assert span.cost == pytest.approx([1.0, 0.001, 0.0005, 0.00097])


def test_a_good_plan_misses_nothing():
    assert seek(STEAMING).found.missed < 0.005


def test_the_feedwater_brings_only_what_is_in_it():
    found = seek(STEAMING).found
    fed = dict(zip(found.state.formulas, found.given.feed.tolist(), strict=True))
    assert (fed["PO4"], fed["SO3"], fed["Na"]) == (0.0, 0.0, 8.0)


def test_without_a_valve_nothing_is_swapped():
    case = replace(STEAMING, valves=(BOTTOM,), level_span_kg=900.0, tank_kg=900.0)
    found, plan = seek(case).found, plan_remedy(case)
    assert found.plan[0] == 0.0
    after = dict(zip(found.state.formulas, found.state.totals.tolist(), strict=True))
    assert (after["Cl"], after["SiO2"]) == (case.water["Cl"], case.water["SiO2"])
    assert (plan.rate_kg_h, plan.blow_kg, plan.share_swapped, plan.hours) == (0.0, 0.0, 0.0, 0.0)


def test_pure_feedwater_blows_nothing_anyway():
    """By hand: feedwater of 0.055 uS/cm and 1500 in the boiler imply 0.3 kg/h now."""
    plan = plan_remedy(replace(STEAMING, feed={}))
    assert plan.water_kg == pytest.approx(plan.rate_kg_h * plan.hours, rel=1e-3)
    assert plan.hold_kg_h is not None and plan.hold_kg_h < 1.0


def test_feedwater_as_strong_as_the_boiler_has_no_rate_that_holds():
    feed = {key: mg * 40.0 for key, mg in (STEAMING.feed or {}).items()}
    plan = plan_remedy(replace(with_values(STEAMING, conductivity=1350.0), feed=feed))
    assert plan.hold_kg_h is None and not plan.good


def test_a_sulfite_of_nothing_is_a_reading():
    plan = plan_remedy(with_values(STEAMING, sulfite=0.0))
    assert plan.good and any(dose.key == "sodium_sulfite" for dose in plan.doses)


def test_a_reading_without_uncertainty_is_one():
    aims = {**AIMS, "silica": replace(AIMS["silica"], expanded=0.0)}
    assert plan_remedy(replace(STEAMING, aims=aims)).good


def test_a_small_measure_and_a_small_range_are_figures():
    small = tuple(replace(each, measure_kg=0.005) for each in STOCKS)
    assert plan_remedy(replace(STEAMING, stocks=small)).good
    aims = {
        **AIMS,
        "silica": replace(AIMS["silica"], value=0.004, expanded=0.0, high=0.009, target=0.005),
    }
    water = {**STEAMING.water, "SiO2": 0.004}
    plan = plan_remedy(replace(STEAMING, aims=aims, water=water, feed={"Na": 1.0}))
    assert plan.good


def test_portions_are_told_where_there_are_some():
    plan = plan_remedy(STEAMING)
    portions = {dose.key: dose.portions for dose in plan.doses}
    assert portions == {"tsp_crystals": 2, "sodium_sulfite": 2}
    assert words.STEPS["portions"] in plan.steps
    alone = with_values(STEAMING, conductivity=1000.0, chloride=90.0, sulfite=19.0, phosphate=40.0)
    small = plan_remedy(alone)
    assert small.doses and all(dose.portions == 1 for dose in small.doses)
    assert words.STEPS["portions"] not in small.steps


def test_a_swap_alone_waits_for_mixing_alone():
    """Common practice, no source: a quarter of an hour."""
    plan = plan_remedy(replace(STEAMING, stocks=()))
    assert plan.doses == () and plan.hours > 0.0
    assert plan.retest_after_min == pytest.approx(plan.hours * 60.0 + 15.5, abs=0.5)
