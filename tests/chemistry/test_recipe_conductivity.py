"""A conductivity meter held against a standard: what it finds, by hand and by published tables."""

import math

import pytest

from chemistry import recipes
from chemistry.methods.base import InstrumentFacts
from chemistry.recipes.base import EffectKind
from chemistry.recipes.tolerance import Acceptance, Tolerance
from chemistry.standards import Standard, kcl
from tests.chemistry.checking import check, parts, said, trouble
from tests.golden import golden

RECIPE = recipes.get("conductivity", "1")
STANDARD = {"standard": kcl(1400.0, 3.0)}
TYPED = {"reading": "1400.", "temperature": "25"}


def found(standards=STANDARD, tolerances=None, *, last=None, facts=None, **typed):
    return check(RECIPE, standards, tolerances, last=last, facts=facts, **{**TYPED, **typed})


@pytest.mark.parametrize("row", golden("kcl_conductivity"), ids=lambda row: row["temp_c"])
def test_a_meter_that_shows_the_table_deviates_by_nothing(row):
    """CRC Handbook p. 5-73 (published): 0.01 mol/kg KCl, shown uncorrected at each temperature."""
    seen = found(
        {"standard": kcl(1408.23, 0.4)},
        reading=row["m001"],
        temperature=row["temp_c"],
        correction="no",
    )
    assert seen.figure("deviation").value == pytest.approx(0.0, abs=1e-9)
    assert seen.effect.size == pytest.approx(1.0)


def test_two_percent_per_degree_is_not_taken_for_a_fault_of_the_cell():
    """0.01 mol/kg KCl at 10 °C is 1013.95 (CRC Handbook p. 5-73, published): a faultless meter with
    2.0 %/°C then shows 1448.5, and a careless check would find it 2.9 % off."""
    seen = found({"standard": kcl(1408.23, 0.4)}, reading="1448.5", temperature="10")
    assert abs(seen.figure("deviation_percent").value) < 0.01
    assert "2 %/°C was taken" in said(seen)


@pytest.mark.parametrize(
    ("reading", "acceptance"),
    [
        ("1300.", Acceptance.ACCEPTED),
        ("1500.", Acceptance.ACCEPTED),
        ("1299", Acceptance.NOT_ACCEPTED),
        ("1501", Acceptance.NOT_ACCEPTED),
        ("1.35 mS/cm", Acceptance.ACCEPTED),
    ],
)
def test_a_standard_of_1400_is_accepted_from_1300_to_1500(reading, acceptance):
    """Common practice, no source; typed as the band of the trade and as the share it is."""
    band = {"deviation": Tolerance("deviation", "band", 1300.0, 1500.0, "umho/cm")}
    assert found(reading=reading).acceptance is acceptance
    assert found(tolerances=band, reading=reading).acceptance is acceptance


def test_the_cell_constant_is_what_would_have_shown_the_standard():
    """By definition: constant times conductance; 5 % too much shown, constant 5 % too large."""
    seen = found(reading="1470.", cell_constant="1.05")
    assert seen.figure("cell_constant").value == pytest.approx(1.0)
    assert seen.effect.kind is EffectKind.FACTOR and seen.effect.size == pytest.approx(1.05)
    moved = found(reading="1470.", cell_constant="1.05", last={"cell_constant": 1.02})
    assert moved.figure("cell_constant_drift").value == pytest.approx(100.0 * (1 / 1.02 - 1.0))
    assert "cell_constant" not in {each.key for each in found().figures}
    u = moved.figures[0].budget.combined
    share, constant, drift = (each.budget.combined for each in moved.figures[1:])
    assert share == pytest.approx(u / 14.0)
    assert constant == pytest.approx(u / 1400.0 / 1.05)  # 1.05 shown too much of a constant of 1
    assert drift == pytest.approx(u / 14.0 / 1.05)
    assert moved.effect.u == pytest.approx(u / 1400.0)


def test_a_drift_can_be_given_a_tolerance_of_its_own():
    narrow = {"cell_constant_drift": Tolerance("cell_constant_drift", "limit", -3, 3, "percent")}
    seen = found(tolerances=narrow, reading="1470.", cell_constant="1", last={"cell_constant": 1})
    assert seen.figure("deviation").acceptance is Acceptance.ACCEPTED
    assert seen.acceptance is Acceptance.NOT_ACCEPTED
    assert "since the last check is -4.8 %, outside -3 to 3 %." in said(seen)


def test_the_budget_by_hand():
    """JCGM 100:2008, 4.3.7 and 5.1.2; 0.5 °C and 0.5 %: common practice. At 25 °C a meter of 2 %/K
    in 0.01 mol/kg KCl (1.945 %/K there: CRC table, central difference) hardly feels the
    thermometer."""
    uncorrected = parts(found(correction="no").figures[0])
    assert uncorrected == pytest.approx(
        {
            "standard": 3.0,
            "thermometer": 1400.0 * 0.01945 * 0.5 / math.sqrt(3.0),
            "last digit of the reading": 0.5 / math.sqrt(3.0),
            "repeatability": 7.0,
        },
        rel=1e-2,
    )
    assert uncorrected["last digit of the reading"] == pytest.approx(0.5 / math.sqrt(3.0))
    corrected = parts(found().figures[0])
    assert corrected["thermometer"] == pytest.approx(1400 * 0.00055 * 0.5 / math.sqrt(3), rel=0.1)
    known = found(correction="no", facts=InstrumentFacts(thermometer_u_k=0.05)).figures[0]
    assert parts(known)["thermometer"] == pytest.approx(1400.0 * 0.01945 * 0.05, rel=1e-2)


def test_repeats_are_averaged_and_count():
    seen = found(reading="1390.", reading_2="1400.", reading_3="1410.")
    assert seen.figures[0].value == pytest.approx(0.0)
    assert parts(seen.figures[0])["repeatability"] == pytest.approx(7.0 / math.sqrt(3.0))


@pytest.mark.parametrize(
    ("readings", "settled"),
    [(("1390.", "1409.5"), True), (("1390.", "1410."), False), (("1390.", "1400.", "1413."), True)],
)
def test_readings_that_spread_are_not_settled(readings, settled):
    """2.8 and 3.3 times 0.5 %: ISO 5725-6:1994, 5.2.2 (from memory), and common practice."""
    keys = ("reading", "reading_2", "reading_3")
    seen = found(**dict(zip(keys, readings, strict=False)))
    assert (seen.acceptance is Acceptance.ACCEPTED) is settled
    assert ("not settled" in said(seen)) is not settled


def test_too_poor_a_standard_can_not_tell():
    seen = found({"standard": kcl(1400.0, 60.0)})
    assert seen.acceptance is Acceptance.UNCERTAIN and "better standard" in said(seen)
    assert found({"standard": kcl(1400.0, 60.0)}, reading="1700.").acceptance == "not_accepted"


def test_near_the_end_of_the_tolerance_it_asks_for_a_repeat():
    assert "Repeat it" in said(found(reading="1495."))
    assert said(found()) == ""


def test_a_certificates_coefficient_holds_for_ten_degrees():
    """Rule of our own; the value by hand: 1413 x (1 - 0.019 x 5)."""
    plain = {"standard": Standard(1413.0, "uS/cm", 3.0, percent_per_k=1.9)}
    seen = found(plain, reading="1278.8", temperature="20", correction="no")
    assert seen.figures[0].value == pytest.approx(0.0, abs=0.05)
    assert trouble(RECIPE, plain, **{**TYPED, "temperature": "14.9"}) == {
        "temperature": "standard_temperature"
    }


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"reading": ""}, {"reading": "missing"}),
        ({"reading": "abc"}, {"reading": "not_a_number"}),
        ({"reading": "1,400"}, {"reading": "ambiguous_comma"}),
        ({"reading": "0"}, {"reading": "impossible"}),
        ({"reading": "200001"}, {"reading": "impossible"}),
        ({"reading": "25 °C"}, {"reading": "wrong_dimension"}),
        ({"reading_2": "x"}, {"reading_2": "not_a_number"}),
        ({"temperature": ""}, {"temperature": "missing"}),
        ({"temperature": "-1"}, {"temperature": "impossible"}),
        ({"temperature": "51"}, {"temperature": "impossible"}),
        ({"temperature": "77 °F"}, {}),
        ({"correction": "maybe"}, {"correction": "not_a_choice"}),
        ({"coefficient": "9"}, {"coefficient": "impossible"}),
        ({"cell_constant": "0"}, {"cell_constant": "impossible"}),
        ({"cell_constant": "1,05"}, {}),
    ],
)
def test_bad_input_stands_beside_its_field(change, expected):
    assert trouble(RECIPE, STANDARD, **{**TYPED, **change}) == expected


def test_what_is_wrong_with_standard_or_tolerance_stands_beside_it():
    assert trouble(RECIPE, {}, **TYPED) == {"standard": "standard_needed"}
    ph = {"standard": Standard(7.0, "pH", 0.01)}
    assert trouble(RECIPE, ph, **TYPED) == {"standard": "wrong_dimension"}
    bare = {"standard": Standard(1400.0, "uS/cm", 3.0)}
    assert trouble(RECIPE, bare, **{**TYPED, "temperature": "25.6"}) == {
        "temperature": "standard_temperature"
    }
    missed = {"deviation": Tolerance("deviation", "band", 1450.0, 1500.0, "umho/cm")}
    assert trouble(RECIPE, STANDARD, missed, **TYPED) == {"deviation": "tolerance_misses"}
