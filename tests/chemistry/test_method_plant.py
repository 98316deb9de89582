"""Plant readings: dials, counting meters, settings."""

import math

import pytest
from iapws import IAPWS97

from chemistry import methods
from chemistry.methods.base import InstrumentFacts
from chemistry.methods.metering import Through, through
from tests.chemistry.workings import parts_of, trouble, work, work_all

STEAM = methods.get("steam_flow", "1")
FEED = methods.get("feed_meter", "1")
MAKEUP = methods.get("makeup_meter", "1")
CONDENSATE = methods.get("condensate_return", "1")
DRUM = methods.get("drum_pressure", "1")
VALVE = methods.get("blowdown_valve", "1")
PUMP = methods.get("pump_stroke", "1")
TANK = methods.get("tank_level", "1")
SOFTENER = methods.get("softener_throughput", "1")
ROOT3 = math.sqrt(3.0)
FROM_TO = {"initial": "120400", "final": "121600", "hours": "8.0"}


def test_a_steam_flow_on_a_dial_by_hand():
    """1 lb is 0.45359237 kg (1959); JCGM 100:2008, 4.3.7 with the stated default of 3 %."""
    found = work(STEAM, "dial", reading="40000 lb/h")
    assert (found.analyte, found.unit) == ("steam_flow", "kg/h")
    assert found.value == pytest.approx(18143.69, abs=0.01)
    assert parts_of(found)["instrument"] == pytest.approx(18143.69 * 0.03 / ROOT3, rel=1e-5)
    better = work(STEAM, "dial", InstrumentFacts(accuracy_percent=1.0), reading="40000 lb/h")
    assert parts_of(better)["instrument"] == pytest.approx(18143.69 * 0.01 / ROOT3, rel=1e-5)


def test_a_counting_meter_by_hand():
    """1200 counts of 10 kg in 8.0 h: 12 000 kg, 1500 kg/h; ± half a count at each end, ± 0.05 h."""
    found = work_all(FEED, "register", multiplier="10", **FROM_TO)
    assert (found["feed_mass"].value, found["feed_flow"].value) == (12000.0, 1500.0)
    flow = parts_of(found["feed_flow"])
    assert flow["instrument"] == pytest.approx(1500.0 * 0.02 / ROOT3)
    assert flow["last digit of the reading"] == pytest.approx(math.hypot(5.0, 5.0) / 8.0 / ROOT3)
    assert flow["time"] == pytest.approx(1500.0 * 0.05 / 8.0 / ROOT3)
    mass = parts_of(found["feed_mass"])
    assert mass["last digit of the reading"] == pytest.approx(math.hypot(5.0, 5.0) / ROOT3)
    assert "time" not in mass


@pytest.mark.parametrize("method", [STEAM, FEED, MAKEUP, CONDENSATE, SOFTENER])
def test_a_final_reading_below_the_initial_is_refused(method):
    typed = {**FROM_TO, "initial": "121600", "final": "120400"}
    if method is SOFTENER:
        typed.pop("hours")
    assert trouble(method, "register", **typed) == {"final": "final_below_initial"}


def test_a_meter_that_rolled_over():
    """By hand: 999 900 to 1 000 000 are 100, 0 to 300 are 300."""
    typed = {"initial": "999900", "final": "300", "hours": "4.00", "rolled": "yes"}
    found = work_all(FEED, "register", top="1000000", **typed)
    assert found["feed_mass"].value == 400.0
    assert trouble(FEED, "register", **typed) == {"top": "missing"}
    assert trouble(FEED, "register", top="999000", **typed) == {"top": "above_top"}
    forward = {**typed, "final": "999950", "top": "1000000"}
    assert trouble(FEED, "register", **forward) == {"final": "not_rolled"}


def test_volume_becomes_mass_only_with_its_temperature():
    """Density at 105 °C: 954.7 kg/m³ (IAPWS-IF97, published steam tables)."""
    typed = {"initial": "500.0", "final": "580.0", "hours": "8.0"}
    alone = work_all(FEED, "register_volume", **typed)
    assert set(alone) == {"feed_volume_flow", "feed_volume"}
    assert all("mass was not worked" in each.notes[0][0] for each in alone.values())
    both = work_all(FEED, "register_volume", temperature="105", **typed)
    assert both["feed_volume_flow"].value == pytest.approx(10.0)
    assert both["feed_flow"].value == pytest.approx(9547.0, rel=1e-4)
    assert both["feed_mass"].value == pytest.approx(80.0 * 954.7, rel=1e-4)
    assert not both["feed_volume"].notes
    relative = [each.budget.combined / each.value for each in both.values()]
    assert relative[2] > relative[0]


def test_the_density_part_by_hand():
    """2 K at 20 °C change the density from 998.2 to 997.8 kg/m³; the line's pressure adds 0.6 %."""
    found = work_all(MAKEUP, "dial_volume", reading="10.0", temperature="20")
    assert found["makeup_flow"].value == pytest.approx(9982.0, rel=1e-4)
    expected = 10.0 * (998.21 - 997.77 + 998.21 * 0.006) / ROOT3
    assert parts_of(found["makeup_flow"])["density"] == pytest.approx(expected, rel=5e-3)


def test_the_density_part_of_hot_water_by_hand():
    """IAPWS-IF97 by an independent library: 954.75 kg/m³ at 105 °C, 953.26 at 107 °C, boiling."""
    at, warmer = (IAPWS97(T=celsius + 273.15, x=0.0).rho for celsius in (105.0, 107.0))
    assert (at, warmer) == pytest.approx((954.75, 953.26), abs=0.1)
    found = work_all(MAKEUP, "dial_volume", reading="10.0", temperature="105")
    expected = 10.0 * (at - warmer + at * 0.006) / ROOT3
    assert parts_of(found["makeup_flow"])["density"] == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("temperature", ["0", "99.9", "100", "160"])
def test_the_density_is_known_over_the_whole_range(temperature):
    found = work_all(FEED, "dial_volume", reading="1", temperature=temperature)
    assert 900.0 < found["feed_flow"].value <= 1000.0


@pytest.mark.parametrize(("mode", "most"), [("register", 5000000), ("register_volume", 5000)])
def test_more_than_any_boiler_can_take_is_refused(mode, most):
    """Rule of our own: 5000 t/h, 5000 m³/h."""
    typed = {"initial": "0", "hours": "8"}
    assert trouble(FEED, mode, final=str(8 * most), **typed) == {}
    assert trouble(FEED, mode, final=str(8 * most + 1), **typed) == {"final": "too_much"}


@pytest.mark.parametrize(
    ("method", "mode", "typed", "where", "code"),
    [
        (STEAM, "dial", {"reading": "-1"}, "reading", "impossible"),
        (STEAM, "dial", {"reading": "5 gal/min"}, "reading", "wrong_dimension"),
        (FEED, "register", {**FROM_TO, "hours": "0"}, "hours", "impossible"),
        (FEED, "register", {**FROM_TO, "multiplier": "0"}, "multiplier", "impossible"),
        (FEED, "register", {**FROM_TO, "rolled": "maybe"}, "rolled", "not_a_choice"),
        (FEED, "register", {**FROM_TO, "final": "12 °C"}, "final", "wrong_dimension"),
        (DRUM, "dial", {"reading": "150 psi"}, "reading", "wrong_dimension"),
        (DRUM, "dial", {"reading": "22000 kPag"}, "reading", "impossible"),
        (DRUM, "dial", {"reading": "-100 kPag", "below_tap": "10"}, "below_tap", "below_vacuum"),
        (VALVE, "percent", {"reading": "101"}, "reading", "impossible"),
        (VALVE, "percent", {"reading": "40 ppm"}, "reading", "wrong_dimension"),
        (VALVE, "turns", {"turns": "6", "full_turns": "5"}, "turns", "more_than_whole"),
        (TANK, "height", {"height": "10", "full_height": "0"}, "full_height", "impossible"),
        (SOFTENER, "since_regeneration", {"reading": "-1"}, "reading", "impossible"),
    ],
)
def test_bad_input_stands_beside_its_field(method, mode, typed, where, code):
    assert trouble(method, mode, **typed) == {where: code}


def test_drum_pressure_and_the_water_above_its_gauge():
    """10 m of cold water: 998.2 times 9.80665 times 10 Pa, 97.89 kPa (Tanaka 2001; CGPM 1901)."""
    plain = work(DRUM, "dial", reading="150 psig")
    assert plain.value == pytest.approx(150 * 6.894757, rel=1e-6)
    lower = work(DRUM, "dial", reading="150 psig", below_tap="10")
    assert plain.value - lower.value == pytest.approx(97.89, abs=0.01)
    assert parts_of(plain)["instrument"] == pytest.approx(1034.21 * 0.02 / ROOT3, rel=1e-5)
    assert parts_of(plain)["last digit of the reading"] == pytest.approx(0.5 * 6.894757 / ROOT3)
    scaled = work(DRUM, "dial", reading="150 psig", full_scale="300 psig")
    assert parts_of(scaled)["instrument"] == pytest.approx(2068.43 * 0.01 / ROOT3, rel=1e-5)
    known = work(DRUM, "dial", InstrumentFacts(accuracy_percent=0.5), reading="150 psig")
    assert parts_of(known)["instrument"] == pytest.approx(1034.21 * 0.005 / ROOT3, rel=1e-5)


def test_settings_are_shares_of_the_whole():
    """By hand: 1.5 of 6 turns are 25 %; 30 of 48 inches are 62.5 %."""
    assert work(VALVE, "turns", turns="1.5", full_turns="6").value == pytest.approx(25.0)
    level = work(TANK, "height", height="30 in", full_height="48 in")
    assert level.value == pytest.approx(62.5)
    parts = parts_of(level)
    assert parts["reading the scale"] == pytest.approx(1.0 / ROOT3)
    assert parts["last digit of the reading"] == pytest.approx(0.5 / 48.0 * 100.0 / ROOT3)
    assert parts["last digit of the whole"] == pytest.approx(62.5 * 0.5 / 48.0 / ROOT3)
    shown = work(VALVE, "percent", reading="35 %")
    assert shown.value == 35.0
    assert parts_of(shown)["last digit of the reading"] == pytest.approx(0.5 / ROOT3)


def test_a_pump_may_have_two_scales():
    found = work_all(PUMP, "stroke_and_speed", reading="60", speed="80")
    assert (found["pump_stroke"].value, found["pump_speed"].value) == (60.0, 80.0)
    assert set(work_all(PUMP, "stroke", reading="60")) == {"pump_stroke"}


@pytest.mark.parametrize(("rated", "spent"), [("40", False), ("39.9", True), ("", False)])
def test_a_spent_softener_is_told(rated, spent):
    found = work(SOFTENER, "register", initial="100", final="140", rated=rated)
    assert found.value == 40.0
    assert any("regenerate it" in note for note, _ in found.notes) is spent


def test_gallons_by_the_thousand():
    """1 US gallon is 3.785411784 L."""
    found = work(SOFTENER, "since_regeneration", units={"reading": "kgal"}, reading="10")
    assert found.value == pytest.approx(37.854, abs=1e-3)


def test_little_water_keeps_its_whole_budget():
    """By hand, JCGM 100:2008, 4.3.7: 0.010 m³; none of its small parts is dropped."""
    found = parts_of(work(SOFTENER, "since_regeneration", reading="0.010"))
    assert found == pytest.approx(
        {"instrument": 0.010 * 0.02 / ROOT3, "last digit of the reading": 0.0005 / ROOT3}
    )
    flow = work_all(MAKEUP, "dial_volume", reading="0.0010", temperature="20")["makeup_flow"]
    expected = 0.001 * (998.21 - 997.77 + 998.21 * 0.006) / ROOT3
    assert parts_of(flow)["density"] == pytest.approx(expected, rel=5e-3)


def test_a_register_without_a_clock_knows_no_time():
    entry = SOFTENER.read("register", {"initial": "100", "final": "140"}, {})
    assert through(entry) == Through(amount=40.0, first_step=1.0, last_step=1.0)
    assert (through(entry).hours, through(entry).hours_step) == (0.0, 0.0)
