"""Oxygen that a deaerator takes out and leaves, and the scavenger for the rest."""

import numpy as np
import pytest

from chemistry.deaeration import (
    GRADE_UG_KG,
    OXYGEN_OF_AIR,
    henry_gpa,
    oxygen_at_most_ug_kg,
    removed_percent,
    scavenger_kg_h,
    scavenger_ratio,
)
from chemistry.dosing import sulfite_taken_kg_h
from chemistry.errors import ChemistryError, OutOfValidity
from chemistry.oxygen import saturation_mg_l
from chemistry.water import density_kg_m3, saturation_temperature_c


@pytest.mark.parametrize(
    ("kelvin", "logarithm"), [(300.0, 1.5024), (400.0, 1.8832), (500.0, 1.1630)]
)
def test_henrys_constant(kelvin, logarithm):
    """IAPWS G7-04 (2004), Table 6: ln(kH / GPa) of oxygen, published in an open library's tests.

    The release has a psat of its own, up to 1.3e-4 from IF97's.
    """
    assert np.log(henry_gpa(kelvin - 273.15)) == pytest.approx(logarithm, abs=1.8e-4)


@pytest.mark.parametrize("temp_c", [5.0, 20.0, 40.0])
def test_air_over_cold_water_by_both_laws(temp_c):
    """Benson and Krause (1984) against IAPWS G7-04 (2004): within 1.2 %, two fits of other data."""
    per_kg = saturation_mg_l(temp_c) * 1e6 / density_kg_m3(temp_c)
    assert oxygen_at_most_ug_kg(temp_c, 0.0) == pytest.approx(per_kg, rel=0.012)


def test_oxygen_of_air():
    """ISO 2533:1975, from memory: 20.95 %. Oxygen over water at 101.325 kPa follows it."""
    assert pytest.approx(0.2095) == OXYGEN_OF_AIR


def test_at_boiling_nothing_can_stay():
    boiling = saturation_temperature_c(121.325)
    assert oxygen_at_most_ug_kg(boiling + 0.01, 20.0) == 0.0
    assert oxygen_at_most_ug_kg(boiling - 1.0, 20.0) > 100.0


def test_a_degree_below_boiling_by_hand():
    """By hand: psat of 104 °C is 116.78 kPa (IF97), kH 6.975 GPa (IAPWS G7-04):
    0.2095 * 4.549e-6 / 6.975 * 31.998 / 18.015 = 242.7e-9."""
    assert oxygen_at_most_ug_kg(104.0, 20.0) == pytest.approx(242.7, abs=0.3)


def test_the_altitude_counts():
    low = oxygen_at_most_ug_kg(98.0, 20.0, 1500.0)
    assert 0.0 < low < oxygen_at_most_ug_kg(98.0, 20.0)
    assert oxygen_at_most_ug_kg(np.array([98.0, 120.0]), 20.0).shape == (2,)


def test_what_a_deaerator_takes_out():
    """By hand: of the 9092 µg/L at 20 °C (Benson and Krause 1984), 0.9982 kg/L."""
    assert removed_percent(700.0, 20.0) == pytest.approx(100.0 * (1.0 - 698.7 / 9092.0), abs=2e-3)
    assert removed_percent(9108.3, 20.0) == pytest.approx(0.0, abs=0.01)
    assert removed_percent(7.0, 20.0, 2000.0) < removed_percent(7.0, 20.0)
    assert removed_percent(7.0, 20.0) == removed_percent(7.0, 20.0, 0.0)
    assert oxygen_at_most_ug_kg(98.0, 20.0) == oxygen_at_most_ug_kg(98.0, 20.0, 0.0)


def test_the_grade_of_a_deaerator():
    """UFGS 15501N, published: 0.005 cc/L, a cc of oxygen being 1.429 mg."""
    assert GRADE_UG_KG == 7.0
    assert pytest.approx(0.005 * 1.429 * 1000.0, abs=0.2) == GRADE_UG_KG


@pytest.mark.parametrize(
    ("key", "ratio"),
    [
        # a public training note on oxygen scavengers prints 7.88, published
        ("sodium_sulfite", 7.878),
        # balanced equations, by hand
        ("sodium_bisulfite", 6.504),
        ("sodium_metabisulfite", 5.941),
        ("hydrazine", 1.0015),
        ("carbohydrazide", 1.408),
        ("diethylhydroxylamine", 1.238),
        ("hydroquinone", 6.88),
        ("methyl_ethyl_ketoxime", 5.445),
    ],
)
def test_scavenger_for_oxygen(key, ratio):
    assert scavenger_ratio(key) == pytest.approx(ratio, abs=6e-4 * max(1.0, ratio))


def test_the_dosing_remedy_reckons_alike():
    """SO3 is 0.6352 of Na2SO3 (IUPAC 2021)."""
    found = scavenger_kg_h("sodium_sulfite", 7.0, 10_000.0)
    assert found * 0.6352 == pytest.approx(sulfite_taken_kg_h(10_000.0, 7.0), rel=1e-4)
    assert found == pytest.approx(7.878 * 7e-9 * 1e4, rel=1e-3)


def test_an_unknown_scavenger_is_refused():
    with pytest.raises(ChemistryError) as caught:
        scavenger_ratio("tannin")
    assert caught.value.code == "unknown_scavenger" and "tannin" in str(caught.value)


@pytest.mark.parametrize("temp_c", [0.9, 300.1, float("nan")])
def test_outside_henrys_range(temp_c):
    with pytest.raises(OutOfValidity) as caught:
        henry_gpa(temp_c)
    assert caught.value.bound == "1 <= temp_c <= 300" and str(caught.value)


def test_its_ends_are_inside():
    assert np.all(henry_gpa(np.array([1.0, 300.0])) > 0.0)


@pytest.mark.parametrize("amount", [-1.0, float("nan"), float("inf")])
def test_what_is_no_amount_is_refused(amount):
    for asked in (
        lambda: removed_percent(amount, 20.0),
        lambda: scavenger_kg_h("hydrazine", amount, 1.0),
        lambda: scavenger_kg_h("hydrazine", 1.0, amount),
    ):
        with pytest.raises(ChemistryError) as caught:
            asked()
        assert caught.value.code == "not_an_amount" and "O2" in str(caught.value)


def test_no_oxygen_is_an_amount_too():
    assert removed_percent(0.0, 20.0) == 100.0
    assert scavenger_kg_h("hydrazine", 0.0, 1.0) == 0.0
