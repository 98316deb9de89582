"""Amounts by formula: molar masses and totals."""

import numpy as np
import pytest

from chemistry.errors import ChemistryError
from chemistry.totals import COMPONENT_OF, molal_totals, molar_mass

MASSES = {
    # g/mol: handbooks, from IUPAC's weights
    "Na": 22.990, "K": 39.098, "Ca": 40.078, "Mg": 24.305, "NH3": 17.031, "NH4": 18.039,
    "C": 12.011, "CO2": 44.009, "HCO3": 61.016, "CO3": 60.008, "PO4": 94.970, "P": 30.974,
    "Cl": 35.45, "SO4": 96.056, "SO3": 80.057, "NO3": 62.004, "F": 18.998, "SiO2": 60.083,
    "B": 10.81, "CH3COO": 59.044, "morpholine": 87.122, "cyclohexylamine": 99.177,
    "ethanolamine": 61.084,
}  # fmt: skip


@pytest.mark.parametrize("formula", COMPONENT_OF)
def test_molar_masses(formula):
    assert molar_mass(formula) == pytest.approx(MASSES[formula], abs=6e-4)


def test_two_formulas_of_one_total_add_up():
    molal, temp = molal_totals({"NH3": 17.031, "NH4": 18.039, "CO2": 44.009}, 25)
    assert molal == {"NH4+": pytest.approx(0.002), "CO3-2": pytest.approx(0.001)}
    assert temp == 25.0 and isinstance(temp, float)


def test_arrays_and_numbers_mix():
    molal, temp = molal_totals({"Na": np.array([22.990, 45.980]), "Cl": 35.45}, np.float64(20.0))
    assert molal["Na+"] == pytest.approx([0.001, 0.002])
    assert molal["Cl-"] == pytest.approx(0.001) and isinstance(temp, float)


def test_whole_numbers_and_lists_are_taken():
    assert molal_totals({"Na": 0}, 25.0)[0] == {"Na+": 0.0}
    assert molal_totals({"Na": [23, 46]}, 25.0)[0]["Na+"].shape == (2,)


def test_lengths_have_to_be_equal():
    with pytest.raises(ChemistryError) as caught:
        molal_totals({"Na": np.ones(2), "Cl": np.ones(3)}, 25.0)
    assert caught.value.code == "unequal_lengths"


def test_nothing_at_all_is_an_amount_too():
    assert list(molal_totals({"Na": np.array([0.0, 0.005])}, 25.0)[0]["Na+"] > 0.0) == [False, True]
