"""Activity coefficients against tables and by hand."""

import numpy as np
import pytest

from chemistry.activity import LN_10, Kind, coefficients, water_activity
from chemistry.equilibria import table
from chemistry.solvent import debye_hueckel


def gamma(kind: Kind, strength: float, temp_c: float = 25.0) -> float:
    return coefficients((kind,), strength, temp_c)[0]


def kind_of(key: str) -> Kind:
    row = table()[key]
    return Kind(row.charge, row.ion_size, row.linear)


@pytest.mark.parametrize(
    ("kind", "at_0_001", "at_0_01", "at_0_1"),
    [
        # Kielland, J. Am. Chem. Soc. 59:1675 (1937), from memory: by size and charge
        (Kind(1, 9.0, 0.0), 0.967, 0.914, 0.83),
        (Kind(1, 4.25, 0.0), 0.964, 0.902, 0.775),
        (Kind(1, 3.0, 0.0), 0.964, 0.899, 0.755),
        (Kind(2, 6.0, 0.0), 0.870, 0.675, 0.405),
        (Kind(-2, 4.0, 0.0), 0.867, 0.660, 0.355),
        (Kind(-3, 4.0, 0.0), 0.725, 0.395, 0.095),
    ],
)
def test_extended_debye_hueckel(kind, at_0_001, at_0_01, at_0_1):
    for strength, value in ((0.001, at_0_001), (0.01, at_0_01), (0.1, at_0_1)):
        assert gamma(kind, strength) == pytest.approx(value, abs=0.006)


def test_truesdell_and_jones_by_hand():
    """log10 g = -A 4 sqrt(0.1) / (1 + B 5 sqrt(0.1)) + 0.165 * 0.1 for calcium, 25 °C."""
    a, b = debye_hueckel(25.0)
    expected = -a * 4.0 * 0.1**0.5 / (1.0 + b * 5.0 * 0.1**0.5) + 0.0165
    assert gamma(kind_of("Ca+2"), 0.1) == pytest.approx(10.0**expected, rel=1e-9)


@pytest.mark.parametrize(("charge", "value"), [(1, 0.7805), (2, 0.3711), (-3, 0.1074)])
def test_davies(charge, value):
    """log10 g = -0.510 z² (0.24025 - 0.03) at I = 0.1: Davies (1962), 0.3, by hand."""
    expected = 10.0 ** (-0.51002 * charge**2 * (0.1**0.5 / (1.0 + 0.1**0.5) - 0.03))
    assert gamma(Kind(charge, None, 0.0), 0.1) == pytest.approx(expected, rel=1e-4)
    assert expected == pytest.approx(value, abs=0.002)


@pytest.mark.parametrize(("strength", "salt", "value"), [
    # mean activity coefficients, Robinson and Stokes (1959), Appendix 8.10, from memory
    (0.1, ("Na+", "Cl-"), 0.778), (0.2, ("Na+", "Cl-"), 0.735), (0.5, ("Na+", "Cl-"), 0.681),
    (0.1, ("K+", "Cl-"), 0.770), (0.5, ("K+", "Cl-"), 0.649),
])  # fmt: skip
def test_mean_of_salts(strength, salt, value):
    one, other = (gamma(kind_of(key), strength) for key in salt)
    assert (one * other) ** 0.5 == pytest.approx(value, abs=0.01)


def test_neutral_species():
    """0.1 I where nothing else is known, Parkhurst and Appelo (2013), from memory: by hand."""
    assert gamma(Kind(0, None, 0.0), 0.5) == pytest.approx(10.0**0.05)
    assert gamma(kind_of("CO2"), 0.5) == pytest.approx(10.0**0.033)
    assert gamma(Kind(0, 0.0, 0.0), 0.5) == 1.0


def test_water():
    """Garrels and Christ (1965), from memory: 1 - 0.017 mol/kg."""
    assert water_activity(0.1) == pytest.approx(0.9983)
    assert water_activity(0.0) == 1.0


def test_arrays_and_the_natural_logarithm_of_ten():
    strengths = np.array([1e-6, 0.01, 0.3])
    kinds = (Kind(1, 4.0, 0.075), Kind(-2, None, 0.0), Kind(0, None, 0.0))
    for kind, found in zip(kinds, coefficients(kinds, strengths, 40.0), strict=True):
        assert found == pytest.approx([gamma(kind, float(each), 40.0) for each in strengths])
    assert pytest.approx(np.log(10.0), rel=1e-15) == LN_10
