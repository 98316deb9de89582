"""pH electrodes and meters in buffers: slope, offset, what is off, and what stands in the way."""

import math

import pytest

from chemistry import recipes
from chemistry.methods.base import InstrumentFacts
from chemistry.recipes.base import EffectKind
from chemistry.recipes.ph_electrode import NERNST_MV_PER_K
from chemistry.recipes.tolerance import Acceptance
from chemistry.standards import Standard, buffer
from tests.chemistry.checking import check, parts, said, trouble

ELECTRODE, DISPLAY = recipes.get("ph_electrode", "1"), recipes.get("ph_display", "1")


def plain(*values):
    """Return buffers of a pH each that don't change with temperature."""
    return {
        f"buffer_{place}": Standard(value, "pH", 0.005, steady=True, in_proportion=False)
        for place, value in enumerate(values, 1)
    }


def labeled(*keys):
    return {f"buffer_{place}": buffer(key, 0.005) for place, key in enumerate(keys, 1)}


def electrode(standards, *millivolts, last=None, **typed):
    readings = {f"mv_{place}": f"{mv:.4f}" for place, mv in enumerate(millivolts, 1)}
    return check(ELECTRODE, standards, last=last, **{"temperature": "25", **readings, **typed})


@pytest.mark.parametrize(
    ("temperature", "nernst"),
    [("0", 54.199), ("10", 56.183), ("20", 58.167), ("25", 59.159), ("30", 60.151), ("50", 64.120)],
)
def test_an_electrode_by_nernst_has_a_slope_of_100_percent(temperature, nernst):
    """ln(10) R T / F by the exact constants of the SI (2019), computed elsewhere."""
    seen = electrode(plain(7.0, 10.0), 0.0, -3.0 * nernst, temperature=temperature)
    assert seen.figure("slope").value == pytest.approx(100.0, abs=2e-3)
    assert seen.figure("offset").value == pytest.approx(0.0, abs=1e-9)


def test_nernsts_constant_from_those_of_the_si():
    """k N_A = R, e N_A = F: 8.314462618 J/(mol K) and 96485.33212 C/mol, SI (2019), from memory."""
    assert pytest.approx(math.log(10.0) * 8314.462618 / 96485.33212, abs=5e-7) == NERNST_MV_PER_K


def test_a_tired_electrode_by_hand():
    """56.5 mV/pH of 59.159 is 95.5 %; the line meets pH 7 at 12 mV."""
    seen = electrode(plain(4.0, 10.0), 12.0 + 3 * 56.5, 12.0 - 3 * 56.5)
    assert seen.figure("slope").value == pytest.approx(95.505, abs=2e-3)
    assert seen.figure("offset").value == pytest.approx(12.0, abs=1e-6)
    assert seen.acceptance is Acceptance.ACCEPTED
    assert seen.effect.kind is EffectKind.NOT_PLAIN and seen.levels == (4.0, 10.0)


@pytest.mark.parametrize(
    ("share", "acceptance"),
    [
        (0.40, "not_accepted"),
        (0.919, "not_accepted"),
        (0.921, "accepted"),
        (1.019, "accepted"),
        (1.021, "not_accepted"),
    ],
)
def test_what_slope_is_accepted(share, acceptance):
    """92 to 102 %: common practice, no source."""
    assert electrode(plain(4.0, 10.0), 0.0, -6.0 * 59.159 * share).figure("slope").acceptance == (
        acceptance
    )


@pytest.mark.parametrize(
    ("offset", "acceptance"), [(29.9, "accepted"), (30.1, "not_accepted"), (-30.1, "not_accepted")]
)
def test_what_offset_is_accepted(offset, acceptance):
    """± 30 mV at pH 7: common practice, no source."""
    seen = electrode(plain(7.0, 10.0), offset, offset - 3.0 * 59.16)
    assert seen.figure("offset").acceptance == acceptance


def test_three_buffers_tell_whether_the_line_is_straight():
    """By hand: 12 mV at the middle buffer are 0.203 pH off the straight line."""
    straight = electrode(plain(4.0, 7.0, 10.0), 177.0, 0.0, -177.0)
    assert straight.figure("bend").value == pytest.approx(0.0)
    bent = electrode(plain(4.0, 7.0, 10.0), 177.0, -12.0, -177.0)
    assert bent.figure("bend").value == pytest.approx(12.0 / 59.159, abs=1e-4)
    assert bent.acceptance is Acceptance.NOT_ACCEPTED and "off the line" in said(bent)
    # the least-squares slope of points that lie evenly is that of the outer two
    assert bent.figure("slope").value == straight.figure("slope").value
    assert bent.figure("offset").value == pytest.approx(-4.0)


def test_buffers_may_stand_in_any_order():
    one = electrode(plain(4.0, 7.0, 10.0), 177.0, -2.0, -177.0)
    other = electrode(plain(10.0, 4.0, 7.0), -177.0, 177.0, -2.0)
    for key in ("slope", "offset", "bend"):
        assert other.figure(key).value == pytest.approx(one.figure(key).value)


def test_buffers_at_temperature():
    """Borax and calcium hydroxide at 10 °C: 9.33 (JIS Z 8802:2011) and 13.003 (Bates, 1962, from
    memory)."""
    seen = electrode(labeled("borax", "calcium_hydroxide"), 0.0, -3.673 * 56.183, temperature="10")
    assert seen.figure("slope").value == pytest.approx(100.0, abs=0.01)


def test_what_moved_since_the_last_check():
    seen = electrode(plain(7.0, 10.0), 5.0, 5.0 - 177.477, last={"slope": 97.0, "offset": -3.0})
    assert seen.figure("slope_drift").value == pytest.approx(3.0, abs=2e-3)
    assert seen.figure("offset_drift").value == pytest.approx(8.0)
    assert "slope_drift" not in {each.key for each in electrode(plain(7, 10), 0, -177).figures}


def test_the_budget_of_slope_and_offset_by_hand():
    """JCGM 100:2008: with 7 and 10 the slope takes both ends by a third of a pH, the offset the
    first alone; 0.5 mV as limits, 0.5 mV scatter, 0.5 °C as limits: common practice."""
    seen = electrode(plain(7.0, 10.0), 0.0, -177.48)
    mv = math.hypot(0.5 / math.sqrt(3.0), 0.5)
    slope, offset = (seen.figure(key).budget for key in ("slope", "offset"))
    per_mv = 100.0 / 3.0 / 59.159
    terms = (mv * per_mv, mv * per_mv, 0.5 / 3.0, 0.5 / 3.0, 100.0 * 0.5 / math.sqrt(3) / 298.15)
    assert slope.combined == pytest.approx(math.hypot(*terms), rel=1e-3)
    assert offset.combined == pytest.approx(math.hypot(mv, 0.005 * 59.16), rel=1e-3)


def test_a_poor_thermometer_and_a_coarse_scale_by_hand():
    """The slope goes with the absolute temperature; half a digit of 1 mV joins 0.5 and 0.5."""
    typed = {"temperature": "25", "mv_1": "0", "mv_2": "-177"}
    seen = check(ELECTRODE, plain(7.0, 10.0), facts=InstrumentFacts(thermometer_u_k=9.0), **typed)
    slope = seen.figure("slope")
    assert parts(slope)["thermometer"] == pytest.approx(slope.value * 9.0 / 298.15, rel=2e-3)
    mv = math.hypot(0.5 / math.sqrt(3.0), 0.5, 0.5 / math.sqrt(3.0))
    read = [each.u for each in seen.figure("offset").budget.components if "reading" in each.name]
    assert math.hypot(*read) == pytest.approx(mv, rel=1e-6)


def test_the_water_ought_to_lie_between_the_buffers():
    seen = electrode(plain(4.0, 7.0), 177.0, 0.0, water_ph="11")
    assert "carbonate 10.01 and calcium hydroxide 12.45" in said(seen)
    assert said(electrode(plain(10.0, 12.45), -177.0, -321.9, water_ph="11")) == ""


def test_the_same_reading_in_two_buffers_is_a_failed_electrode():
    seen = electrode(plain(4.0, 7.0), 12.0, 12.0)
    assert seen.acceptance is Acceptance.NOT_ACCEPTED and "cracked glass" in said(seen)
    assert "cracked" not in said(electrode(plain(4.0, 7.0), 12.0, 11.0))


TYPED = {"mv_1": "0", "mv_2": "-177.5", "temperature": "25"}


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, {}),
        ({"mv_1": "-177.5", "mv_2": "0"}, {"mv_2": "swapped"}),
        ({"mv_1": ""}, {"mv_1": "missing"}),
        ({"mv_2": "abc"}, {"mv_2": "not_a_number"}),
        ({"mv_1": "501"}, {"mv_1": "impossible"}),
        ({"mv_1": "-501"}, {"mv_1": "impossible"}),
        ({"mv_1": "1 pH"}, {"mv_1": "wrong_dimension"}),
        ({"mv_3": "5"}, {"buffer_3": "standard_needed"}),
        ({"temperature": "51"}, {"temperature": "impossible"}),
        ({"water_ph": "15"}, {"water_ph": "impossible"}),
    ],
)
def test_bad_input_stands_beside_its_field(change, expected):
    assert trouble(ELECTRODE, plain(7.0, 10.0), **{**TYPED, **change}) == expected


def test_buffers_that_do_not_serve_are_refused():
    assert trouble(ELECTRODE, plain(7.0), **TYPED) == {"buffer_2": "standard_needed"}
    assert trouble(ELECTRODE, plain(7.0, 7.4), **TYPED) == {"buffer_2": "one_buffer"}
    assert trouble(ELECTRODE, plain(7.0, 7.5), **TYPED) == {}
    assert trouble(ELECTRODE, plain(7.0, 10.0, 4.0), **TYPED) == {"mv_3": "missing"}
    cold = {**TYPED, "temperature": "15"}
    assert trouble(ELECTRODE, labeled("seven", "carbonate"), **cold) == {
        "temperature": "standard_temperature"
    }


def test_a_slope_that_only_looks_swapped_is_told_from_a_broken_one():
    """Rule of our own: beyond -50 % it is a slip, from there to 0 a bad electrode."""
    assert trouble(ELECTRODE, plain(7.0, 10.0), **{**TYPED, "mv_2": "88.5"}) == {}
    assert trouble(ELECTRODE, plain(7.0, 10.0), **{**TYPED, "mv_2": "89"}) == {"mv_2": "swapped"}


def display(standards, *shown, **typed):
    readings = {f"shown_{place}": text for place, text in enumerate(shown, 1)}
    return check(DISPLAY, standards, **{"temperature": "25", **readings, **typed})


@pytest.mark.parametrize(
    ("shown", "acceptance"),
    [
        ("10.00", "accepted"),
        ("10.10", "accepted"),
        ("10.11", "not_accepted"),
        ("9.89", "not_accepted"),
    ],
)
def test_a_display_may_be_off_by_a_tenth(shown, acceptance):
    """Common practice, no source."""
    assert display(plain(10.0), shown).acceptance == acceptance


def test_an_error_that_all_buffers_share_is_an_offset():
    seen = display(plain(7.0, 10.0), "7.15", "10.16")
    assert seen.effect.kind is EffectKind.OFFSET
    assert (seen.effect.size, seen.effect.unit) == (pytest.approx(0.155), "pH")
    assert [each.at for each in seen.figures] == [7.0, 10.0]
    assert [each.label for each in seen.figures] == ["Deviation", "Deviation at the second point"]


def test_an_error_that_grows_with_the_ph_is_none():
    assert display(plain(7.0, 10.0), "7.00", "10.20").effect.kind is EffectKind.NOT_PLAIN


def test_one_buffer_tells_no_offset():
    seen = display(plain(10.0), "10.30")
    assert seen.effect.kind is EffectKind.NOT_PLAIN and "second one" in said(seen)
    assert "cracked" not in said(seen)


def test_the_budget_of_a_display_by_hand():
    """0.02 scatter, half a digit as limits; carbonate moves 0.0096 per K about 25 °C (Staples and
    Bates, 1969: 10.062 to 9.966 from 20 to 30 °C, from memory), 0.5 °C as limits."""
    found = parts(display({"buffer_1": buffer("carbonate", 0.01)}, "10.01").figures[0])
    assert found == pytest.approx(
        {
            "standard": 0.01,
            "thermometer": 0.0096 * 0.5 / math.sqrt(3.0),
            "last digit of the reading": 0.005 / math.sqrt(3.0),
            "repeatability": 0.02,
        },
        rel=0.02,
    )
    assert found["last digit of the reading"] == pytest.approx(0.005 / math.sqrt(3.0))


def test_bad_input_of_a_display_stands_beside_its_field():
    typed = {"shown_1": "10", "temperature": "25"}
    cases = {
        "": ({"shown_1": ""}, {"shown_1": "missing"}),
        "high": ({"shown_1": "14.1"}, {"shown_1": "impossible"}),
        "low": ({"shown_1": "-0.1"}, {"shown_1": "impossible"}),
        "no buffer": ({"shown_2": "7"}, {"buffer_2": "standard_needed"}),
    }
    for change, expected in cases.values():
        assert trouble(DISPLAY, plain(10.0), **{**typed, **change}) == expected
    assert trouble(DISPLAY, plain(10.0, 7.0), **typed) == {"shown_2": "missing"}


def test_swapped_buffers_of_a_display_are_refused_and_a_dead_electrode_is_not():
    typed = {"temperature": "25", "shown_1": "10.01", "shown_2": "7.02"}
    assert trouble(DISPLAY, plain(7.0, 10.0), **typed) == {"shown_2": "swapped"}
    assert trouble(DISPLAY, plain(10.0, 7.0), **typed) == {}
    dead = display(plain(7.0, 10.0), "7.3", "7.3")
    assert dead.acceptance is Acceptance.NOT_ACCEPTED and "cracked glass" in said(dead)
    # half a pH the wrong way is still a bad electrode: rule of our own
    assert display(plain(7.0, 10.0), "7.5", "7.0").acceptance is Acceptance.NOT_ACCEPTED
    slip = {"temperature": "25", "shown_1": "7.51", "shown_2": "7.00"}
    assert trouble(DISPLAY, plain(7.0, 10.0), **slip) == {"shown_2": "swapped"}
