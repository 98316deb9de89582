"""How the calculator's answers are shown, and what happens at the ends of what can be typed."""

from urllib.parse import parse_qsl

import pytest

from chemistry import calculations
from chemistry.calculations.base import Given
from tests.chemistry.test_calculations import answers, value
from tests.golden import golden


def pinned(row):
    return pytest.param(row, id=f"{row['calculation']} {row['typed']}")


@pytest.mark.parametrize("row", [pinned(row) for row in golden("calculation_answers")])
def test_answers_are_shown_as_pinned(row):
    """Pinned: worked out here, so that no figure changes its digits, place or order unseen."""
    typed = dict(parse_qsl(row["typed"]))
    calculation = calculations.get(row["calculation"])
    told = []
    for each in calculation.found(calculation.read(typed, {})).answers:
        ends = "" if each.low is None else f"[{each.text(each.low)}..{each.text(each.high)}]"
        told.append(f"{each.key}={each.text(each.value)}{ends}")
    assert " ".join(told) == row["answers"]


def test_an_empty_field_counts_as_nothing_unless_told():
    calculation = calculations.get("composition")
    given = Given(calculation.read({}, {}))
    assert given.get("Na") == 0.0 and given.get("Na", 3.0) == 3.0 and given.maybe("Na") is None


def test_any_blowdown_above_nothing_is_worked_with():
    found = answers("course", now="2", feed="1", steam="1", blowdown="0.005", mass="9")
    assert found["constant"].value == pytest.approx(1800.0)


@pytest.mark.parametrize("ph", ["2.5", "6.5", "9.5"])
def test_a_ph_taken_at_25_c_stays_what_it_is(ph):
    assert value("ph_at_25", "ph_25", ph=ph) == pytest.approx(float(ph), abs=1e-4)


def test_what_is_needed_is_caustic_while_the_water_is_below_the_ph_wanted():
    calculation = calculations.get("ph_by_base")
    found = calculation.found(calculation.read(calculation.example, {}))
    assert found.answers[1].label == "Caustic soda, NaOH" and not found.remarks


def test_the_smallest_flow_tells_how_long_a_softener_lasts():
    found = answers("softener_left", capacity="30", inlet="300", throughput="75", flow="0.005")
    assert found["hours"].value == pytest.approx(5000.0)


@pytest.mark.parametrize("key", ["steam", "permitted"])
def test_silica_is_good_to_thirty_percent_either_way(key):
    """The ray law, from memory."""
    found = answers("steam_silica", SiO2="50", pressure="60 barg")[key]
    assert found.low == pytest.approx(0.7 * found.value)
    assert found.high == pytest.approx(1.3 * found.value)
