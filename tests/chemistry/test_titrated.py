"""P and M of a composition against a titration drop by drop, and the way back."""

import numpy as np
import pytest

from chemistry.at_ph import acid_to_reach
from chemistry.errors import ChemistryError, Refused
from chemistry.solve import equilibrate
from chemistry.titrated import alkalinity_of, behind
from tests.chemistry.water_samples import boiler_waters

CL = 35.45  # g/mol, IUPAC (2022)


def titrated(water: dict[str, float], end: float) -> float:
    """Return the acid, meq/kg, that takes a water to a pH: hydrochloric acid added to its totals,
    by halves, and the pH solved each time."""
    low, high = 0.0, 60.0
    for _ in range(45):
        middle = 0.5 * (low + high)
        acid = {**water, "Cl": water.get("Cl", 0.0) + CL * middle}
        low, high = (middle, high) if equilibrate(acid).ph > end else (low, middle)
    return low


@pytest.mark.parametrize("water", boiler_waters(12, 8), ids=lambda water: f"Na {water['Na']:.0f}")
def test_against_a_virtual_titration(water):
    """Within 0.001 meq/kg (0.05 mg/kg as CaCO3)."""
    water = water | {"Na": water["Na"] + 200.0}
    found = alkalinity_of(water)
    assert found.p / 50.0 == pytest.approx(titrated(water, 8.3), abs=0.001)
    assert found.m / 50.0 == pytest.approx(titrated(water, 4.5), abs=0.001)


def test_caustic_soda_and_soda_ash_by_hand():
    """1 mmol/kg NaOH: P and M 50 mg/kg as CaCO3. 1 mmol/kg Na2CO3: 50 and 100 of Standard Methods
    2320 B (from memory), less what stays carbonate at 8.3, and with the free acid of pH 4.5."""
    caustic = alkalinity_of({"Na": 22.990})
    assert (caustic.p, caustic.m) == (pytest.approx(50.0, abs=0.2), pytest.approx(51.6, abs=0.2))
    soda = alkalinity_of({"Na": 45.980, "CO2": 44.009})
    assert (soda.p, soda.m) == (pytest.approx(50.0, abs=1.0), pytest.approx(100.9, abs=0.5))


def test_acid_water_has_less_than_none():
    found = alkalinity_of({"Cl": 3.545})  # 0.1 meq/kg of acid
    assert found.p == pytest.approx(-5.1, abs=0.1)
    assert found.m == pytest.approx(-5.0 + 1.6, abs=0.1)


@pytest.mark.parametrize(
    "others",
    [{}, {"PO4": 40.0, "SiO2": 30.0, "NH3": 1.0, "Cl": 40.0, "SO4": 30.0}, {"SO3": 40.0, "K": 8.0}],
)
@pytest.mark.parametrize(("carbon", "sodium"), [(2.0, 150.0), (20.0, 200.0), (0.2, 300.0)])
def test_there_and_back(others, carbon, sodium):
    found = alkalinity_of({**others, "C": carbon, "Na": sodium})
    back = behind(found.p, found.m, others)
    assert back.carbon == pytest.approx(carbon, abs=0.01)
    assert back.strong_base == pytest.approx(sodium / 22990.0, rel=1e-4)


def test_many_at_once_and_warm():
    waters = {"Na": np.array([100.0, 200.0]), "C": np.array([5.0, 10.0])}
    found = alkalinity_of(waters, 40.0)
    assert found.p[1] == pytest.approx(alkalinity_of({"Na": 200.0, "C": 10.0}, 40.0).p)
    assert found.p[1] != pytest.approx(alkalinity_of({"Na": 200.0, "C": 10.0}).p, rel=1e-4)
    back = behind(found.p, found.m, temperature_c=40.0)
    assert back.carbon == pytest.approx([5.0, 10.0], abs=0.01)


def test_p_may_equal_m_where_there_is_caustic_alone():
    back = behind(100.0, 100.0)
    assert back.carbon == 0.0
    assert back.strong_base == pytest.approx(0.002, abs=4e-5)
    assert behind(0.0, 0.0).strong_base == pytest.approx(0.0, abs=4e-5)


@pytest.mark.parametrize(
    ("p", "m", "others"), [(102.0, 100.0, {}), (100.0, 50.0, {}), (20.0, 80.0, {"PO4": 200.0})]
)
def test_what_no_carbonate_fits_is_refused(p, m, others):
    with pytest.raises(Refused) as caught:
        behind(p, m, others)
    assert caught.value.code == "no_such_alkalinity"


def test_what_is_no_number_is_refused():
    with pytest.raises(ChemistryError):
        behind(float("nan"), 80.0)


def test_the_end_points():
    """pH 8.3 and 4.5, Standard Methods 2320 B (from memory)."""
    water = {"Na": 100.0, "C": 5.0, "SiO2": 20.0}
    found = alkalinity_of(water)
    assert found.p == pytest.approx(acid_to_reach(water, 8.3) * 50_000.0)
    assert found.m == pytest.approx(acid_to_reach(water, 4.5) * 50_000.0)


def test_how_far_p_may_pass_m():
    """4e-5 eq/kg are 2 mg/kg as CaCO3, of which the free acid of pH 4.5 takes 1.76."""
    assert behind(100.23, 100.0).carbon == 0.0
    with pytest.raises(Refused):
        behind(100.245, 100.0)


def test_it_is_25c_unless_said():
    assert behind(50.0, 80.0) == behind(50.0, 80.0, temperature_c=25.0)
