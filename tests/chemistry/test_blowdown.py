"""Blowdown balances against the UFC, TM 5-650, DOE sheets and a numeric integration."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from chemistry import blowdown, units, water
from chemistry.errors import ChemistryError, OutOfValidity

BTU_LB = 2.326  # kJ/kg, exact
MAKEUP_60F_C = (60.0 - 32.0) / 1.8


def drum_gauge_kpa(psig):
    return units.gauge_kpa(psig, "psig")


def test_ufc_balance():
    """UFC 3-240-13FN (2005), 3-1.5, eqs. 5 to 8, published: 20 cycles, 5 %, 2105 and 42 105
    lb/h."""
    cycles = blowdown.cycles_of_concentration(5000.0, 250.0)
    blown = blowdown.blowdown_from_cycles(40000.0, cycles)
    assert cycles == 20.0
    assert blowdown.percent_of_feedwater(cycles) == 5.0
    assert blown == pytest.approx(2105.0, abs=1.0)
    assert blowdown.feedwater_flow(40000.0, blown) == pytest.approx(42105.0, abs=1.0)


def test_ufc_balance_in_si():
    """UFC 3-240-13FN (2005), same place, published: 0.26 and 5.26 kg/s for 5 kg/s of steam."""
    blown = blowdown.blowdown_from_cycles(5.0, 20.0)
    assert blown == pytest.approx(0.26, abs=0.005)
    assert blowdown.feedwater_flow(5.0, blown) == pytest.approx(5.26, abs=0.005)


@given(st.floats(1.0, 1e6), st.floats(1.01, 100.0))
def test_tm_5_650_relations_hold_together(steam, cycles):
    """TM 5-650 (1989), App. D, published: F = E + B; C = F / B; %B = 100 / C; B = E / (C - 1)."""
    blown = blowdown.blowdown_from_cycles(steam, cycles)
    feed = blowdown.feedwater_flow(steam, blown)
    assert feed / blown == pytest.approx(cycles)
    assert blowdown.percent_of_feedwater(cycles) == pytest.approx(100.0 * blown / feed)
    assert blowdown.percent_of_steam(cycles) == pytest.approx(100.0 * blown / steam)


def test_doe_sheet_10_ratio_is_of_feedwater():
    """DOE Steam Tip Sheet 10 (2001), published: 3200 lb/h with 50 000 lb/h of steam is 6.0 %."""
    feed = blowdown.feedwater_flow(50000.0, 3200.0)
    assert blowdown.percent_of_feedwater(feed / 3200.0) == pytest.approx(6.0, abs=0.05)
    assert blowdown.percent_of_steam(feed / 3200.0) == pytest.approx(6.4)


def test_doe_sheet_10_heat_lies_7_percent_above_its_table():
    """DOE sheet 10 uses 0.835 MMBtu/h (published); IF97 gives 0.894 (calculated), 90 %
    recovered."""
    kilograms = 3200.0 * 0.45359237
    lost = blowdown.heat_lost_kj(kilograms, drum_gauge_kpa(150.0), MAKEUP_60F_C)
    recovered = 0.9 * lost / 1.05505585262e6
    assert recovered == pytest.approx(0.894, abs=5e-4)
    assert recovered / 0.835 == pytest.approx(1.07, abs=5e-3)


@pytest.mark.parametrize(
    ("psig", "row"),
    [
        (50.0, (0.43, 0.86, 1.29, 1.72, 2.15, 4.31)),
        (150.0, (0.56, 1.12, 1.68, 2.24, 2.79, 5.59)),
        (300.0, (0.67, 1.33, 2.00, 2.67, 3.34, 6.67)),
    ],
)
def test_doe_sheet_10_table_as_percent_of_steam(psig, row):
    """Calculated, 100 000 lb/h of steam, 60 °F makeup, 90 % recovered, MMBtu/h."""
    for percent, expected in zip((2, 4, 6, 8, 10, 20), row, strict=True):
        kilograms = 1000.0 * percent * 0.45359237
        lost = blowdown.heat_lost_kj(kilograms, drum_gauge_kpa(psig), MAKEUP_60F_C)
        assert 0.9 * lost / 1.05505585262e6 == pytest.approx(expected, abs=6e-3)


def test_doe_sheet_9_feedwater_and_makeup():
    """DOE Steam Tip Sheet 9: 108 695 and 106 383 lb/h (published), saving 2312 (from memory)."""
    before = 100000.0 / (1.0 - 0.08)
    after = 100000.0 / (1.0 - 0.06)
    for feed, percent, printed in ((before, 8.0, 108695.0), (after, 6.0, 106383.0)):
        blown = blowdown.blowdown_from_cycles(100000.0, 100.0 / percent)
        assert blowdown.feedwater_flow(100000.0, blown) == pytest.approx(feed)
        assert feed == pytest.approx(printed, abs=1.0)
    assert before - after == pytest.approx(2312.0, abs=1.0)


def test_doe_sheet_9_heat_of_a_pound():
    """DOE Steam Tip Sheet 9, 2012 edition (from memory): 338.5 less 28 is 310.5 Btu/lb."""
    per_kg = blowdown.heat_lost_kj(1.0, drum_gauge_kpa(150.0), MAKEUP_60F_C)
    assert per_kg / BTU_LB == pytest.approx(310.5, abs=0.1)


@pytest.mark.parametrize(("feed", "cycles"), [(200.0, 5.0), (25.0, 40.0)])
def test_national_board_cycles(feed, cycles):
    """National Board draft guidelines, 3.5.5, published: limit about 1000 ppm."""
    assert blowdown.maximum_cycles(1000.0, feed) == cycles


def test_flash_chart_trap_is_not_reproduced():
    """A handbook reads 12.5 % flash from a chart at 150 to 20 psig; IF97 gives 11.82 %
    (calculated)."""
    drum, tank = (units.absolute_kpa(drum_gauge_kpa(psig)) for psig in (150.0, 20.0))
    excess = water.saturated_liquid_enthalpy_kj_kg(drum) - water.saturated_liquid_enthalpy_kj_kg(
        tank
    )
    flash = 100.0 * excess / water.latent_heat_kj_kg(tank)
    assert flash == pytest.approx(11.82, abs=0.01)
    assert abs(flash - 12.5) > 0.5


@pytest.mark.parametrize("blown", [0.0, 300.0, 1500.0])
def test_the_exact_solution_matches_a_numeric_one(blown):
    c0, feed, steam, mass = 1500.0, 60.0, 8000.0, 12000.0

    def slope(_time, c):
        return ((steam + blown) * feed - blown * c) / mass

    numeric = solve_ivp(slope, (0.0, 10.0), [c0], rtol=1e-10, atol=1e-8, dense_output=True)
    hours = np.linspace(0.0, 10.0, 21)
    exact = blowdown.value_after(c0, feed, steam, blown, mass, hours)
    assert exact == pytest.approx(numeric.sol(hours)[0], rel=1e-8)


def test_hours_to_reach_is_the_inverse():
    flows = {"feed": 60.0, "steam": 8000.0, "blowdown": 1500.0, "mass": 12000.0}
    hours = blowdown.hours_to_reach(1500.0, 1100.0, **flows)
    assert blowdown.value_after(1500.0, hours=hours, **flows) == pytest.approx(1100.0)


def test_it_settles_at_the_cycles_of_the_flows():
    settled = blowdown.steady_value(250.0, 40000.0, 40000.0 / 19.0)
    assert settled == pytest.approx(5000.0)
    after = blowdown.value_after(1.0, 250.0, 40000.0, 40000.0 / 19.0, 10000.0, 1000.0)
    assert after == pytest.approx(settled)


def test_a_value_beyond_the_steady_one_is_never_reached():
    with pytest.raises(OutOfValidity):
        blowdown.hours_to_reach(1500.0, 300.0, 60.0, 8000.0, 1500.0, 12000.0)
    with pytest.raises(OutOfValidity):
        blowdown.hours_to_reach(1500.0, 1600.0, 60.0, 8000.0, 1500.0, 12000.0)


def test_a_boiler_drained_and_refilled_mixes_to_the_wanted_value():
    drained = blowdown.blown_mass_to_reach(1500.0, 1100.0, 60.0, 12000.0)
    mixed = (1500.0 * (12000.0 - drained) + 60.0 * drained) / 12000.0
    assert mixed == pytest.approx(1100.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: blowdown.cycles_of_concentration(1000.0, 0.0),
        lambda: blowdown.blowdown_from_cycles(1000.0, 1.0),
        lambda: blowdown.percent_of_feedwater(0.5),
        lambda: blowdown.percent_of_steam(1.0),
        lambda: blowdown.steady_value(60.0, 8000.0, 0.0),
        lambda: blowdown.value_after(1.0, 1.0, 1.0, 1.0, 0.0, 1.0),
        lambda: blowdown.blown_mass_to_reach(1500.0, 50.0, 60.0, 12000.0),
        lambda: blowdown.blown_mass_to_reach(1000.0, 1100.0, 60.0, 12000.0),
    ],
)
def test_figures_that_do_not_fit_are_refused(call):
    with pytest.raises(ChemistryError) as caught:
        call()
    assert caught.value.code == "figures_do_not_fit"


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (blowdown.cycles_of_concentration(1.0, 0.005), 200.0),
        (blowdown.percent_of_feedwater(1.005), 100.0 / 1.005),
        (blowdown.blowdown_from_cycles(1.0, 1.005), 200.0),
        (blowdown.steady_value(1.0, 1.0, 0.005), 201.0),
        (blowdown.value_after(7.0, 1.0, 1.0, 1.0, mass=0.005, hours=0.0), 7.0),
    ],
)
def test_little_is_enough(found, expected):
    """Worked by hand: above nothing, and above one cycle, there is no least figure."""
    assert found == pytest.approx(expected)


def test_the_unit_makes_no_difference_to_the_hours():
    """1500 µS/cm is 0.0015 S/cm; many wanted values are one call."""
    flows = {"steam": 8000.0, "blowdown": 1500.0, "mass": 12000.0}
    wanted = np.array([1100.0, 1200.0])
    hours = blowdown.hours_to_reach(1500.0, wanted, feed=60.0, **flows)
    same = blowdown.hours_to_reach(1500e-6, wanted * 1e-6, feed=60e-6, **flows)
    assert same == pytest.approx(hours) and hours.shape == (2,)


def test_many_boilers_are_one_call():
    cycles = blowdown.cycles_of_concentration(np.array([5000.0, 1000.0]), np.array([250.0, 25.0]))
    assert list(cycles) == [20.0, 40.0]
