"""What no water can be is refused everywhere, with its reason: no NaN goes in and comes out."""

import numpy as np
import pytest

from chemistry import (
    alkalinity,
    at_ph,
    carryover,
    cation,
    composition,
    dissolved_solids,
    oxygen,
    phosphate,
    silica,
    solve,
    titrated,
    water,
)
from chemistry.errors import ChemistryError, OutOfValidity

WATER = {"Na": 9.0, "PO4": 10.0}
NAN, INF = float("nan"), float("inf")
NATURAL = dissolved_solids.FACTORS["natural"]

AMOUNTS = {
    # zero or more, and a number
    "equilibrate": lambda x: solve.equilibrate({"Na": x}),
    "base_to_reach": lambda x: at_ph.base_to_reach({"Na": x}, 9.0),
    "cation_conductivity": lambda x: cation.cation_conductivity({"Cl": x}),
    "cation_conductivity, held": lambda x: cation.cation_conductivity({"Cl": 1.0, "Na": x}),
    "ph_by_formula, specific": lambda x: cation.ph_by_formula(x, 0.1),
    "ph_by_formula, cation": lambda x: cation.ph_by_formula(6.0, x),
    "ph_of_conductivities": lambda x: cation.ph_of_conductivities(x, 0.1),
    "ratio, phosphate": lambda x: phosphate.sodium_to_phosphate(9.8, x),
    "ratio, ammonia": lambda x: phosphate.sodium_to_phosphate(9.8, 10.0, nh3=x),
    "ratio, silica": lambda x: phosphate.sodium_to_phosphate(9.8, 10.0, sio2=x),
    "ratio, carbon": lambda x: phosphate.sodium_to_phosphate(9.8, 10.0, carbon=x),
    "ratio, pH's worth": lambda x: phosphate.sodium_to_phosphate(9.8, 10.0, ph_half_width=x),
    "ph_of_ratio": lambda x: phosphate.ph_of_ratio(x, 10.0),
    "ph_of_ratio, phosphate": lambda x: phosphate.ph_of_ratio(2.7, x),
    "alkalinity_of": lambda x: titrated.alkalinity_of({"Na": x}),
    "behind, others": lambda x: titrated.behind(50.0, 80.0, {"PO4": x}),
    "split, P": lambda x: alkalinity.split(x, 80.0),
    "split, M": lambda x: alkalinity.split(10.0, x),
    "oxygen, pressure": lambda x: oxygen.saturation_mg_l(20.0, x),
    "oxygen, salt": lambda x: oxygen.saturation_mg_l(20.0, 101.325, x),
    "silica in steam": lambda x: silica.steam_silica_mg_kg(x, 6000.0),
    "silica permitted": lambda x: silica.permitted_mg_kg(6000.0, x),
    "silica, pressure": silica.distribution_ratio,
    "carryover, steam": lambda x: carryover.carryover(x, 10.0, 4000.0),
    "carryover, boiler": lambda x: carryover.carryover(1.0, x, 4000.0),
    "carryover, pressure": lambda x: carryover.carryover(1.0, 10.0, x),
    "carryover, uncertainty": lambda x: carryover.carryover(1.0, 10.0, 4000.0, steam_expanded=x),
    "brought over": lambda x: carryover.brought_over(x, 10.0),
    "brought over, boiler": lambda x: carryover.brought_over(1.0, x),
    "solids": lambda x: dissolved_solids.dissolved_solids(x, NATURAL),
    "factor": lambda x: dissolved_solids.own_factor(x, 0.1, neutralized=False),
    "composition": lambda x: composition.conductivity({"Na+": x, "Cl-": 0.001}, 25.0),
    "steam tables": water.saturation_temperature_c,
}
TEMPERATURES = {
    "equilibrate": lambda t: solve.equilibrate(WATER, t),
    "base_to_reach": lambda t: at_ph.base_to_reach(WATER, 9.0, t),
    "cation_conductivity": lambda t: cation.cation_conductivity({"Cl": 1.0}, t),
    "ratio": lambda t: phosphate.sodium_to_phosphate(9.8, 10.0, temperature_c=t),
    "ph_of_ratio": lambda t: phosphate.ph_of_ratio(2.7, 10.0, t),
    "alkalinity_of": lambda t: titrated.alkalinity_of(WATER, t),
    "behind": lambda t: titrated.behind(50.0, 80.0, temperature_c=t),
    "composition": lambda t: composition.conductivity({"Na+": 0.001, "Cl-": 0.001}, t),
    "oxygen": oxygen.saturation_mg_l,
    "density": water.density_kg_m3,
}
TWO, THREE = np.ones(2), np.ones(3)
LENGTHS = {
    "equilibrate": lambda: solve.equilibrate({"Na": TWO, "Cl": THREE}),
    "base_to_reach": lambda: at_ph.base_to_reach({"Na": TWO}, 9.0 * THREE),
    "cation_conductivity": lambda: cation.cation_conductivity({"Cl": TWO, "Na": THREE}),
    "ph_by_formula": lambda: cation.ph_by_formula(6.0 * TWO, 0.1 * THREE),
    "ph_of_conductivities": lambda: cation.ph_of_conductivities(6.0 * TWO, 0.1 * THREE),
    "ratio": lambda: phosphate.sodium_to_phosphate(9.8 * TWO, 10.0 * THREE),
    "ph_of_ratio": lambda: phosphate.ph_of_ratio(2.7 * TWO, 10.0 * THREE),
    "behind": lambda: titrated.behind(50.0 * TWO, 80.0 * THREE),
    "oxygen": lambda: oxygen.saturation_mg_l(20.0 * TWO, 101.0 * THREE),
    "silica in steam": lambda: silica.steam_silica_mg_kg(TWO, 6000.0 * THREE),
    "silica permitted": lambda: silica.permitted_mg_kg(6000.0 * TWO, THREE),
    "carryover": lambda: carryover.carryover(TWO, 10.0 * THREE, 4000.0),
}


@pytest.mark.parametrize("amount", [-1.0, -INF, INF, NAN])
@pytest.mark.parametrize("name", AMOUNTS)
def test_what_is_no_amount_is_refused(name, amount):
    with pytest.raises(ChemistryError) as caught:
        AMOUNTS[name](amount)
    assert str(caught.value) and "%(" not in str(caught.value)


@pytest.mark.parametrize("temperature", [-300.0, -0.5, 150.0, INF, NAN])
@pytest.mark.parametrize("name", TEMPERATURES)
def test_a_temperature_out_of_validity_names_the_bound(name, temperature):
    with pytest.raises(OutOfValidity) as caught:
        TEMPERATURES[name](temperature)
    assert "<= temp" in caught.value.bound


@pytest.mark.parametrize("name", LENGTHS)
def test_lists_of_several_lengths_are_refused(name):
    with pytest.raises(ChemistryError) as caught:
        LENGTHS[name]()
    assert caught.value.code == "unequal_lengths"


@pytest.mark.parametrize("formula", ["PO4", "Na", "SiO2"])
def test_more_than_a_water_can_hold_is_refused(formula):
    for work in (solve.equilibrate, titrated.alkalinity_of, cation.cation_conductivity):
        if (work, formula) != (cation.cation_conductivity, "Na"):  # which keeps the sodium
            with pytest.raises(OutOfValidity):
                work({formula: 1e9})
