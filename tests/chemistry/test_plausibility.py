"""Doubts on entry beside the last results: what is asked, what is let pass, and how often each is
right on simulated benches. All figures are invented; the slips are common practice, no source."""

import math
import sys
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry import units
from chemistry.plausibility import MAD_TO_SIGMA, other_units, suspicions
from tests.chemistry import plausibility_simulation as simulation
from tests.chemistry import simulated_plants as plants

STEADY = [2000.0] * 10
HELD_OUT = 20261125  # the thresholds were chosen on other seeds (1 to 5 and 11)


def doubts(value, recent=STEADY, **more):
    asked = {"u": 0.0, "unit": "uS/cm", "resolution": 0.0, "unit_factors": {"mS/cm": 1000.0}}
    return suspicions(value=value, recent=recent, **(asked | more))


def code(value, recent=STEADY, **more):
    found = doubts(value, recent, **more)
    return found[0].code if found else ""


def uncompensated(raw, corrected_by, **more):
    return code(raw * corrected_by, raw=raw, corrected_by=corrected_by, **more)


def test_what_the_spread_of_honest_water_is_taken_from():
    """Standard deviation over median absolute deviation of a normal distribution: 1.4826 (common
    practice, no source)."""
    assert pytest.approx(1.4826, abs=5e-5) == MAD_TO_SIGMA


def test_a_usual_result_is_not_asked_about():
    assert doubts(2010.0) == ()


@pytest.mark.parametrize(("count", "said"), [(3, ""), (4, "decimal_slip")])
def test_fewer_than_four_results_say_nothing(count, said):
    assert code(200.0, [2000.0] * count) == said


@pytest.mark.parametrize("value", [200.0, 20.0, 20000.0, 200000.0])
def test_a_missed_multiplier_makes_a_power_of_ten(value):
    """Range switch, cell constant 0.1 or 10, zero or point: common practice, no source."""
    (found,) = doubts(value)
    assert found.code == "decimal_slip"
    assert found.likely == pytest.approx(2000.0)


@pytest.mark.parametrize(("value", "said"), [(0.2, "decimal_slip"), (0.02, "unlikely")])
def test_nobody_misplaces_a_point_by_five_places(value, said):
    assert code(value) == said


def test_the_reason_is_said_in_numbers():
    (found,) = doubts(210.0)
    text = found.template % found.params
    assert "210 µS/cm" in text and "about 10:" in text and "2100 µS/cm would fit" in text


def test_millisiemens_written_as_microsiemens_are_recognized():
    """Common practice, no source: the dial shows 2.01 mS/cm."""
    (found,) = doubts(2.01)
    assert found.code == "unit_slip" and found.params["other"] == "mS/cm"
    assert found.likely == pytest.approx(2010.0)


def test_microsiemens_written_as_millisiemens_are_recognized():
    factors = other_units("mS/cm", ("uS/cm", "umho/cm", "mS/cm"))
    (found,) = doubts(80000.0, [80.0] * 6, resolution=1000.0, unit_factors=factors)
    assert found.code == "unit_slip" and found.likely == pytest.approx(80.0)


def test_units_of_another_zero_or_the_same_size_are_no_slip():
    assert other_units("degC", ("degC", "degF")) == {}
    assert other_units("uS/cm", ("uS/cm", "umho/cm")) == {}


def test_a_reading_corrected_twice_is_recognized():
    """The commonest error of the bench: common practice, no source. 15 °C, 1.9 %/K."""
    by = 1.0 / (1.0 - 0.019 * 10.0)
    (found,) = doubts(2000.0 * by, raw=2000.0, corrected_by=by, temperature_c=15.0)
    assert found.code == "double_compensation" and found.likely == pytest.approx(2000.0)
    assert doubts(2000.0, raw=2000.0 / by, corrected_by=by, temperature_c=15.0) == ()


@pytest.mark.parametrize("mode", ["automatic", "set_on_meter"])
def test_a_meter_that_does_not_correct_is_recognized(mode):
    """15 °C; the water changes by 1.9 %/K: Hayashi (2004), as coded in public sources."""
    shown = 2000.0 * (1.0 - 0.019 * 10.0)
    (found,) = doubts(shown, raw=shown, temperature_c=15.0, mode=mode)
    assert found.code == "missing_compensation" and found.likely == pytest.approx(2000.0)
    assert doubts(shown, raw=shown, temperature_c=15.0, mode="other") == ()


@pytest.mark.parametrize(
    ("true_c", "typed_c", "unit", "said"),
    [
        pytest.param(10.0, 50.0, "degC", "temperature_unit_slip", id="50 °F typed as 50 °C"),
        pytest.param(35.0, 5.0 / 3.0, "degF", "temperature_unit_slip", id="35 °C typed as 35 °F"),
        pytest.param(0.0, 32.0, "degC", "temperature_unit_slip", id="32 °F typed as 32 °C"),
        pytest.param(60.3, 28.3 / 1.8, "degF", "unlikely", id="60.3 °F can't have been 60.3 °C"),
        pytest.param(10.0, 50.0, "degF", "unlikely", id="122 °F can't have been 122 °C"),
        pytest.param(35.0, 5.0 / 3.0, "degC", "unlikely", id="1.7 °F can't have been 1.7 °C"),
    ],
)
def test_degrees_fahrenheit_and_celsius(true_c, typed_c, unit, said):
    raw = 2000.0 * (1.0 + 0.019 * (true_c - 25.0))
    by = 1.0 / (1.0 + 0.019 * (typed_c - 25.0))
    more = {"temperature_c": typed_c, "temperature_unit": unit}
    assert uncompensated(raw, by, **more) == said
    if said != "unlikely":
        assert doubts(raw * by, raw=raw, corrected_by=by, **more)[0].likely == pytest.approx(2000.0)


@pytest.mark.parametrize(
    ("usual", "typed", "said"),
    [
        pytest.param(5790.0, 7590.0, "swapped_digits", id="a factor of 1.31"),
        pytest.param(6800.0, 8600.0, "", id="a factor of 1.26: the water may have done that"),
        pytest.param(1240.0, 1420.0, "", id="a factor of 1.15"),
    ],
)
@pytest.mark.parametrize("size", [1.0, 1e-6])
def test_digits_changed_about(usual, typed, said, size):
    assert code(typed * size, [usual * size] * 10, resolution=10.0 * size) == said


def test_digits_are_those_that_were_typed():
    """The reading is 2140 for 1240; corrected by 1.5 both are."""
    (found,) = doubts(3210.0, [1860.0] * 10, raw=2140.0, resolution=10.0, corrected_by=1.5)
    assert found.code == "swapped_digits" and found.likely == pytest.approx(1860.0)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        pytest.param(2800.0, "", id="a valve left shut for a shift"),
        pytest.param(1200.0, "", id="a valve left open"),
        pytest.param(3990.0, "", id="not yet twice"),
        pytest.param(4020.0, "unlikely", id="more than twice"),
        pytest.param(990.0, "unlikely", id="less than half"),
    ],
)
def test_only_what_honest_water_hardly_does_is_unlikely(value, said):
    assert code(value) == said


def test_unlikely_names_what_is_usual_of_the_last_ten():
    (found,) = doubts(4500.0, [90.0] * 5 + STEADY)
    assert found.likely is None
    assert (found.params["usual"], found.params["count"]) == ("2000", "10")


@pytest.mark.parametrize(("factor", "said"), [(2.50, ""), (2.51, "unlikely")])
def test_six_spreads_are_let_pass_by_an_uncertain_test(factor, said):
    assert code(2000.0 * factor, u=2000.0 * factor * 0.15) == said


@pytest.mark.parametrize(("step", "said"), [(0.90, ""), (0.91, "unlikely")])
def test_six_spreads_are_let_pass_by_restless_water(step, said):
    """Steps of 0.1 in ln: spread 1.4826 times that, and the floor."""
    logs = [0.0, 0.0, 0.1, 0.0, 0.1, 0.0, 0.0, 0.1, 0.0, 0.0]
    assert code(2000.0 * math.exp(step), [2000.0 * math.exp(each) for each in logs]) == said


@pytest.mark.parametrize(
    ("times", "said"), [(1.595, "decimal_slip"), (1.605, "unlikely"), (0.64, "decimal_slip")]
)
def test_a_slip_is_recognized_while_the_water_moves(times, said):
    assert code(200.0 * times, unit_factors={}) == said


@pytest.mark.parametrize(("factor", "said"), [(4.98, "unlikely"), (5.02, "unit_slip")])
def test_a_slip_of_five_is_large(factor, said):
    assert code(3000.0 / factor, unit_factors={"mg/L": factor}) == said


@pytest.mark.parametrize(("off", "said"), [(0.802, ""), (0.808, "unit_slip")])
def test_a_large_slip_brings_it_nearer(off, said):
    """By hand: half of ln 5 is 0.805. The test is so uncertain that either would fit."""
    value = 2000.0 * math.exp(-off)
    assert code(value, u=0.45 * value, unit_factors={"mg/L": 5.0}) == said


@pytest.mark.parametrize(
    ("per_k", "said"), [(0.0398, "temperature_unit_slip"), (0.0402, "unlikely")]
)
def test_no_straight_line_holds_where_water_would_conduct_nothing(per_k, said):
    """At 0 °C a coefficient of 4 %/K leaves nothing. 32 °F was typed as 32 °C."""
    by = 1.0 / (1.0 + per_k * 7.0)
    assert uncompensated(2000.0 * 0.005, by, temperature_c=32.0, unit_factors={}) == said


@pytest.mark.parametrize(
    ("raw", "by", "u", "said"),
    [
        pytest.param(2000.0, 1.14, 0.0, "", id="too small a correction to matter"),
        pytest.param(2000.0, 1.16, 0.0, "double_compensation", id="large enough"),
        pytest.param(1888.0, 1.2, 0.0, "double_compensation", id="within two spreads"),
        pytest.param(1883.0, 1.2, 0.0, "", id="beyond two spreads"),
        pytest.param(1956.0, 1.2, 0.0954, "double_compensation", id="evidence enough"),
        pytest.param(1955.0, 1.2, 0.0954, "", id="too little evidence"),
    ],
)
def test_compensation_is_asked_about_only_with_evidence(raw, by, u, said):
    assert uncompensated(raw, by, u=u * raw * by) == said


def test_what_was_confirmed_is_not_asked_again_nor_the_way_back():
    leak = [20.0] * 8 + [90.0]
    assert code(85.0, leak) == "" and code(21.0, leak) == "" and code(50.0, leak) == ""
    assert code(900.0, leak) != ""


def test_a_slip_that_was_confirmed_does_not_become_the_level():
    after = [*STEADY[1:], 20000.0]
    assert code(2010.0, after) == ""
    assert code(200.0, after) == "decimal_slip"


def test_results_of_nothing_are_no_trouble():
    nothing = [0.0] * 10
    assert code(0.0, nothing, resolution=0.1) == "" and code(0.1, nothing, resolution=0.1) == ""
    (found,) = doubts(40.0, nothing, resolution=1.0)
    assert found.code == "unlikely" and found.params["usual"] == "0"
    assert doubts(5.0, nothing, resolution=0.0) == ()


@pytest.mark.parametrize(("value", "said"), [(2.10, ""), (2.11, "unlikely")])
def test_a_result_of_nothing_counts_as_half_a_digit(value, said):
    """By hand: ln(2.1 / 0.5) is 1.435; six spreads, of 0.03 and 0.5 / 2.1, are 1.440."""
    assert code(value, [0.0] * 10, resolution=1.0) == said


def test_small_numbers_have_a_level_too():
    """2 µS/cm, kept in mS/cm."""
    assert code(0.0002, [0.002] * 10, unit="mS/cm") == "decimal_slip"


positive = st.floats(1e-3, 1e6)


@given(
    positive,
    st.lists(st.floats(0.0, 1e6), max_size=14),
    st.floats(0.3, 3.0),
    st.floats(0.0, 60.0),
    st.sampled_from(["degC", "degF"]),
    st.sampled_from(["", "automatic", "uncompensated"]),
    st.floats(1e-3, 1e3),
)
def test_any_numbers_give_at_most_one_whole_sentence(raw, recent, by, temp, unit, mode, resolution):
    corrected = by if mode == "uncompensated" else None
    found = doubts(
        raw * (corrected or 1.0),
        recent,
        u=0.01 * raw,
        raw=raw,
        corrected_by=corrected,
        temperature_c=temp,
        temperature_unit=unit,
        mode=mode,
        resolution=resolution,
    )
    assert len(found) <= 1
    for each in found:
        assert "%(" not in each.template % each.params
        assert each.likely is None or each.likely > 0.0


@pytest.mark.parametrize("value", [2.0, 19.0, 210.0, 1700.0, 2100.0, 5500.0, 23000.0])
def test_the_unit_of_the_result_makes_no_difference(value):
    recent = [1900.0, 2050.0, 2100.0, 1980.0, 2040.0]
    milli = [units.convert(each, "uS/cm", "mS/cm") for each in recent]
    one = code(value, recent, u=0.01 * value)
    assert code(value / 1e3, milli, u=1e-5 * value, unit="mS/cm") == one


# Shares on simulated benches, on a seed that no threshold was chosen on. The bounds are what is
# wanted of the rule, where it does better than that, and else what was measured, rounded off.


@pytest.fixture(scope="module")
def drums():
    return simulation.simulate(HELD_OUT)


@pytest.fixture(scope="module")
def condensate():
    return simulation.simulate(HELD_OUT, (plants.CONDENSATE,))


def told(record_property, name, counts):
    """Print a share, so that `pytest -rP` shows the table."""
    said = f"asked {counts.share_asked:.4f}, explained {counts.share_explained:.4f}"
    record_property(name, counts.share_asked)
    sys.stdout.write(f"{name}: {said} of {counts.tried}\n")
    return counts


def slips(outcome, name, far=None):
    found = [
        counts
        for (slip, is_far), counts in outcome.slips.items()
        if slip == name and far in (None, is_far)
    ]
    return simulation.total(found)


def honest(outcome, label, kind=""):
    found = [
        counts
        for (name, its_label), counts in outcome.honest.items()
        if its_label == label and name.startswith(kind)
    ]
    return simulation.total(found)


CAUGHT = [  # slip, at 8 K or more from 25 °C (None: at any), least share asked, explained
    ("tenfold", None, 0.95, 0.95),
    ("hundredfold", None, 0.98, 0.95),
    ("mS as µS", None, 0.90, 0.90),
    ("corrected twice", True, 0.80, 0.75),
    ("not corrected", True, 0.80, 0.75),
    ("°F for °C", None, 0.95, 0.85),
    ("digits swapped", None, 0.70, 0.60),
]


@pytest.mark.parametrize(("name", "far", "asked", "explained"), CAUGHT)
def test_slips_are_caught_and_explained(drums, record_property, name, far, asked, explained):
    counts = told(record_property, name, slips(drums, name, far))
    assert counts.tried > 500
    assert counts.share_asked >= asked
    assert counts.share_explained >= explained


def test_small_corrections_are_mostly_not_told_apart(drums, record_property):
    """A known limit: nearer than 8 K to 25 °C a slip of compensation drowns in the wandering."""
    counts = told(record_property, "corrected twice, near", slips(drums, "corrected twice", False))
    assert counts.share_asked < 0.2


@pytest.mark.parametrize(("label", "most"), [("ordinary", 0.02), ("first", 0.10), ("later", 0.05)])
def test_honest_results_are_seldom_asked_about(drums, record_property, label, most):
    counts = told(record_property, f"honest, {label}", honest(drums, label))
    assert counts.tried > 300
    assert counts.share_asked <= most


@pytest.mark.parametrize(
    ("kind", "ordinary", "first"),
    [("mill", 0.01, 0.05), ("hospital", 0.015, 0.22), ("dairy", 0.02, 0.10)],
)
def test_each_kind_of_plant_is_told(drums, record_property, kind, ordinary, first):
    """A known limit: a small boiler rises in a shift by what a correction makes, so one in six
    first results of an excursion is asked about."""
    usual = told(record_property, f"{kind}, ordinary", honest(drums, "ordinary", kind))
    began = told(record_property, f"{kind}, first", honest(drums, "first", kind))
    assert usual.share_asked <= ordinary
    assert began.share_asked <= first


def test_condensate_wanders_too_much_to_be_told_so_well(condensate, record_property):
    """A known limit: results 20 % apart are asked about more often, and a leak nearly always is."""
    assert told(record_property, "condensate", honest(condensate, "ordinary")).share_asked <= 0.05
    assert told(record_property, "leak", honest(condensate, "first")).share_asked >= 0.5
    for name in ("tenfold", "mS as µS", "µS as mS"):
        counts = told(record_property, f"condensate, {name}", slips(condensate, name))
        assert counts.tried > 300 and counts.share_asked >= 0.95


def test_restless_drums_are_not_asked_about_more(record_property):
    """Feed that wanders twice as much, load half as much again: less is caught, no more asked."""
    kinds = tuple(
        replace(kind, wander=2.0 * kind.wander, load_wander=1.5 * kind.load_wander)
        for kind in plants.DRUMS
    )
    found = simulation.simulate(HELD_OUT + 1, kinds, series=40)
    assert told(record_property, "restless", honest(found, "ordinary")).share_asked <= 0.02
    assert told(record_property, "restless, first", honest(found, "first")).share_asked <= 0.10
    counts = told(record_property, "restless, twice", slips(found, "corrected twice", True))
    assert counts.tried > 300 and counts.share_asked >= 0.70


def test_a_simulation_can_be_repeated():
    one, two = (simulation.simulate(7, (plants.MILL,), series=2) for _ in range(2))
    assert one.honest == two.honest and one.slips == two.slips
