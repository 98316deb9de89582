"""Temperature correction of conductivity against the KCl table and ISO 7888."""

import numpy as np
import pytest

from chemistry.conductivity import linear_to_25c, natural_water_factor
from chemistry.errors import OutOfValidity
from tests.golden import golden

KCL = {float(row["temp_c"]): row for row in golden("kcl_conductivity")}


@pytest.mark.parametrize("row", golden("kcl_linear_coefficient"), ids=lambda row: row["temp_c"])
def test_a_water_corrected_with_its_own_coefficient_comes_to_25c(row):
    """KCl 0.01 m, CRC p. 5-73 (published); the coefficients are ratios of its rows, rounded to
    0.001 %."""
    temp = float(row["temp_c"])
    read, at_25 = float(KCL[temp]["m001"]), float(KCL[25.0]["m001"])
    corrected = linear_to_25c(read, temp, float(row["percent_per_k"]) / 100.0)
    assert corrected == pytest.approx(at_25, rel=2.5e-4)
    assert at_25 / read == pytest.approx(float(row["ratio"]), abs=6e-4)


@pytest.mark.parametrize(
    ("temp", "coefficient", "expected"),
    [
        (10.0, 0.0191, 1421.1),
        (10.0, 0.02, 1448.5),
        (20.0, 0.0191, 1407.4),
        (20.0, 0.02, 1414.5),
    ],
)
def test_linear_correction_of_the_kcl_reading(temp, coefficient, expected):
    """Readings: CRC p. 5-73, 0.01 m KCl (published); results calculated."""
    read = float(KCL[temp]["m001"])
    assert linear_to_25c(read, temp, coefficient) == pytest.approx(expected, abs=0.06)


@pytest.mark.parametrize(("temp", "expected"), [(10.0, 1447.9), (20.0, 1420.7)])
def test_natural_water_factors_do_not_suit_kcl(temp, expected):
    """ISO 7888 factor (from memory) on a published KCl reading: 2.8 % high at 10 °C, calculated."""
    read = float(KCL[temp]["m001"])
    assert read * natural_water_factor(temp) == pytest.approx(expected, abs=0.06)


def test_two_percent_on_kcl_is_9_8_percent_high_at_0c():
    """CRC p. 5-73 (published), calculated."""
    at_25 = float(KCL[25.0]["m001"])
    assert linear_to_25c(float(KCL[0.0]["m001"]), 0.0, 0.02) / at_25 == pytest.approx(
        1.098, abs=1e-3
    )


def test_hayashi_coefficient_as_coded():
    """kappa25 = kappa_t / (1 + 0.019 (t - 25)): Hayashi 2004 as coded in public sources."""
    assert linear_to_25c(905.0, 20.0, 0.019) == pytest.approx(1000.0)


@pytest.mark.parametrize("row", golden("natural_water_factor"), ids=lambda row: row["temp_c"])
def test_natural_water_factor_returns_the_rows_known(row):
    """ISO 7888:1985, table of f25 (from memory)."""
    assert f"{natural_water_factor(float(row['temp_c'])):.3f}" == row["f25"]


def test_natural_water_factor_is_smooth_and_falling():
    temps = np.arange(0.0, 35.91, 0.1)
    slope = np.diff(np.log(natural_water_factor(temps))) / 0.1
    assert np.all((slope < -0.016) & (slope > -0.033))
    assert np.all(np.abs(np.diff(slope)) < 2e-4)


@pytest.mark.parametrize("temp", [-0.1, 36.0, float("nan")])
def test_natural_water_factor_is_refused_outside_its_range(temp):
    with pytest.raises(OutOfValidity) as caught:
        natural_water_factor(temp)
    assert "35.9" in caught.value.bound


@pytest.mark.parametrize("temp", [-0.001, 60.1])
def test_linear_correction_is_refused_outside_its_range(temp):
    """0 to 60 °C: rule of our own, the hottest sample that is tested."""
    assert linear_to_25c(1350.0, 60.0, 0.01) == pytest.approx(1000.0)
    with pytest.raises(OutOfValidity):
        linear_to_25c(1000.0, temp, 0.02)


def test_a_year_of_readings_is_one_call():
    temps = np.array([0.0, 10.0, 25.0])
    read = np.array([float(KCL[t]["m001"]) for t in temps])
    assert linear_to_25c(read, temps, 0.019).shape == (3,)
    assert linear_to_25c(read, temps, 0.019)[2] == 1408.23
