"""Cation conductivity against IPhreeqc 3.7.3 and published forms; pH from two conductivities."""

import numpy as np
import phreeqpython
import pytest

from chemistry.cation import CONSTANT, cation_conductivity, ph_by_formula, ph_of_conductivities
from chemistry.errors import ChemistryError, OutOfValidity, Refused
from chemistry.solve import equilibrate
from chemistry.totals import molar_mass


def behind_exchanger(reference, **mg_kg: float) -> float:
    """Return the conductivity of the acids alone, by IPhreeqc 3.7.3."""
    elements = {"Cl": "Cl", "SO4": "S(6)", "CO2": "C(4)", "NO3": "N(5)", "PO4": "P"}
    given = {"units": "mol/kgw", "temp": 25.0, "pH": "7 charge"}
    for formula, amount in mg_kg.items():
        given[elements[formula]] = amount / molar_mass(formula) / 1000.0
    return reference.add_solution(given).sc


def test_condensates_against_another_program():
    """IPhreeqc 3.7.3 with its phreeqc.dat, 60 random condensates: within 0.5 %."""
    reference = phreeqpython.PhreeqPython(database="phreeqc.dat")
    rng = np.random.default_rng(3)
    for _ in range(60):
        acids = {
            key: float(10.0 ** rng.uniform(-3.0, most))
            for key, most in (("Cl", -0.5), ("SO4", -0.5), ("CO2", 0.5), ("NO3", -0.7))
        }
        bases = dict.fromkeys(("Na", "K", "Ca", "Mg"), 0.01)
        bases |= dict.fromkeys(("morpholine", "cyclohexylamine", "ethanolamine"), 1.0)
        bases["NH3"] = float(rng.uniform(0.1, 3.0))
        found = cation_conductivity({**acids, **bases})
        assert found == pytest.approx(behind_exchanger(reference, **acids), rel=0.005)
        del acids["CO2"]
        degassed = cation_conductivity({**acids, **bases, "HCO3": 5.0}, degassed=True)
        assert degassed == pytest.approx(behind_exchanger(reference, **acids), rel=0.005)


@pytest.mark.parametrize(
    ("ug_kg", "us_cm"), [(10.0, 0.138), (50.0, 0.605), (100.0, 1.203), (500.0, 6.01)]
)
def test_cation_conductivity_of_chloride(ug_kg, us_cm):
    """HCl and water by hand from the conductivities of the CRC Handbook in endless dilution."""
    assert cation_conductivity({"Cl": ug_kg / 1000.0}) == pytest.approx(us_cm, rel=0.006)


def test_nothing_but_bases_leaves_pure_water():
    """IAPWS G1-90 (Marshall 1987): 0.05501 µS/cm, published."""
    assert cation_conductivity({"NH3": 1.0, "Na": 0.1}) == pytest.approx(0.05501, rel=0.002)
    arrays = cation_conductivity({"NH3": np.array([1.0, 2.0])})
    assert arrays == pytest.approx([0.05501, 0.05501], rel=0.002)


def test_carbon_dioxide_goes_only_when_degassed():
    water = {"NH3": 1.0, "CO2": 1.0}
    assert cation_conductivity(water) > 0.9
    assert cation_conductivity(water, degassed=True) == pytest.approx(0.055, rel=0.005)


@pytest.mark.parametrize(
    ("nh3", "ph", "us_cm"),
    [
        # by hand: pKa 9.246, pKw 13.995, CRC conductivities, Onsager's term (computed elsewhere)
        (0.02, 8.04, 0.304), (0.05, 8.40, 0.696), (0.1, 8.66, 1.26), (0.2, 8.90, 2.19),
        (0.5, 9.19, 4.24), (1.0, 9.39, 6.68), (1.5, 9.50, 8.60), (2.0, 9.57, 10.2),
        (3.0, 9.67, 13.0), (5.0, 9.80, 17.4), (10.0, 9.97, 25.5),
    ],
)  # fmt: skip
def test_ammonia_water(nh3, ph, us_cm):
    water = equilibrate({"NH3": nh3})
    assert water.ph == pytest.approx(ph, abs=0.015)
    assert water.conductivity == pytest.approx(us_cm, rel=0.01)
    found = ph_of_conductivities(us_cm, 0.055)
    assert found.ph == pytest.approx(ph, abs=0.015)
    assert found.alkali == pytest.approx(nh3, rel=0.04)


@pytest.mark.parametrize(
    ("naoh", "ph", "us_cm"),
    [(0.1, 8.39, 0.62), (0.2, 8.69, 1.24), (0.5, 9.09, 3.09), (1.0, 9.39, 6.17), (4.0, 9.99, 24.6)],
)
def test_sodium_hydroxide_water(naoh, ph, us_cm):
    """Two calculations elsewhere, by PHREEQC and by hand."""
    found = ph_of_conductivities(us_cm, 0.055, "Na")
    assert found.ph == pytest.approx(ph, abs=0.012)
    assert found.alkali == pytest.approx(naoh * 22.990 / 39.997, rel=0.015)


@pytest.mark.parametrize("alkali", ["NH3", "Na"])
def test_the_published_formula_and_the_solver_agree(alkali):
    """VGB-S-010 (from memory): 8.57 for ammonia, 8.6 for sodium hydroxide."""
    for ph in (8.3, 9.2, 10.0):
        specific = 10.0 ** (ph - CONSTANT[alkali])
        for cation in (0.06, 0.2 * specific + 0.05):
            whole = specific + cation / 3.0
            if cation <= 0.4 * whole:
                assert ph_by_formula(whole, cation, alkali) == pytest.approx(ph, abs=1e-9)
                found = ph_of_conductivities(whole, cation, alkali).ph
                assert found == pytest.approx(ph, abs=0.02)


def test_formula_by_hand():
    """log10(6.7 - 0.3 / 3) = 0.81954; 8.57 and 8.6 from memory (VGB-S-010)."""
    assert ph_by_formula(6.7, 0.3) == pytest.approx(9.38954, abs=1e-5)
    assert ph_by_formula(6.7, 0.3, "Na") == pytest.approx(9.41954, abs=1e-5)


def test_there_and_back():
    waters = {"NH3": np.array([0.05, 0.5, 4.0]), "Cl": np.array([0.002, 0.02, 0.1])}
    specific, cation = equilibrate(waters).conductivity, cation_conductivity(waters)
    found = ph_of_conductivities(specific, cation)
    assert found.ph == pytest.approx(equilibrate(waters).ph, abs=1e-6)
    assert found.alkali == pytest.approx(waters["NH3"], rel=1e-5)
    assert found.chloride == pytest.approx(waters["Cl"], rel=1e-5)
    alone = ph_of_conductivities(float(specific[1]), float(cation[1]))
    assert isinstance(alone.ph, float) and alone.ph == pytest.approx(found.ph[1], abs=1e-8)


@pytest.mark.parametrize(
    ("specific", "cation", "code"),
    [
        (6.0, 3.01, "impurities_decide"),
        (6.0, -0.1, "impurities_decide"),
        (6.0, float("nan"), "impurities_decide"),
        (float("nan"), 0.1, "impurities_decide"),
        (np.array([6.0, 1.0]), 0.6, "impurities_decide"),
    ],
)
@pytest.mark.parametrize("work", [ph_by_formula, ph_of_conductivities])
def test_water_of_impurities_is_refused(work, specific, cation, code):
    with pytest.raises(Refused) as caught:
        work(specific, cation)
    assert caught.value.code == code
    assert work(6.0, 3.0) is not None  # just half is still taken


def test_what_no_water_shows_is_refused():
    with pytest.raises(ChemistryError, match="No water conducts so little"):
        ph_of_conductivities(6.0, 0.0548)
    assert ph_of_conductivities(6.0, 0.055).chloride < 1e-3


def test_beyond_a_condensate_is_refused():
    assert ph_of_conductivities(100.0, 1.0).ph > 10.2
    for work in (ph_by_formula, ph_of_conductivities):
        with pytest.raises(OutOfValidity) as caught:
            work(100.01, 1.0)
        assert (caught.value.code, caught.value.bound) == (
            "conductivity_of_a_condensate",
            "specific <= 100",
        )


@pytest.mark.parametrize(("ph", "inside"), [(7.49, 0), (7.51, 1), (10.49, 1), (10.51, 0)])
def test_the_formula_holds_from_7_5_to_10_5(ph, inside):
    specific = 10.0 ** (ph - 8.57)
    if inside:
        assert ph_by_formula(specific, 0.0) == pytest.approx(ph)
        return
    with pytest.raises(OutOfValidity) as caught:
        ph_by_formula(specific, 0.0)
    assert (caught.value.code, caught.value.bound) == ("ph_of_formula", "7.5 <= ph <= 10.5")
