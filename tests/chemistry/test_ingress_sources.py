"""Fingerprints: the sea as published, chemicals by their formulas, and what is refused."""

import pytest

from chemistry import ingress_words
from chemistry.errors import ChemistryError
from chemistry.ingress_sources import (
    SEAWATER_SALTS,
    Source,
    chemical,
    concentrating,
    returning,
    seawater,
)
from chemistry.totals import molar_mass

MILLERO_G_KG = {
    "Na": 10.7815, "Mg": 1.2837, "Ca": 0.4121, "K": 0.3991, "Sr": 0.0079, "Cl": 19.3527,
    "SO4": 2.7124, "HCO3": 0.1048, "CO3": 0.0143, "Br": 0.0673, "B(OH)4": 0.0079,
    "B(OH)3": 0.0194, "F": 0.0013,
}  # fmt: skip
"""Millero et al., Deep-Sea Res. I 55:50 (2008), published: reference composition at 35.165 g/kg."""
MILLERO_MMOL_KG = {"Br": 0.842, "Sr": 0.091}
"""The same."""


def test_the_sea_is_as_published():
    assert {key: value / 1000.0 for key, value in SEAWATER_SALTS.items()} == pytest.approx(
        MILLERO_G_KG, rel=1e-9
    )


def test_bromide_counts_as_chloride_and_strontium_as_calcium():
    """Millero et al. (2008), published amounts; by equivalents, as a titration finds them."""
    held = seawater().holds
    as_chloride = 19352.7 + MILLERO_MMOL_KG["Br"] * molar_mass("Cl")
    as_calcium = 412.1 + MILLERO_MMOL_KG["Sr"] * molar_mass("Ca")
    hydroxide = molar_mass("O") + molar_mass("H")
    borate, acid = (molar_mass("B") + count * hydroxide for count in (4, 3))
    assert held["Cl"] == pytest.approx(as_chloride, abs=0.015)
    assert held["Ca"] == pytest.approx(as_calcium, abs=0.05)
    assert held["B"] == pytest.approx((7.9 / borate + 19.4 / acid) * 10.81, rel=2e-4)


def test_seawater_into_condensate():
    """Calculated from Millero et al. (2008): 1 kg/h into 100 t/h brings 0.1935 mg/kg of chloride
    and 0.1078 of sodium."""
    held = seawater().holds
    assert SEAWATER_SALTS["Cl"] / 1e5 == pytest.approx(0.1935, abs=5e-5)
    assert held["Na"] / 1e5 == pytest.approx(0.1078, abs=5e-5)
    assert held["Cl"] / 1e5 == pytest.approx(0.1935, rel=2e-3)


def test_a_chemical_holds_what_its_formula_says():
    """Na3PO4, 163.94 g/mol: 57.93 % PO4 and 42.07 % Na, calculated from IUPAC weights."""
    held = chemical("tsp", "overdose", {"Na": 3.0, "PO4": 1.0}, 163.94, 0.5).holds
    assert held["PO4"] == pytest.approx(0.5793 * 0.5e6, rel=1e-4)
    assert held["Na"] == pytest.approx(0.4207 * 0.5e6, rel=1e-4)


def test_a_chemical_is_pure_unless_it_is_said_to_be_weaker():
    held = chemical("caustic", "caustic", {"Na": 1.0}, molar_mass("Na")).holds
    assert held == {"Na": pytest.approx(1e6)}


def test_salts_come_back_at_their_ratio():
    held = returning(2.1).holds
    assert held["PO4"] == 1e6
    assert held["Na"] / molar_mass("Na") == pytest.approx(2.1 * 1e6 / molar_mass("PO4"))


@pytest.mark.parametrize(
    ("source", "doubt"),
    [
        pytest.param(seawater(), 0.02, id="the sea hardly varies"),
        pytest.param(chemical("acid", "acid", {"Cl": 1.0}, 36.46), 0.02, id="a chemical"),
        pytest.param(concentrating({"Na": 5.0}), 0.05, id="the water itself"),
        pytest.param(returning(2.8), 0.10, id="what comes back"),
        pytest.param(Source("well", "raw_water", {"Ca": 80.0}), 0.10, id="a natural water"),
    ],
)
def test_how_far_a_fingerprint_is_trusted(source, doubt):
    """Rules of our own."""
    assert source.doubt == doubt
    assert source.kind in ingress_words.KINDS


@pytest.mark.parametrize(
    ("holds", "doubt"),
    [
        ({}, 0.1),
        ({"Na": 0.0}, 0.1),
        ({"Na": -1.0}, 0.1),
        ({"Na": float("nan")}, 0.1),
        ({"Xx": 1.0}, 0.1),
        ({"Na": 1.0}, 0.0),
        ({"Na": 1.0}, -0.1),
        ({"Na": 1.0}, 1.0),
    ],
)
def test_what_can_be_no_source_is_refused(holds, doubt):
    with pytest.raises(ChemistryError) as refused:
        Source("odd", "raw_water", holds, doubt)
    assert refused.value.code == "not_a_source"
    assert "odd" in str(refused.value)


def test_a_source_may_hold_very_little():
    assert Source("rain", "raw_water", {"Na": 0.005, "K": 0.0}).holds["Na"] == 0.005


@pytest.mark.parametrize("doubt", [0.005, 0.999])
def test_a_fingerprint_may_be_known_well_or_hardly(doubt):
    assert Source("well", "raw_water", {"Ca": 80.0}, doubt).doubt == doubt


def test_how_sure_a_fingerprint_is():
    """Rules of our own: 2 % of the sea and of pure chemicals, 5 % of what the boiler held."""
    assert seawater().doubt == chemical("x", "caustic", {"Na": 1.0}, 40.0).doubt == 0.02
    assert concentrating({"Na": 1.0}).doubt == 0.05
