"""What a source does to each quantity, against sums made by hand and the solver's own water."""

import numpy as np
import pytest

from chemistry.errors import ChemistryError
from chemistry.ingress_signature import Water, _neutral, levels_of, precipitated, signatures
from chemistry.ingress_sources import Source, chemical, seawater
from chemistry.solve import equilibrate
from chemistry.titrated import alkalinity_of
from chemistry.totals import molar_mass

BOILER = Water({"Na": 60.0, "Cl": 20.0, "PO4": 20.0, "SO4": 15.0, "SiO2": 5.0}, boiler=True)
CONDENSATE = Water({"NH3": 0.5, "Na": 0.01, "Cl": 0.01})
CAUSTIC = chemical("caustic", "caustic", {"Na": 1.0}, 39.997)
HARD = Source("well", "raw_water", {"Ca": 80.0, "Mg": 20.0, "HCO3": 300.0, "Cl": 20.0, "PO4": 1.0})


def test_amounts_add_up():
    quantities = ("Na", "chloride", "SO4", "silica", "K")
    (found,) = signatures(CONDENSATE, [seawater()], [1e-5], quantities)
    assert found.change == pytest.approx([10781.5, 19382.5, 2712.4, 0.0, 399.1], rel=1e-5)
    assert found.quantities == quantities


def test_formulas_of_one_total_count_together():
    """300 mg of HCO3 are 59.05 mg of C: 300 x 12.011 / 61.017."""
    (found,) = signatures(CONDENSATE, [HARD], [1e-3], ("C", "HCO3"))
    assert found.change == pytest.approx([59.05, 300.0], rel=1e-4)


def test_hardness_of_condensate_stays():
    """2.497 Ca + 4.118 Mg: Standard Methods 2340 B."""
    (found,) = signatures(CONDENSATE, [HARD], [1e-3], ("total_hardness", "calcium_hardness"))
    assert found.change == pytest.approx([2.497 * 80.0 + 4.118 * 20.0, 2.497 * 80.0])


def test_hardness_takes_phosphate_from_boiler_water():
    """10 Ca to 6 PO4: 80 mg of Ca take 80/40.078 x 0.6 x 94.97 = 113.74 mg; it brings 1."""
    (found,) = signatures(BOILER, [HARD], [1e-3], ("phosphate", "total_hardness", "Mg"))
    assert found.change == pytest.approx([1.0 - 113.74, 0.0, 0.0], rel=1e-4, abs=1e-9)


def test_once_the_phosphate_is_gone_hardness_stays():
    """20 mg of PO4 take 20/94.971/0.6 x 40.078 = 14.07 mg of Ca; 400 mg come."""
    amount = 5.0
    (found,) = signatures(BOILER, [HARD], [amount], ("PO4", "Ca"))
    gone = (20.0 + 5.0) / 94.971 / 0.6 * 40.078
    assert found.offset + found.change * amount == pytest.approx([-20.0, 400.0 - gone], rel=1e-4)
    assert found.change == pytest.approx([0.0, 80.0 - 1.0 / 94.971 / 0.6 * 40.078], rel=1e-3)


def test_what_precipitates_keeps_the_balance():
    left = precipitated({"Ca": 40.078, "Mg": 5.0, "PO4": 94.971, "Cl": 1.0})
    assert left["Ca"] == pytest.approx(0.0, abs=1e-9)
    assert left["PO4"] == pytest.approx(0.4 * 94.971, rel=1e-4)
    assert (left["Mg"], left["Cl"]) == (0.0, 1.0)


@pytest.mark.parametrize("totals", [{"Ca": 4.0}, {"PO4": 4.0}, {"Cl": 1.0}])
def test_nothing_falls_by_itself_but_magnesium(totals):
    assert precipitated(totals) == totals


def test_caustic_makes_alkalinity_ph_and_conductivity():
    """An equivalent of NaOH is 50.04 g as CaCO3; the rest as the solver has it."""
    amount = 2e-5
    quantities = ("p_alkalinity", "m_alkalinity", "ph", "conductivity")
    (found,) = signatures(BOILER, [CAUSTIC], [amount], quantities)
    mixed = {**BOILER.before, "Na": 60.0 + amount * 1e6 * molar_mass("Na") / 39.997}
    before, after = equilibrate(dict(BOILER.before)), equilibrate(mixed)
    caco3 = amount * 1e6 / 39.997 * 50.04
    expected = [caco3, caco3, after.ph - before.ph, after.conductivity - before.conductivity]
    assert found.offset + found.change * amount == pytest.approx(expected, rel=2e-3)


def test_conductivity_is_that_at_25_c():
    found = levels_of(CONDENSATE, ("conductivity", "ph", "Na"))
    water = equilibrate(dict(CONDENSATE.before), 25.0)
    assert found["conductivity"] == pytest.approx(water.conductivity)
    assert found["ph"] == pytest.approx(water.ph)
    assert found["Na"] == 0.01


def test_levels_of_boiler_water_are_after_what_falls():
    found = levels_of(
        Water({"Na": 20.0, "Ca": 1.0, "PO4": 10.0}, boiler=True), ("Ca", "m_alkalinity")
    )
    left = {"Na": 20.0, "PO4": 10.0 - 0.6 * 94.971 / 40.078}
    assert found["Ca"] == pytest.approx(0.0, abs=1e-9)
    assert found["m_alkalinity"] == pytest.approx(alkalinity_of(left).m, rel=1e-6)


def test_seawater_uses_up_alkalinity_by_its_magnesium():
    """1283.7 mg/kg Mg fall as hydroxide: 5286 mg/kg as CaCO3 of it, less 155 that the sea brings
    (2.3 meq/kg and its borate; calculated), less what calcium takes (2 OH to 10 Ca)."""
    (found,) = signatures(BOILER, [seawater()], [1e-5], ("p_alkalinity",))
    assert found.change[0] == pytest.approx(-5700.0, rel=0.05)


def test_doubts_are_each_figures_own():
    (found,) = signatures(CONDENSATE, [HARD], [1e-3], ("Ca", "chloride"))
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx([8.0, 2.0])
    assert found.covariance[0, 1] == pytest.approx(0.0, abs=1e-9)


def test_hardness_doubts_go_together_with_phosphate():
    (found,) = signatures(BOILER, [HARD], [1e-3], ("PO4", "Ca"))
    assert np.sqrt(found.covariance[0, 0]) == pytest.approx(11.374, rel=1e-3)


SALTS = {"Na": 100.0, "K": 10.0, "Ca": 80.0, "Mg": 20.0, "Cl": 200.0, "SO4": 90.0, "NO3": 20.0,
         "F": 5.0, "PO4": 6.0, "SO3": 5.0, "CH3COO": 5.0}  # fmt: skip


@pytest.mark.parametrize("formula", SALTS)
def test_a_fingerprints_error_makes_no_acid(formula):
    """Alkalinity to pH 4.5 of what an error brings, as a salt, in sour water where strong acids
    take none. Phosphate and sulfite take one, acetate by its pK of 4.76, fluoride by 3.2."""
    sour = Water({"Cl": 300.0, "Na": 60.0})
    source = Source("salts", "raw_water", {formula: SALTS[formula]})
    (found,) = signatures(sour, [source], [1e-2], ("m_alkalinity",))
    eq = 50.04 * 0.1 * SALTS[formula] / molar_mass(formula)
    takes = {"PO4": 1.0, "SO3": 1.0, "CH3COO": 0.64, "F": 0.03}.get(formula, 0.0)
    assert found.doubts[0, 0] == pytest.approx(takes * eq, abs=0.06 * eq)


@pytest.mark.parametrize("formula", ["HCO3", "C", "CO2", "CO3"])
def test_an_error_of_carbon_is_one_of_bicarbonate(formula):
    """An equivalent of alkalinity with each mole of carbon, none to pH 8.3."""
    source = Source("hard", "raw_water", {formula: 100.0})
    (found,) = signatures(
        Water({"Na": 20.0, "Cl": 20.0, "HCO3": 20.0}), [source], [1e-2],
        ("m_alkalinity", "p_alkalinity"),
    )  # fmt: skip
    equivalent = 0.1 * 100.0 / molar_mass(formula) * 50.04
    assert found.doubts[0, 0] == pytest.approx(equivalent, rel=0.03)
    assert abs(found.doubts[1, 0]) < 0.05 * equivalent


def test_silica_comes_by_itself():
    source = Source("silt", "raw_water", {"SiO2": 50.0})
    (found,) = signatures(CONDENSATE, [source], [1e-3], ("SiO2", "chloride", "conductivity"))
    assert found.doubts[:2, 0] == pytest.approx([5.0, 0.0])
    assert abs(found.doubts[2, 0]) < 5.0


def test_an_unknown_quantity_is_refused():
    with pytest.raises(ChemistryError) as refused:
        signatures(CONDENSATE, [CAUSTIC], [1e-5], ("gold",))
    assert refused.value.code == "unknown_quantity"
    assert "gold" in str(refused.value)


def test_a_water_of_nothing_can_be_leaked_into():
    (found,) = signatures(Water({}), [CAUSTIC], [1e-6], ("ph", "Na"))
    assert found.offset[0] + found.change[0] * 1e-6 == pytest.approx(9.39 - 7.0, abs=0.02)


def test_an_error_of_what_has_no_charge_brings_no_salt_along():
    assert _neutral("SiO2", 1.0) == {"SiO2": 1.0}
    assert _neutral("Na", 22.990) == pytest.approx({"Na": 22.990, "Cl": 35.45}, rel=1e-4)
