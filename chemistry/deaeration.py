"""What a deaerator must take out, what it can have left in, and what scavenger the rest asks for.

Water at boiling holds no oxygen beside pure steam. Where the outlet stands below boiling, the rest
of the pressure is that of gases, air at worst, and the water may hold what Henry's law gives:

    x = 0.2095 (p - psat) / kH,

kH by IAPWS G7-04 (2004), with psat of IF97 instead of its own (1 part in 10,000). More oxygen than
that is not a matter of temperature: steam by-passes trays, the vent is shut, or air is drawn in
behind.
"""

from collections.abc import Mapping

import numpy as np

from chemistry.arrays import Floats
from chemistry.deaerator import atmosphere_kpa
from chemistry.errors import ChemistryError
from chemistry.oxygen import saturation_mg_l
from chemistry.totals import molar_mass
from chemistry.validity import require_within
from chemistry.water import density_kg_m3, saturation_pressure_kpa
from chemistry.words import gettext_noop

OXYGEN_OF_AIR = 0.2095
"""Mole fraction of oxygen in dry air: ISO 2533:1975, from memory."""
HENRY_RANGE_C = (1.0, 300.0)
"""Range in which kH is offered here; IAPWS G7-04 (2004) goes on to 616 K."""
HENRY_OXYGEN = (-9.44833, 4.43822, 11.42005)
"""A, B, C of oxygen in water: IAPWS G7-04 (2004), Table 2, as coded in an open library."""
HENRY_POWERS = (0.355, -0.41)
"""Powers of the second and third term: IAPWS G7-04 (2004), eq. 3, as coded in an open library."""
CRITICAL_K = 647.096
"""Critical temperature of water: IAPWS R2-83 (1992)."""
GRADE_UG_KG = 7.0
"""What a deaerator is bought to leave, common practice; 0.005 cc/L in UFGS 15501N, read in a copy,
a cc being 1.429 mg."""
_KELVIN = 273.15
"""0 °C on the Kelvin scale: SI Brochure, 9th edition (2019), 2.3.1 (from memory)."""

MOLES_PER_OXYGEN: Mapping[str, tuple[str, float]] = {
    "sodium_sulfite": ("Na2SO3", 2.0),
    "sodium_bisulfite": ("NaHSO3", 2.0),
    "sodium_metabisulfite": ("Na2S2O5", 1.0),
    "hydrazine": ("N2H4", 1.0),
    "carbohydrazide": ("CH6N4O", 0.5),
    "diethylhydroxylamine": ("C4H11NO", 4.0 / 9.0),
    "hydroquinone": ("C6H6O2", 2.0),
    "methyl_ethyl_ketoxime": ("C4H9NO", 2.0),
}
"""Formula and moles for a mole of oxygen: balanced equations (hydroquinone to benzoquinone,
diethylhydroxylamine to acetate). Practice feeds more of the organic ones: common practice."""


def henry_gpa(temp_c: Floats) -> Floats:
    """Return Henry's constant of oxygen in water, GPa per mole fraction: IAPWS G7-04 (2004).

    Errors: OutOfValidity henry_range.

    >>> round(float(np.log(henry_gpa(126.85))), 4)
    1.8831
    """
    array = np.asarray(temp_c, dtype=np.float64)
    require_within(
        array,
        HENRY_RANGE_C,
        "temp_c",
        "henry_range",
        gettext_noop("Henry's constant is worked out from %(low)s to %(high)s °C."),
    )
    reduced = (array + _KELVIN) / CRITICAL_K
    a, b, c = HENRY_OXYGEN
    second, third = HENRY_POWERS
    rest = 1.0 - reduced
    exponent = a / reduced + b * rest**second / reduced + c * reduced**third * np.exp(rest)
    found = np.asarray(saturation_pressure_kpa(temp_c)) * 1e-6 * np.exp(exponent)
    return float(found) if found.ndim == 0 else found


def oxygen_at_most_ug_kg(temp_c: Floats, gauge_kpa: Floats, altitude_m: Floats = 0.0) -> Floats:
    """Return the oxygen that the outlet's temperature and the dome's pressure let stay, µg/kg.

    The gas beside the steam is taken as air, the worst there is. Zero at boiling and above.
    Errors: OutOfValidity of range and altitude.

    >>> round(float(oxygen_at_most_ug_kg(104.0, 20.0)))
    243
    """
    gas = gauge_kpa + atmosphere_kpa(altitude_m) - saturation_pressure_kpa(temp_c)
    share = OXYGEN_OF_AIR * np.maximum(gas, 0.0) * 1e-6 / henry_gpa(temp_c)
    found = share * molar_mass("O2") / molar_mass("H2O") * 1e9
    return float(found) if np.ndim(found) == 0 else np.asarray(found)


def removed_percent(outlet_ug_kg: Floats, inlet_c: Floats, altitude_m: Floats = 0.0) -> Floats:
    """Return the oxygen that a deaerator takes out, percent of what air-saturated water at the
    inlet's temperature brings. Errors: ChemistryError not_an_amount; OutOfValidity oxygen_range.

    >>> round(float(removed_percent(7.0, 20.0)), 2)
    99.92
    """
    per_kg = 1e6 / density_kg_m3(inlet_c)  # from mg/L to µg/kg
    brought = saturation_mg_l(inlet_c, atmosphere_kpa(altitude_m)) * per_kg
    return 100.0 * (1.0 - _amount(outlet_ug_kg) / brought)


def scavenger_ratio(key: str) -> float:
    """Return the mass of a scavenger that a mass of oxygen takes up: balanced equation.

    Errors: ChemistryError unknown_scavenger.

    >>> round(scavenger_ratio("sodium_sulfite"), 2)
    7.88
    """
    if key not in MOLES_PER_OXYGEN:
        raise ChemistryError(
            "unknown_scavenger",
            gettext_noop("No equation is known here for this scavenger: %(key)s."),
            {"key": key},
        )
    formula, moles = MOLES_PER_OXYGEN[key]
    return moles * molar_mass(formula) / molar_mass("O2")


def scavenger_kg_h(key: str, oxygen_ug_kg: Floats, feed_kg_h: Floats) -> Floats:
    """Return the pure scavenger that the feedwater's oxygen takes up, kg/h, without any residual.

    >>> round(scavenger_kg_h("sodium_sulfite", 7.0, 10_000.0), 6)
    0.000551
    """
    return scavenger_ratio(key) * _amount(oxygen_ug_kg) * 1e-9 * _amount(feed_kg_h)


def _amount(given: Floats) -> Floats:
    array = np.asarray(given, dtype=np.float64)
    if not np.all((array >= 0.0) & np.isfinite(array)):
        raise ChemistryError(
            "not_an_amount",
            gettext_noop("The amount of %(formula)s has to be a number, zero or more."),
            {"formula": "O2"},
        )
    return given
