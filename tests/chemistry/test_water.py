"""Steam tables against IAPWS-IF97's own check values and an independent library."""

import numpy as np
import pytest

from chemistry import units, water
from chemistry.errors import OutOfValidity
from tests.golden import golden

BTU_LB = 2.326  # kJ/kg, exact: international steam-table Btu (1956)


@pytest.mark.parametrize("row", golden("if97_saturation"), ids=lambda row: row["value"])
def test_if97_saturation(row):
    """IAPWS R7-97(2012), Tables 35 and 36, published."""
    at, value = float(row["at"]), float(row["value"])
    if row["quantity"] == "psat_mpa":
        found = water.saturation_pressure_kpa(at - 273.15) / 1000.0
    else:
        found = water.saturation_temperature_c(at * 1000.0) + 273.15
    assert found == pytest.approx(value, rel=2e-9)


@pytest.mark.parametrize(
    ("kelvin", "mpa", "enthalpy"),
    [(300.0, 3.0, 115.331273), (300.0, 80.0, 184.142828), (500.0, 3.0, 975.542239)],
)
def test_if97_region_1_enthalpy(kelvin, mpa, enthalpy):
    """IAPWS R7-97(2012), Table 5, published."""
    assert water._enthalpy_region_1(kelvin, mpa * 1e6) == pytest.approx(enthalpy, rel=2e-9)


@pytest.mark.parametrize(
    ("kelvin", "mpa", "enthalpy"),
    [(300.0, 0.0035, 2549.91145), (700.0, 0.0035, 3335.68375), (700.0, 30.0, 2631.49474)],
)
def test_if97_region_2_enthalpy(kelvin, mpa, enthalpy):
    """IAPWS R7-97(2012), Table 15, from memory."""
    assert water._enthalpy_region_2(kelvin, mpa * 1e6) == pytest.approx(enthalpy, rel=2e-9)


@pytest.mark.parametrize("row", golden("saturation_states"), ids=lambda row: row["abs_kpa"])
def test_saturation_states(row):
    """IAPWS-IF97 by an independent open library (calculated)."""
    kpa = float(row["abs_kpa"])
    assert water.saturation_temperature_c(kpa) == pytest.approx(float(row["temp_c"]), abs=6e-4)
    assert water.saturated_liquid_enthalpy_kj_kg(kpa) == pytest.approx(
        float(row["h_kj_kg"]), abs=6e-3
    )
    assert water.saturated_liquid_density_kg_m3(kpa) == pytest.approx(float(row["rho"]), abs=6e-3)
    assert water.latent_heat_kj_kg(kpa) == pytest.approx(float(row["hfg_kj_kg"]), abs=6e-3)


@pytest.mark.parametrize(
    "row", golden("saturation_states_us"), ids=lambda row: f"{row['psi']}{row['gauge']}"
)
def test_saturation_states_in_us_units(row):
    """IAPWS-IF97 by an independent open library (calculated)."""
    psi = float(row["psi"])
    kpa = units.convert(psi, "psi", "kPa")
    if row["gauge"] == "yes":
        kpa = units.absolute_kpa(units.gauge_kpa(psi, "psig"))
    fahrenheit = units.convert(float(water.saturation_temperature_c(kpa)), "degC", "degF")
    assert fahrenheit == pytest.approx(float(row["temp_f"]), abs=0.01)
    enthalpy = water.saturated_liquid_enthalpy_kj_kg(kpa) / BTU_LB
    assert enthalpy == pytest.approx(float(row["h_btu_lb"]), abs=0.01)
    if row["hfg_btu_lb"]:
        assert water.latent_heat_kj_kg(kpa) / BTU_LB == pytest.approx(
            float(row["hfg_btu_lb"]), abs=0.01
        )


@pytest.mark.parametrize("row", golden("deaerator_temperature"), ids=lambda row: row["psig"])
def test_deaerator_outlet_temperature(row):
    """UFC 3-240-13FN (2005), Table 3-2, published; rows 12 to 17 psig of that table are in
    error."""
    kpa = units.absolute_kpa(units.gauge_kpa(float(row["psig"]), "psig"))
    fahrenheit = units.convert(float(water.saturation_temperature_c(kpa)), "degC", "degF")
    assert fahrenheit == pytest.approx(float(row["temp_f"]), abs=0.09)


@pytest.mark.parametrize("row", golden("water_density"), ids=lambda row: row["temp_c"])
def test_water_density(row):
    """Tanaka et al. (2001), published; IF97 is an industrial formulation, hence 0.02 kg/m³.

    The row at 40 °C is printed to one decimal, hence 0.05.
    """
    found = water.density_kg_m3(float(row["temp_c"]))
    assert found == pytest.approx(float(row["rho"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("kpa", [1.0, 101.325, 1135.5, 4238.2, 8375.0, 16000.0])
def test_it_agrees_with_an_independent_library(kpa):
    from iapws import IAPWS97

    liquid, steam = IAPWS97(P=kpa / 1000.0, x=0.0), IAPWS97(P=kpa / 1000.0, x=1.0)
    assert water.saturated_liquid_enthalpy_kj_kg(kpa) == pytest.approx(liquid.h, rel=1e-6)
    assert water.saturated_liquid_density_kg_m3(kpa) == pytest.approx(liquid.rho, rel=1e-6)
    assert water.latent_heat_kj_kg(kpa) == pytest.approx(steam.h - liquid.h, rel=1e-5)


def test_saturation_goes_both_ways():
    for temp in (1.0, 100.0, 349.0):
        assert water.saturation_temperature_c(water.saturation_pressure_kpa(temp)) == pytest.approx(
            temp
        )


@pytest.mark.parametrize("kpa", [0.6, 16530.0, -1.0, float("nan")])
def test_it_is_refused_outside_its_range(kpa):
    with pytest.raises(OutOfValidity) as caught:
        water.saturated_liquid_enthalpy_kj_kg(kpa)
    assert "16529" in caught.value.bound


@pytest.mark.parametrize(
    ("function", "last", "beyond"),
    [
        (water.density_kg_m3, 0.0, -0.001),
        (water.density_kg_m3, 99.9, 100.0),
        (water.saturation_pressure_kpa, 0.0, -0.001),
        (water.saturation_pressure_kpa, 350.0, 350.1),
        (water.saturation_temperature_c, 0.611213, 0.6112),
        (water.saturation_temperature_c, 16529.2, 16529.3),
    ],
)
def test_the_last_value_and_the_first_refused(function, last, beyond):
    """IAPWS R7-97(2012): region 1 ends at 623.15 K, 16529.2 kPa, and begins at 273.15 K, where it
    boils at 0.611213 kPa. 99.9 °C: rule of our own."""
    assert np.isfinite(function(last))
    with pytest.raises(OutOfValidity):
        function(beyond)


@pytest.mark.parametrize("temp_c", [0.0, 15.0, 60.0, 99.9])
def test_liquid_at_one_atmosphere_agrees_with_an_independent_library(temp_c):
    """IAPWS-IF97 at 101.325 kPa, from an open library (calculated)."""
    from iapws import IAPWS97

    liquid = IAPWS97(T=temp_c + 273.15, P=0.101325)
    assert water.density_kg_m3(temp_c) == pytest.approx(liquid.rho, rel=2e-9)
    assert water.liquid_enthalpy_kj_kg(temp_c) == pytest.approx(liquid.h, abs=2e-6)


def test_arrays_keep_their_shape():
    found = water.saturation_temperature_c(np.array([[100.0, 1000.0]]))
    assert found.shape == (1, 2)
    assert water.saturation_temperature_c(np.array([100.0])).shape == (1,)
