"""Water and steam by IAPWS-IF97 (R7-97, 2012), regions 1, 2 and 4.

Saturation holds from 0.611213 kPa to 16529.2 kPa absolute (623.15 K), where region 3 begins. The
library is imported inside the functions: it costs half a second and most shifts need none of this.
Sources: IAPWS R7-97(2012), eqs. (7), (15), (16), (30), (31); R = 0.461526 kJ/(kg K), its eq. (1).
"""

from collections.abc import Callable
from typing import Any

import numpy as np

from chemistry.arrays import Floats
from chemistry.validity import require_within
from chemistry.words import gettext_noop

GAS_CONSTANT_KJ_KG_K = 0.461526
"""IAPWS R7-97(2012), eq. (1)."""
REGION_1_REDUCING_K = 1386.0
"""T* of region 1: IAPWS R7-97(2012), with eq. (7)."""
REGION_2_REDUCING_K = 540.0
"""T* of region 2: IAPWS R7-97(2012), with eqs. (15) and (16)."""
SATURATION_RANGE_KPA = (0.611213, 16529.2)
"""psat at 273.15 K and at 623.15 K: IAPWS R7-97(2012), section 8 and the edge of region 3."""
ATMOSPHERE_PA = 101325.0
"""10th CGPM (1954), Resolution 4."""
LIQUID_RANGE_C = (0.0, 99.9)
"""Liquid at one atmosphere, short of boiling: rule of our own."""
_UNITS = {"temp_c": "°C", "abs_kpa": gettext_noop("kPa absolute")}
_KELVIN = 273.15
"""0 °C on the Kelvin scale: SI Brochure, 9th edition (2019), 2.3.1 (from memory)."""


def density_kg_m3(temp_c: Floats) -> Floats:
    """Return the density of liquid water at one atmosphere, kg/m³, for 0 to 99.9 °C.

    >>> round(float(density_kg_m3(25.0)), 2)
    997.05
    """

    def at(value: float) -> float:
        return float(_iapws().iapws97_region1_rho(value + _KELVIN, ATMOSPHERE_PA))

    return _each(at, temp_c, LIQUID_RANGE_C, "temp_c")


def liquid_enthalpy_kj_kg(temp_c: Floats) -> Floats:
    """Return the specific enthalpy of liquid water at one atmosphere, kJ/kg, for 0 to 99.9 °C."""

    def at(value: float) -> float:
        return _enthalpy_region_1(value + _KELVIN, ATMOSPHERE_PA)

    return _each(at, temp_c, LIQUID_RANGE_C, "temp_c")


def saturation_temperature_c(abs_kpa: Floats) -> Floats:
    """Return the boiling temperature at an absolute pressure in kPa, °C; IF97 eq. (31).

    >>> round(float(saturation_temperature_c(1000.0)), 3)
    179.886
    """
    return _each(lambda kpa: _saturation_k(kpa) - _KELVIN, abs_kpa, SATURATION_RANGE_KPA, "abs_kpa")


def saturation_pressure_kpa(temp_c: Floats) -> Floats:
    """Return the absolute pressure of boiling water, kPa, for 0 to 350 °C; IF97 eq. (30)."""

    def at(value: float) -> float:
        return float(_iapws().Psat_IAPWS(value + _KELVIN)) / 1000.0

    return _each(at, temp_c, (0.0, 350.0), "temp_c")


def saturated_liquid_density_kg_m3(abs_kpa: Floats) -> Floats:
    """Return the density of boiling water at an absolute pressure in kPa, kg/m³."""

    def at(kpa: float) -> float:
        return float(_iapws().iapws97_region1_rho(_saturation_k(kpa), kpa * 1000.0))

    return _each(at, abs_kpa, SATURATION_RANGE_KPA, "abs_kpa")


def saturated_steam_density_kg_m3(abs_kpa: Floats) -> Floats:
    """Return the density of dry saturated steam at an absolute pressure in kPa, kg/m³.

    >>> round(float(saturated_steam_density_kg_m3(1000.0)), 4)
    5.145
    """

    def at(kpa: float) -> float:
        return float(_iapws().iapws97_region2_rho(_saturation_k(kpa), kpa * 1000.0))

    return _each(at, abs_kpa, SATURATION_RANGE_KPA, "abs_kpa")


def saturated_liquid_enthalpy_kj_kg(abs_kpa: Floats) -> Floats:
    """Return the specific enthalpy of boiling water at an absolute pressure in kPa, kJ/kg.

    >>> round(float(saturated_liquid_enthalpy_kj_kg(1000.0)), 2)
    762.68
    """

    def at(kpa: float) -> float:
        return _enthalpy_region_1(_saturation_k(kpa), kpa * 1000.0)

    return _each(at, abs_kpa, SATURATION_RANGE_KPA, "abs_kpa")


def latent_heat_kj_kg(abs_kpa: Floats) -> Floats:
    """Return the heat that turns boiling water into dry saturated steam, kJ/kg, kPa absolute."""

    def at(kpa: float) -> float:
        temp_k = _saturation_k(kpa)
        steam = _enthalpy_region_2(temp_k, kpa * 1000.0)
        return steam - _enthalpy_region_1(temp_k, kpa * 1000.0)

    return _each(at, abs_kpa, SATURATION_RANGE_KPA, "abs_kpa")


def _iapws() -> Any:
    """Return the library's module of IAPWS formulas; untyped, hence Any."""
    import chemicals.iapws  # here: see the head of this file

    return chemicals.iapws


def _saturation_k(kpa: float) -> float:
    return float(_iapws().Tsat_IAPWS(kpa * 1000.0))


def _enthalpy_region_1(temp_k: float, pressure_pa: float) -> float:
    """h = R T* (d gamma / d tau): IF97 Table 3, with T tau = T* = 1386 K; pressure reduced by 16.53
    MPa."""
    slope = _iapws().iapws97_dG_dtau_region1(REGION_1_REDUCING_K / temp_k, pressure_pa / 16.53e6)
    return float(GAS_CONSTANT_KJ_KG_K * REGION_1_REDUCING_K * slope)


def _enthalpy_region_2(temp_k: float, pressure_pa: float) -> float:
    """h = R T* (d gamma0 / d tau + d gammar / d tau): IF97 Table 12, T* = 540 K, pressure in
    MPa."""
    tau, pi = REGION_2_REDUCING_K / temp_k, pressure_pa / 1e6
    slope = _iapws().iapws97_dG0_dtau_region2(tau, pi) + _iapws().iapws97_dGr_dtau_region2(tau, pi)
    return float(GAS_CONSTANT_KJ_KG_K * REGION_2_REDUCING_K * slope)


def _each(
    function: Callable[[float], float], values: Floats, bounds: tuple[float, float], name: str
) -> Floats:
    """Return function of one value or of each in an array, after checking them against `bounds`."""
    array = np.asarray(values, dtype=np.float64)
    require_within(
        array,
        bounds,
        name,
        "steam_table_range",
        gettext_noop("The steam tables used here hold from %(low)s to %(high)s %(unit)s."),
        unit=_UNITS[name],
    )
    if array.ndim == 0:
        return function(float(array))
    return np.array([function(float(value)) for value in array.ravel()]).reshape(array.shape)
