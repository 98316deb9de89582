"""Water as a solvent, against an independent library and published constants."""

import numpy as np
import pytest
from chemicals.iapws import iapws95_rho
from chemicals.permittivity import permittivity_IAPWS
from chemicals.viscosity import mu_IAPWS

from chemistry.solvent import debye_hueckel, density_kg_l, dielectric, viscosity_mpa_s
from tests.golden import golden

TEMPERATURES = (0.01, 5.0, 15.0, 25.0, 35.0, 45.0, 60.0)


@pytest.mark.parametrize("row", golden("water_density"), ids=lambda row: row["temp_c"])
def test_density_as_measured(row):
    """Tanaka et al. (2001), published."""
    assert 1000.0 * density_kg_l(float(row["temp_c"])) == pytest.approx(
        float(row["rho"]), abs=float(row["tolerance"])
    )


@pytest.mark.parametrize("temp_c", TEMPERATURES)
def test_against_iapws(temp_c):
    """IAPWS-95, R12-08 (viscosity), R8-97 (permittivity), by an open library (calculated)."""
    kelvin = temp_c + 273.15
    density = iapws95_rho(kelvin, 1e5)
    assert density_kg_l(temp_c) == pytest.approx(density / 1000.0, abs=1.5e-5)
    viscosity = 1000.0 * mu_IAPWS(kelvin, density)
    assert viscosity_mpa_s(temp_c) == pytest.approx(viscosity, rel=2.5e-3)
    permittivity = permittivity_IAPWS(kelvin, density)
    assert dielectric(temp_c) == pytest.approx(permittivity, rel=1.2e-3)


@pytest.mark.parametrize(("temp_c", "a", "b"), [(0.0, 0.491, 0.3248), (25.0, 0.5092, 0.3283)])
def test_debye_hueckel(temp_c, a, b):
    """Handbook values of A and B, 0 and 25 °C, from memory (Robinson and Stokes, 1959)."""
    found_a, found_b = debye_hueckel(temp_c)
    assert found_a == pytest.approx(a, rel=3e-3)
    assert found_b == pytest.approx(b, rel=3e-3)


def test_debye_hueckel_by_hand():
    """A = 1.8248e6 sqrt(0.997045) / (78.3844 * 298.15)^1.5, B = 50.29 sqrt(0.997045 / ...)."""
    product = dielectric(25.0) * 298.15
    a, b = debye_hueckel(25.0)
    assert a == pytest.approx(1.8248e6 * 0.997045**0.5 / product**1.5, rel=1e-6)
    assert b == pytest.approx(50.29 * (0.997045 / product) ** 0.5, rel=1e-6)


PINNED = {
    # density, dielectric, viscosity of our own at 0, 25, 60 °C: pinned, so that no digit slips
    0.0: (0.99983952, 87.856365, 1.7915037),
    25.0: (0.99704490, 78.384369, 0.8902006),
    60.0: (0.98319888, 66.729329, 0.4649993),
}


@pytest.mark.parametrize("temp_c", PINNED)
def test_pinned(temp_c):
    found = (density_kg_l(temp_c), dielectric(temp_c), viscosity_mpa_s(temp_c))
    assert found == pytest.approx(PINNED[temp_c], rel=1e-7)


@pytest.mark.parametrize("quantity", [density_kg_l, dielectric, viscosity_mpa_s])
def test_arrays(quantity):
    temps = np.array(TEMPERATURES)
    assert quantity(temps) == pytest.approx([quantity(each) for each in TEMPERATURES])
