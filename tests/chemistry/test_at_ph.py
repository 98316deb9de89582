"""Strong base and acid that a pH takes."""

import numpy as np
import pytest

from chemistry.at_ph import acid_to_reach, base_to_reach, held
from chemistry.errors import ChemistryError, OutOfValidity
from chemistry.solve import equilibrate
from tests.chemistry.water_samples import any_compositions, one_of

NA, CL = 22.990, 35.45  # g/mol, IUPAC (2022)


def with_base(water, base):
    """Return a water with base as sodium, or acid as chloride, mol/kg, added to it."""
    added = {"Na": 1000.0 * NA * np.maximum(base, 0.0), "Cl": 1000.0 * CL * np.maximum(-base, 0.0)}
    return water | {key: water.get(key, 0.0) + each for key, each in added.items()}


@pytest.mark.parametrize("ph", [2.0, 4.5, 7.0, 8.3, 10.5, 12.5])
def test_there_and_back(ph):
    """Whatever the water, calcium and magnesium too: the base found makes the pH asked for."""
    waters = any_compositions(300, 9)
    base = base_to_reach(waters, ph, 25.0)
    assert np.any(base > 0.0) and np.any(base < 0.0)
    assert equilibrate(with_base(waters, base)).ph == pytest.approx(np.full(300, ph), abs=5e-6)
    assert acid_to_reach(waters, ph) == pytest.approx(-base)
    assert base_to_reach(one_of(waters, 7), ph) == pytest.approx(base[7], rel=1e-7, abs=1e-12)


def test_pure_water_by_hand():
    """pH 10 at 25 °C: hydroxide 10^-(13.995 - 10) / 0.9892 (Davies), IAPWS's ion product."""
    assert base_to_reach({}, 10.0) == pytest.approx(1.0116e-4 / 0.9886, rel=0.002)
    assert acid_to_reach({}, 3.0) == pytest.approx(1e-3 / 0.9655, rel=0.003)


def test_a_list_of_ph_and_of_temperatures():
    ph, temps = np.array([8.0, 10.0]), np.array([20.0, 40.0])
    found = base_to_reach({"PO4": 10.0}, ph, temps)
    alone = [
        base_to_reach({"PO4": 10.0}, float(p), float(t)) for p, t in zip(ph, temps, strict=True)
    ]
    assert found == pytest.approx(alone)


def test_a_water_held_is_even():
    water, base = held({"Na": 50.0, "SO4": 20.0, "Ca": 5.0}, 9.0)
    assert water.ph == pytest.approx(9.0)
    sign = {"Na+": 1, "Ca+2": 2, "SO4-2": -2, "NaSO4-": -1, "OH-": -1, "H+": 1, "CaOH+": 1,
            "HSO4-": -1, "Cl-": -1}  # fmt: skip
    charge = sum(sign.get(key, 0) * amount for key, amount in water.species.items())
    assert charge == pytest.approx(0.0, abs=1e-10)
    assert base < 0.0 and water.species["Cl-"] == pytest.approx(-base)


@pytest.mark.parametrize("ph", [1.99, 12.51, float("nan"), np.array([7.0, 13.0])])
def test_other_ph_is_refused(ph):
    with pytest.raises(OutOfValidity) as caught:
        base_to_reach({"Na": 1.0}, ph)
    assert (caught.value.code, caught.value.bound) == ("ph_range", "2 <= ph <= 12.5")


def test_bad_amounts_and_temperatures_are_refused():
    for totals, temp in (({"Na": -1.0}, 25.0), ({"Xx": 1.0}, 25.0), ({"Na": 1.0}, 70.0)):
        with pytest.raises(ChemistryError):
            base_to_reach(totals, 9.0, temp)


def test_a_water_is_held_at_25_c_unless_told():
    water = {"PO4": 20.0}
    assert held(water, 10.0)[1] == held(water, 10.0, 25.0)[1] != held(water, 10.0, 25.5)[1]
