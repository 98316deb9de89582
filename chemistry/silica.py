"""Silica that goes over with steam, and how much of it boiler water may therefore hold.

Silica is the one solid of boiler water that is volatile in earnest. Between the drum's water and
its steam it spreads as a power of their densities, the ray law of Styrikovich:

    K = (density of steam / density of water)^n,    n = 1.9 for silica.

The law and its exponent are from memory; no copy of a table was found, and published curves differ
by about 30 %. It is of the silicic acid that has not lost a proton: above a pH of 10 there is less
of that, the true K is lower, and what is given here is on the safe side. Below 400 psig next to
nothing goes over this way; what then is in steam came over with droplets (chemistry.carryover).
The limits that programs use (chemistry.limit_sets) are by pressure and not worked out from this.
"""

import numpy as np

from chemistry.arrays import Floats
from chemistry.errors import ChemistryError
from chemistry.validity import require_one_length, require_within
from chemistry.water import saturated_liquid_density_kg_m3, saturated_steam_density_kg_m3
from chemistry.words import gettext_noop

RAY_EXPONENT = 1.9
"""Of silica: Styrikovich's ray law, from memory."""
RATIO_PART = 0.30
"""Part by which published ratios differ from the law: from memory."""
PRESSURE_RANGE_KPA = (2800.0, 15500.0)
"""Absolute pressure for which the law is offered, about 400 to 2200 psig: silica is said to go over
from 400 psig (a public page on silica in boilers), the upper end is a rule of our own."""
STEAM_LIMIT_MG_KG = 0.02
"""Silica in steam below which turbines stay free of it: a public page on silica in boilers; the
same is common practice, no source."""


def distribution_ratio(abs_kpa: Floats) -> Floats:
    """Return silica in steam over silica in boiler water, by absolute pressure in kPa.

    Good to about 30 %, on the safe side above a pH of 10. Errors: OutOfValidity silica_pressure
    outside 2800 to 15,500 kPa.

    >>> round(float(distribution_ratio(6000.0)), 4)
    0.0023
    """
    require_within(
        abs_kpa,
        PRESSURE_RANGE_KPA,
        "abs_kpa",
        "silica_pressure",
        gettext_noop("Silica in steam is worked out from %(low)s to %(high)s kPa absolute."),
    )
    thinner = saturated_steam_density_kg_m3(abs_kpa) / saturated_liquid_density_kg_m3(abs_kpa)
    return thinner**RAY_EXPONENT


def steam_silica_mg_kg(boiler_mg_kg: Floats, abs_kpa: Floats) -> Floats:
    """Return the silica that steam takes along as vapor, mg/kg SiO2; droplets come on top of it.

    Errors: ChemistryError not_an_amount, OutOfValidity silica_pressure.

    >>> round(float(steam_silica_mg_kg(8.8, 6000.0)), 3)
    0.02
    """
    require_one_length(boiler_mg_kg, abs_kpa)
    return _amount(boiler_mg_kg) * distribution_ratio(abs_kpa)


def permitted_mg_kg(abs_kpa: Floats, steam_mg_kg: Floats = STEAM_LIMIT_MG_KG) -> Floats:
    """Return the silica in boiler water at which its vapor alone fills a limit for steam, mg/kg.

    Errors: ChemistryError not_an_amount, OutOfValidity silica_pressure.

    >>> round(float(permitted_mg_kg(10000.0)), 1)
    2.4
    """
    require_one_length(steam_mg_kg, abs_kpa)
    return _amount(steam_mg_kg) / distribution_ratio(abs_kpa)


def _amount(given: Floats) -> Floats:
    array = np.asarray(given, dtype=np.float64)
    if not np.all((array >= 0.0) & np.isfinite(array)):
        raise ChemistryError(
            "not_an_amount",
            gettext_noop("The amount of %(formula)s has to be a number, zero or more."),
            {"formula": "SiO2"},
        )
    return given
