"""What holds of every water: charge and mass kept, more base more pH, and the limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.charge_balance import solved
from chemistry.composition import conductivity
from chemistry.equilibria import table
from chemistry.phosphate import sodium_to_phosphate
from chemistry.solve import equilibrate
from chemistry.speciation import METALS
from chemistry.titrated import alkalinity_of, behind
from chemistry.totals import COMPONENT_OF, molal_totals

MOST_MG_KG = {"Ca": 40.0, "Mg": 24.0, "Na": 800.0, "SiO2": 200.0, "morpholine": 20.0,
              "cyclohexylamine": 20.0, "ethanolamine": 20.0, "B": 20.0, "F": 10.0}  # fmt: skip
temperatures = st.floats(0.0, 60.0)


@st.composite
def waters(draw):
    formulas = draw(st.lists(st.sampled_from(sorted(COMPONENT_OF)), max_size=9, unique=True))
    return {
        each: draw(st.just(0.0) | st.floats(1e-6, MOST_MG_KG.get(each, 300.0))) for each in formulas
    }


@given(waters(), temperatures)
def test_charge_is_kept(water, temp_c):
    found = equilibrate(water, temp_c)
    charges = [table()[key].charge * amount for key, amount in found.species.items()]
    most = sum(abs(each) for each in charges)
    assert sum(charges) == pytest.approx(0.0, abs=2e-8 * most)


@given(waters(), temperatures)
def test_mass_is_kept(water, temp_c):
    """Each species counts towards its own total, and towards that of a metal it holds."""
    rows, counted = table(), dict[str, float]()
    for key, amount in equilibrate(water, temp_c).species.items():
        assert amount >= 0.0
        for part in {rows[key].component, rows[key].metal} - {""}:
            counted[part] = counted.get(part, 0.0) + amount
    totals, _ = molal_totals(water, temp_c)
    for component, total in totals.items():
        if component in METALS or component in counted:
            assert counted[component] == pytest.approx(total, rel=1e-7, abs=1e-18), component


@given(waters(), temperatures)
def test_ionic_strength_is_that_of_the_species(water, temp_c):
    found = equilibrate(water, temp_c)
    strength = sum(table()[key].charge ** 2 * amount for key, amount in found.species.items()) / 2.0
    assert found.ionic_strength == pytest.approx(strength, rel=1e-9)


@given(waters(), temperatures, st.floats(1e-4, 50.0))
def test_more_base_makes_more_ph(water, temp_c, more):
    before = equilibrate(water, temp_c).ph
    after = equilibrate(water | {"Na": water.get("Na", 0.0) + more}, temp_c).ph
    assert after > before - 1e-9


@given(waters(), temperatures)
def test_arrays_agree_with_numbers(water, temp_c):
    alone = equilibrate(water, temp_c)
    twice = {key: np.array([each, each * 0.5]) for key, each in water.items()}
    together = equilibrate(twice, np.array([temp_c, 25.0]))
    assert together.ph[0] == pytest.approx(alone.ph, abs=2e-8)
    assert together.conductivity[0] == pytest.approx(alone.conductivity, rel=2e-7)


@given(waters())
def test_endless_dilution_is_pure_water(water):
    """pH 6.998 and 0.0550 µS/cm (IAPWS, 25 °C, published)."""
    thin = {key: each * 1e-9 for key, each in water.items()}
    found = equilibrate(thin)
    assert found.ph == pytest.approx(6.9977, abs=0.0005)
    assert found.conductivity == pytest.approx(0.05495, rel=0.002)


@given(waters(), temperatures)
def test_conductivity_is_never_below_that_of_water(water, temp_c):
    found = equilibrate(water, temp_c)
    assert found.conductivity > 0.99 * min(equilibrate({}, temp_c).conductivity, 0.0116)
    assert conductivity(found.species, temp_c) == found.conductivity


@given(st.floats(1.8, 4.0), st.floats(0.5, 80.0), st.floats(0.0, 0.05), temperatures)
def test_ratio_to_ph_to_ratio(ratio, po4, nh3_part, temp_c):
    nh3 = nh3_part * po4
    water = {"Na": ratio * po4 / 94.97 * 22.99, "PO4": po4, "NH3": nh3}
    ph = equilibrate(water, temp_c).ph
    found = sodium_to_phosphate(ph, po4, nh3=nh3, temperature_c=temp_c)
    assert found.ratio == pytest.approx(ratio, rel=3e-4)
    assert found.low < found.ratio < found.high


@given(st.floats(0.5, 60.0), st.floats(20.0, 500.0), st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_alkalinity_to_composition_to_alkalinity(carbon, sodium, po4, sio2):
    others = {"PO4": po4, "SiO2": sio2}
    water = {"C": carbon, "Na": sodium + 22.99 * (carbon / 12.0 + po4 / 47.0), **others}
    found = alkalinity_of(water)
    back = behind(found.p, found.m, others)
    again = alkalinity_of({"C": back.carbon, "Na": back.strong_base * 22990.0, **others})
    assert again.p == pytest.approx(found.p, abs=0.02)
    assert again.m == pytest.approx(found.m, abs=0.02)
    assert back.carbon == pytest.approx(carbon, abs=0.01)


def test_a_small_system_is_solved_as_any_other_way_solves_it():
    matrix = [[4.0, 1.0, 0.5], [1.0, 3.0, 0.7], [0.5, 0.7, 2.0]]
    right = [1.0, -2.0, 3.0]
    assert solved(matrix, right) == pytest.approx(np.linalg.solve(matrix, right).tolist())
