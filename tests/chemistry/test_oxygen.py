"""Oxygen beside air, against the tables."""

import numpy as np
import pytest

from chemistry.errors import OutOfValidity
from chemistry.oxygen import _vapor_atm, saturation_mg_l
from chemistry.water import saturation_pressure_kpa
from tests.golden import golden


@pytest.mark.parametrize("row", golden("oxygen_saturation"), ids=lambda row: row["temp_c"])
def test_saturation_beside_air(row):
    """Benson and Krause (1984), published as tabulated at 0, 8 ... 40 °C; each row names its own
    source and kind."""
    found = saturation_mg_l(float(row["temp_c"]))
    assert found == pytest.approx(float(row["mg_l"]), abs=float(row["tolerance"]))


def test_many_at_once():
    found = saturation_mg_l(np.array([[0.0, 24.0], [32.0, 40.0]]))
    assert found == pytest.approx(np.array([[14.621, 8.418], [7.305, 6.413]]), abs=5e-4)
    assert saturation_mg_l(np.array([24.0])).shape == (1,)


@pytest.mark.parametrize("temp_c", [-0.1, 40.1, float("nan")])
def test_outside_the_fit_it_is_refused(temp_c):
    with pytest.raises(OutOfValidity) as caught:
        saturation_mg_l(temp_c)
    assert caught.value.code == "oxygen_range" and str(caught.value)


@pytest.mark.parametrize(
    "row",
    golden("oxygen_pressure_salinity"),
    ids=lambda row: f"{row['temp_c']}C-{row['mmhg']}mmHg-{row['salinity']}",
)
def test_pressure_and_salt_count(row):
    """Benson and Krause (1984) as in USGS OWQ Memo 2011.03; each row names its source and kind."""
    kpa = float(row["mmhg"]) * 101.325 / 760.0
    found = saturation_mg_l(float(row["temp_c"]), kpa, float(row["salinity"]))
    assert found == pytest.approx(float(row["mg_l"]), abs=float(row["tolerance"]))


def weiss_mg_l(temp_c, salinity):
    """Weiss, Deep-Sea Res. 17:721 (1970), an independent fit, coefficients as coded in a public
    source: mL/L, a mL of oxygen being 1.429 mg."""
    warm = (temp_c + 273.15) / 100.0
    fresh = -173.4292 + 249.6339 / warm + 143.3483 * np.log(warm) - 21.8492 * warm
    salt = salinity * (-0.033096 + 0.014259 * warm - 0.0017 * warm**2)
    return 1.429 * np.exp(fresh + salt)


@pytest.mark.parametrize("salinity", [0.0, 10.0, 35.0])
@pytest.mark.parametrize("temp_c", [0.0, 10.0, 20.0, 35.0])
def test_another_fit_finds_the_same(temp_c, salinity):
    """Weiss (1970), within half a percent."""
    found = saturation_mg_l(temp_c, 101.325, salinity)
    assert found == pytest.approx(weiss_mg_l(temp_c, salinity), rel=0.005)


@pytest.mark.parametrize("temp_c", [0.5, 20.0, 40.0])
def test_the_vapor_is_that_of_the_steam_tables(temp_c):
    """IAPWS R7-97(2012): psat, within a quarter of a percent of Green and Carritt (1967)."""
    found = _vapor_atm(np.array(temp_c), np.array(0.0))
    assert found * 101.325 == pytest.approx(saturation_pressure_kpa(temp_c), rel=0.0025)


def test_half_the_air_holds_half_the_oxygen_and_a_little_less():
    """Dalton's law: oxygen follows what is left of the pressure beside the vapor."""
    vapor = saturation_pressure_kpa(20.0) / 101.325
    share = saturation_mg_l(20.0, 0.5 * 101.325) / saturation_mg_l(20.0)
    assert share == pytest.approx((0.5 - vapor) / (1.0 - vapor), rel=5e-4)


@pytest.mark.parametrize("temp_c", [0.0, 13.0, 40.0])
@pytest.mark.parametrize("atm", [0.55, 0.8, 1.1])
@pytest.mark.parametrize("salinity", [0.0, 35.0])
def test_the_pressure_term_as_others_code_it(temp_c, atm, salinity):
    """Benson and Krause (1984), eq. 24, with Green and Carritt (1967): coefficients typed a second
    time from a public package's documentation."""
    kelvin = temp_c + 273.15
    vapor = (1 - 5.37e-4 * salinity) * np.exp(
        18.1973 * (1 - 373.16 / kelvin)
        + 3.1813e-7 * (1 - np.exp(26.1205 * (1 - kelvin / 373.16)))
        - 1.8726e-2 * (1 - np.exp(8.03945 * (1 - 373.16 / kelvin)))
        + 5.02802 * np.log(373.16 / kelvin)
    )
    theta = 9.75e-4 - 1.426e-5 * temp_c + 6.436e-8 * temp_c**2
    factor = atm * (1 - vapor / atm) * (1 - theta * atm) / ((1 - vapor) * (1 - theta))
    at_one = saturation_mg_l(temp_c, 101.325, salinity)
    found = saturation_mg_l(temp_c, atm * 101.325, salinity)
    assert found == pytest.approx(at_one * factor, rel=1e-11)


def test_many_pressures_at_once():
    kpa = np.array([600.0, 700.0, 740.0]) * 101.325 / 760.0
    assert saturation_mg_l(20.0, kpa) == pytest.approx([7.13, 8.36, 8.85], abs=0.005)


@pytest.mark.parametrize(
    ("pressure", "salinity", "bound"),
    [
        (0.499 * 101.325, 0.0, "0.5 <= pressure_atm <= 1.1"),
        (1.101 * 101.325, 0.0, "0.5 <= pressure_atm <= 1.1"),
        (101.325, -0.1, "0 <= salinity <= 40"),
        (101.325, 40.1, "0 <= salinity <= 40"),
    ],
)
def test_outside_pressure_and_salt_of_the_fit_it_is_refused(pressure, salinity, bound):
    with pytest.raises(OutOfValidity) as caught:
        saturation_mg_l(20.0, pressure, salinity)
    assert caught.value.bound == bound and str(caught.value)


def test_the_ends_of_the_fit_are_inside_it():
    assert saturation_mg_l(20.0, np.array([0.5, 1.1]) * 101.325, 40.0).shape == (2,)
