"""Boiling in a deaerator, against the table and its altitude rule."""

import numpy as np
import pytest

from chemistry import methods
from chemistry.deaerator import ALLOWED_GAP_K, atmosphere_kpa, boiling_c
from chemistry.errors import OutOfValidity
from chemistry.units import convert, convert_step
from chemistry.water import saturation_temperature_c
from tests.chemistry.workings import parts_of, trouble, work_all
from tests.golden import golden

DEAERATOR = methods.get("deaerator", "1")


@pytest.mark.parametrize("row", golden("deaerator_temperature"), ids=lambda row: row["psig"])
def test_the_table_of_ufc(row):
    """The rows that agree with IF97 within 0.08 °F; 12 to 17 psig are misprinted by 0.6 °F."""
    gauge = convert(float(row["psig"]), "psig", "kPag")
    assert convert(boiling_c(gauge), "degC", "degF") == pytest.approx(float(row["temp_f"]), abs=0.1)


@pytest.mark.parametrize("feet", [500, 1000, 2000, 3000, 5000])
def test_the_altitude_rule_of_ufc(feet):
    """UFC 3-240-13FN (2005), note to Table 3-2, published: 1 °F less for each 500 ft, a rule of
    thumb that the standard atmosphere meets within 1 °F at 0 psig."""
    found = convert(boiling_c(0.0, feet * 0.3048), "degC", "degF")
    assert found == pytest.approx(212.0 - feet / 500.0, abs=1.0)


@pytest.mark.parametrize(
    ("altitude", "kpa"), [(0.0, 101.325), (1000.0, 89.875), (2000.0, 79.495), (5000.0, 54.020)]
)
def test_the_standard_atmosphere(altitude, kpa):
    """ISO 2533:1975, from memory."""
    assert atmosphere_kpa(altitude) == pytest.approx(kpa, abs=0.01)
    assert atmosphere_kpa(np.array([altitude])) == pytest.approx([kpa], abs=0.01)


@pytest.mark.parametrize("altitude", [-501.0, 5001.0, float("nan")])
def test_no_plant_stands_there(altitude):
    with pytest.raises(OutOfValidity):
        atmosphere_kpa(altitude)


def test_where_no_altitude_is_given_it_is_the_sea():
    """10th CGPM (1954): 101.325 kPa."""
    assert boiling_c(0.0) == pytest.approx(saturation_temperature_c(101.325), abs=1e-9)


def test_the_allowed_gap_is_two_degrees_fahrenheit():
    """UFC 3-240-13FN (2005), note to Table 3-2, published."""
    assert convert_step(2.0, "degF", "K") == pytest.approx(ALLOWED_GAP_K, rel=1e-12)


def gap(**typed):
    return work_all(DEAERATOR, "dial", **typed)["deaerator_gap"]


def test_a_deaerator_that_boils():
    """UFC Table 3-2: 227.1 °F at 5 psig."""
    found = work_all(DEAERATOR, "dial", pressure="5 psig", temperature="226.5 F")
    assert found["deaerator_gap"].value == pytest.approx(0.34, abs=0.02)
    assert found["deaerator_gap"].notes == ()
    assert found["deaerator_pressure"].value == pytest.approx(34.474, abs=1e-3)
    assert found["deaerator_temperature"].value == pytest.approx(108.056, abs=1e-3)


@pytest.mark.parametrize(("temperature", "cold"), [("225.2 F", False), ("225.0 F", True)])
def test_more_than_two_degrees_below_boiling_is_told(temperature, cold):
    """UFC note to Table 3-2: within 2 °F; boiling is 227.10 °F at 5 psig."""
    notes = " ".join(note for note, _ in gap(pressure="5 psig", temperature=temperature).notes)
    assert ("Oxygen stays" in notes) is cold


def test_hotter_than_boiling_can_not_be():
    found = gap(pressure="5.0 psig", temperature="235 F")
    assert found.value < 0.0 and any("can't be" in note for note, _ in found.notes)
    assert not gap(pressure="5.0 psig", temperature="228 F").notes


def test_the_altitude_counts():
    """A plant at 5000 ft: 5 psig boils at 220.1 °F, 7 °F lower than at the sea."""
    found = gap(pressure="5 psig", temperature="219.5 F", altitude="5000 ft")
    assert found.value == pytest.approx(0.32, abs=0.02) and not found.notes


def test_its_budget_by_hand():
    """Stated defaults, JCGM 100:2008, 4.3.7: 1 K, and 2 % of 34.47 kPa at 0.22 K/kPa.

    The slope lies between those of UFC Table 3-2 (published) from 3 to 5 and from 5 to 10 psig.
    """
    found = gap(pressure="5.00 psig", temperature="108.0")
    per_kpa = (boiling_c(35.474) - boiling_c(34.474)) / 1.0
    root3 = 3.0**0.5
    parts = parts_of(found)
    assert parts["thermometer"] == pytest.approx(1.0 / root3)
    assert parts["last digit of the reading"] == pytest.approx(0.05 / 1.8 / root3)  # °F
    assert parts["pressure gauge"] == pytest.approx(0.02 * 34.474 * per_kpa / root3, rel=1e-4)
    per_psi = per_kpa * 6.894757 * 1.8
    assert (239.4 - 227.1) / 5.0 < per_psi < (227.1 - 221.5) / 2.0
    scaled = parts_of(gap(pressure="5.00 psig", temperature="108.0", full_scale="30 psig"))
    assert scaled["pressure gauge"] == pytest.approx(3.0 * parts["pressure gauge"], rel=1e-6)


@pytest.mark.parametrize(
    ("typed", "where", "code"),
    [
        ({"pressure": "-90 kPag", "temperature": "50", "altitude": "5000"}, "pressure", None),
        ({"pressure": "5 psi", "temperature": "108"}, "pressure", "wrong_dimension"),
        ({"pressure": "5 psig", "temperature": "-5"}, "temperature", "impossible"),
        (
            {"pressure": "5 psig", "temperature": "108", "altitude": "9000"},
            "altitude",
            "impossible",
        ),
        ({"pressure": "", "temperature": "108"}, "pressure", "missing"),
    ],
)
def test_bad_input_stands_beside_its_field(typed, where, code):
    assert trouble(DEAERATOR, "dial", **typed) == {where: code or "no_such_vacuum"}
