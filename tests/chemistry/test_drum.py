"""The drum's mass balance against a numeric solution and figures worked by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from chemistry.drum import (
    UNMIXED,
    Blow,
    Dose,
    Result,
    Setting,
    after,
    blown,
    course,
    dosed,
    in_order,
    phosphate_taken,
    time_constant_h,
)
from chemistry.errors import ChemistryError

MASS_KG = 50_000.0
STEADY = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0})
BUSY = Setting(
    0.0, 20_000.0, 900.0, {"chloride": 1.2}, {"chloride": 500.0}, 5.0, {"chloride": 19_383.0},
    {"chloride": 0.01},
)  # fmt: skip


def test_a_seawater_leak_of_5_kg_h():
    """5 kg/h of 19.38 g/kg into 50 t for 8 h, without blowdown: 15.5 mg/L (calculated)."""
    leaking = Setting(0.0, 20_000.0, 0.0, {}, {}, 5.0, {"chloride": 19_383.0})
    found = after({"chloride": 0.0}, leaking, MASS_KG, 8.0)["chloride"]
    assert found == pytest.approx(5.0 * 19_383.0 * 8.0 / MASS_KG)
    assert found == pytest.approx(15.5, abs=0.05)


def test_a_fluid_without_a_rate_does_not_leak():
    still = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0}, leak={"chloride": 19_383.0})
    assert after({"chloride": 21.0}, still, MASS_KG, 9.0) == pytest.approx({"chloride": 21.0})


def test_the_time_constant():
    """50 t at 1 t/h: 50 h (calculated); hideout adds to what is lost."""
    assert time_constant_h(MASS_KG, 1000.0) == 50.0
    assert time_constant_h(MASS_KG, 1000.0, 0.02) == 25.0
    assert time_constant_h(MASS_KG, 0.0) == math.inf
    assert time_constant_h(50.0, 0.005) == 10_000.0


@given(st.floats(0.5, 100.0), st.floats(0.0, 200.0))
def test_it_is_the_solution_of_the_balance(hours, before):
    def slope(_time, held):
        gained = 1.2 * 20_900.0 + 500.0 + 5.0 * 19_383.0
        return (gained - (900.0 + 0.01 * MASS_KG) * held) / MASS_KG

    numeric = solve_ivp(slope, (0.0, hours), [before], rtol=1e-9, atol=1e-9).y[0, -1]
    found = after({"chloride": before}, BUSY, MASS_KG, hours)["chloride"]
    assert found == pytest.approx(numeric, rel=1e-6, abs=1e-6)


def test_a_solute_of_which_nothing_is_known_just_thins_out():
    found = after({"silica": 10.0}, BUSY, MASS_KG, 50.0)["silica"]
    assert found == pytest.approx(10.0 * math.exp(-0.9))


def test_water_never_holds_less_than_nothing():
    used_up = Setting(0.0, 20_000.0, 1000.0, {}, {"phosphate": -1e6})
    assert after({"phosphate": 5.0}, used_up, MASS_KG, 10.0) == {"phosphate": 0.0}


@pytest.mark.parametrize("state", UNMIXED)
def test_a_boiler_that_does_not_steam_keeps_its_water(state):
    banked = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0}, state=state)
    assert after({"chloride": 5.0}, banked, MASS_KG, 24.0) == {"chloride": 5.0}


def test_a_dose_and_a_blow():
    """1 kg of PO4 in 50 t is 20 mg/kg; a tenth blown and refilled is a tenth of the way to feed."""
    assert dosed({"phosphate": 10.0, "chloride": 1.0}, Dose(0.0, {"phosphate": 1e6}), MASS_KG) == {
        "phosphate": 30.0,
        "chloride": 1.0,
    }
    found = blown({"chloride": 21.0, "silica": 10.0}, Blow(0.0, 5000.0), {"chloride": 1.0}, MASS_KG)
    assert found == pytest.approx({"chloride": 19.0, "silica": 9.0})


def test_calcium_takes_phosphate():
    """100.087 mg of CaCO3 hold a millimole of calcium, which takes 0.6 x 94.971 mg of PO4."""
    assert phosphate_taken(1000.0, 100.087) == pytest.approx(1000.0 * 56.98, rel=1e-3)


def test_a_course_through_events():
    log = [
        STEADY,
        Dose(10.0, {"chloride": 1e6}),
        Blow(20.0, 5000.0),
        Setting(20.0, 0.0, 0.0, {}, state="banked"),
        Result(5.0, "chloride", 1.0, 1.0),
    ]
    found = course({"chloride": 21.0}, log, MASS_KG, [0.0, 10.0, 15.0, 30.0])["chloride"]
    at_15 = 21.0 + 20.0 * math.exp(-0.1)
    before_blow = 21.0 + 20.0 * math.exp(-0.2)
    assert found[:3] == pytest.approx([21.0, 41.0, at_15])
    assert found[3] == pytest.approx(before_blow * 0.9)


def test_of_one_moment_a_result_comes_before_a_dose():
    moment = (Blow(0.0, 1.0), Dose(0.0, {}), Result(0.0, "chloride", 1.0, 1.0), STEADY)
    assert [type(each) for each in in_order(moment)] == [Setting, Result, Dose, Blow]


@pytest.mark.parametrize("log", [[], [Dose(0.0, {})], [Dose(0.0, {}), Setting(1.0, 1.0, 1.0, {})]])
def test_a_log_begins_with_the_flows(log):
    with pytest.raises(ChemistryError) as refused:
        course({"chloride": 1.0}, log, MASS_KG, [1.0])
    assert refused.value.code == "no_setting"
