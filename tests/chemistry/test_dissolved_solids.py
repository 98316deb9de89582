"""Dissolved solids from conductivity, and where the factor is from."""

import numpy as np
import pytest

from chemistry.dissolved_solids import FACTORS, dissolved_solids, own_factor
from chemistry.errors import OutOfValidity


def test_natural_waters():
    """0.55 to 0.7, Standard Methods 1030 E (from memory)."""
    found = dissolved_solids(200.0, FACTORS["natural"])
    assert (found.low, found.high) == (pytest.approx(110.0), pytest.approx(140.0))
    assert not found.neutralized and "1030 E" in found.origin


def test_boiler_water():
    """ABMA (1995, from memory): 700 ppm beside 1100 µmho/cm, 3500 beside 5400, neutralized."""
    assert dissolved_solids(1100.0, FACTORS["boiler"]).low == pytest.approx(700.0)
    assert dissolved_solids(5400.0, FACTORS["boiler"]).high == pytest.approx(3500.0)
    assert dissolved_solids(1.0, FACTORS["boiler"]).neutralized


def test_a_waters_own_factor():
    found = dissolved_solids(np.array([0.0, 1000.0]), own_factor(0.6, 0.1, neutralized=True))
    assert found.low == pytest.approx([0.0, 540.0]) and found.high == pytest.approx([0.0, 660.0])
    assert "own analysis" in found.origin and found.neutralized
    assert own_factor(0.6, 0.0, neutralized=False).low == 0.6


@pytest.mark.parametrize(("value", "part"), [(0.0, 0.1), (-1.0, 0.1), (0.6, 1.0), (0.6, -0.1)])
def test_a_factor_has_to_be_one(value, part):
    with pytest.raises(OutOfValidity) as caught:
        own_factor(value, part, neutralized=True)
    assert caught.value.code == "factor_above_zero"


@pytest.mark.parametrize("value", [-0.1, float("nan"), float("inf"), np.array([1.0, np.nan])])
def test_a_conductivity_has_to_be_one(value):
    with pytest.raises(OutOfValidity) as caught:
        dissolved_solids(value, FACTORS["natural"])
    assert caught.value.code == "conductivity_not_below_zero"


def test_a_small_reading_is_fine():
    assert dissolved_solids(0.005, FACTORS["natural"]).low == pytest.approx(0.00275)
    assert own_factor(0.005, 0.99, neutralized=True).low == pytest.approx(0.00005)
