"""Silica in steam, by an independent library of the steam tables."""

import numpy as np
import pytest

from chemistry.errors import ChemistryError, OutOfValidity
from chemistry.silica import (
    RATIO_PART,
    STEAM_LIMIT_MG_KG,
    distribution_ratio,
    permitted_mg_kg,
    steam_silica_mg_kg,
)
from chemistry.water import saturated_steam_density_kg_m3


@pytest.mark.parametrize("mpa", [0.1, 1.0, 4.0, 10.0, 16.0])
def test_the_density_of_steam(mpa):
    """IAPWS R7-97(2012) by an independent open library (calculated)."""
    from iapws import IAPWS97

    assert saturated_steam_density_kg_m3(mpa * 1000.0) == pytest.approx(
        IAPWS97(P=mpa, x=1.0).rho, rel=2e-5
    )


@pytest.mark.parametrize(
    ("kpa", "ratio", "boiler"),
    [(4000.0, 0.00092, 21.9), (6000.0, 0.0023, 8.8), (10000.0, 0.0084, 2.4)],
)
def test_ratio_and_what_the_boiler_may_hold(kpa, ratio, boiler):
    """Ray law with n = 1.9 (from memory) and IF97 densities of another library, calculated."""
    assert distribution_ratio(kpa) == pytest.approx(ratio, rel=0.02)
    assert permitted_mg_kg(kpa) == pytest.approx(boiler, abs=0.06)


def test_the_exponent_is_the_ray_laws():
    """Styrikovich, n = 1.9 for silica, from memory: the slope between two pressures."""
    from iapws import IAPWS97

    low, high = (IAPWS97(P=p, x=1.0).rho / IAPWS97(P=p, x=0.0).rho for p in (4.0, 12.0))
    slope = np.log(distribution_ratio(12000.0) / distribution_ratio(4000.0)) / np.log(high / low)
    assert slope == pytest.approx(1.9, abs=1e-3)


def test_what_goes_over_and_what_may_be_there_are_the_same_law():
    """Common practice, no source: 0.02 mg/kg in steam; published ratios differ by 30 % (from
    memory)."""
    assert STEAM_LIMIT_MG_KG == 0.02 and RATIO_PART == 0.3
    kpa = np.array([3000.0, 9000.0, 15000.0])
    assert steam_silica_mg_kg(permitted_mg_kg(kpa, 0.05), kpa) == pytest.approx([0.05] * 3)
    assert np.all(np.diff(distribution_ratio(kpa)) > 0.0)


@pytest.mark.parametrize("kpa", [2799.0, 15501.0, float("nan")])
def test_outside_its_pressures_it_is_refused(kpa):
    with pytest.raises(OutOfValidity) as caught:
        distribution_ratio(kpa)
    assert caught.value.bound == "2800 <= abs_kpa <= 15500" and str(caught.value)


def test_its_ends_are_inside():
    assert np.all(distribution_ratio(np.array([2800.0, 15500.0])) > 0.0)


@pytest.mark.parametrize("amount", [-0.1, float("nan"), float("inf")])
def test_what_is_no_amount_is_refused(amount):
    for asked in (steam_silica_mg_kg, lambda mg, kpa: permitted_mg_kg(kpa, mg)):
        with pytest.raises(ChemistryError) as caught:
            asked(amount, 6000.0)
        assert caught.value.code == "not_an_amount" and "SiO2" in str(caught.value)


def test_no_silica_is_an_amount_too():
    assert steam_silica_mg_kg(0.0, 6000.0) == 0.0
