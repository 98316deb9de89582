"""What a water of known species conducts.

Each ion starts from its conductivity in endless dilution, slowed by its neighbors after the
Debye-Hückel-Onsager law with the denominator of Robinson and Stokes, Electrolyte Solutions (2nd ed.
1959), chapter 7 (from memory):

    l = l0 - (2.801e6 |z z'| q / ((eT)^1.5 (1 + sqrt q)) l0 + 41.25 |z| / (h sqrt(eT)))
             * sqrt I / (1 + B a sqrt I),
    q = |z z'| / (|z| + |z'|) * (l0 + l0') / (|z'| l0 + |z| l0'),

with l in S cm²/eq, h in poise, and for z' and l0' the mean of the ions of the other sign, by
equivalents. With temperature an ion follows the viscosity of water and its own coefficient.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from pathlib import Path
from typing import Any

from chemistry.arrays import Floats, exp, largest, log, sqrt
from chemistry.equilibria import KELVIN, within_temperature
from chemistry.errors import ChemistryError
from chemistry.solvent import debye_hueckel, density_kg_l, dielectric, viscosity_mpa_s
from chemistry.words import gettext_noop

RELAXATION = 2.801e6
"""Robinson and Stokes (1959), eq. 7.7, from memory."""
ELECTROPHORESIS = 41.25
"""The same, from memory."""
ION_SIZE: Mapping[int, float] = {1: 4.0, 2: 5.0, -1: 4.0, -2: 1.0, -3: 1.0}
"""Å by charge, in the denominator only: rule of our own, fitted to the salts of the tests."""
PAIRS_COUNTED_FREE: Mapping[str, tuple[str, str]] = {
    "NaHPO4-": ("Na+", "HPO4-2"), "KHPO4-": ("K+", "HPO4-2"),
    "NaSO4-": ("Na+", "SO4-2"), "KSO4-": ("K+", "SO4-2"), "NH4SO4-": ("NH4+", "SO4-2"),
    "NaF": ("Na+", "F-"),
}  # fmt: skip
"""Pairs so loose that the law above already holds their slowing: counted as their two ions."""


@dataclass(frozen=True)
class Ion:
    """What an ion conducts by itself at 25 °C, S cm²/eq, and how it follows the viscosity."""

    charge: int
    at_25c: float
    power: float
    slope: float
    source: str


@lru_cache(maxsize=1)
def ions() -> Mapping[str, Ion]:
    """Return the ions of ions.csv by formula."""
    path = Path(__file__).with_name("ions.csv")
    with path.open(encoding="utf-8", newline="") as file:
        return {
            row["ion"]: Ion(
                int(row["charge"]),
                float(row["equivalent_conductivity"]),
                float(row["viscosity_power"]),
                float(row["power_slope"]),
                row["source"],
            )
            for row in csv.DictReader(file)
        }


def limiting(ion: Ion, temp_c: Floats) -> Floats:
    """Return the ion's conductivity in endless dilution at a temperature, S cm²/eq.

    l = l25 * exp(p L + s L²), L = ln(viscosity at 25 °C / viscosity): a power of the fluidity,
    p and s fitted to Robinson and Stokes (1959), Appendix 6.2, 0 to 55 °C (from memory).
    """
    thinner = log(viscosity_mpa_s(25.0) / viscosity_mpa_s(temp_c))
    return ion.at_25c * exp(thinner * (ion.power + ion.slope * thinner))


def conductivity(species: Mapping[str, Floats], temp_c: Floats) -> Floats:
    """Return the conductivity of species in mol/kg at a temperature, µS/cm.

    Errors: OutOfValidity outside 0 to 60 °C; ChemistryError not_an_amount.

    >>> round(conductivity({"Na+": 0.001, "Cl-": 0.001}, 25.0), 1)
    123.3
    """
    within_temperature(temp_c)
    amounts = _ions_of(species)
    _require_amounts(amounts)
    law = _Law.at(temp_c)
    known = {
        key: (abs(ion.charge), law.limiting(key), ion.charge > 0)
        for key, ion in ions().items()
        if key in amounts
    }
    strength = 0.5 * sum((amounts[key] * z * z for key, (z, _, _) in known.items()), 0.0)
    root = sqrt(strength)
    slowing = {z: root / (1.0 + law.b * size * root) for z, size in ION_SIZE.items()}
    means = {sign: _mean(amounts, known, sign) for sign in (True, False)}
    total: Any = 0.0
    for key, (z, alone, positive) in known.items():
        other_z, other = means[not positive]
        q = z * other_z / (z + other_z) * (alone + other) / (other_z * alone + z * other)
        drag = law.relaxation * z * other_z * q / (1.0 + sqrt(q)) * alone + law.electrophoresis * z
        total = total + (alone - drag * slowing[z if positive else -z]) * z * amounts[key]
    found: Floats = 1000.0 * total * density_kg_l(temp_c)
    return found


def _ions_of(species: Mapping[str, Floats]) -> dict[str, Any]:
    """Return the amounts of the ions that conduct, loose pairs taken apart."""
    amounts: dict[str, Any] = {key: value for key, value in species.items() if key in ions()}
    for pair, parts in PAIRS_COUNTED_FREE.items():
        if pair in species:
            for part in parts:
                amounts[part] = amounts[part] + species[pair]
    return amounts


def _require_amounts(amounts: Mapping[str, Any]) -> None:
    for key, amount in amounts.items():
        if not (-largest(-amount) >= 0.0 and largest(amount) < inf):
            raise ChemistryError(
                "not_an_amount",
                gettext_noop("The amount of %(formula)s has to be a number, zero or more."),
                {"formula": key},
            )


def _mean(amounts: Mapping[str, Any], known: Mapping[str, Any], positive: bool) -> tuple[Any, Any]:
    """Return charge and conductivity of the ions of one sign, the mean by equivalents."""
    own = [
        (z, alone, z * amounts[key]) for key, (z, alone, sign) in known.items() if sign is positive
    ]
    weight = sum((share for _, _, share in own), 0.0) + 1e-300
    charge = sum((z * share for z, _, share in own), 0.0) / weight
    return charge, sum((alone * share for _, alone, share in own), 0.0) / weight


@dataclass(frozen=True)
class _Law:
    """The figures of the law at one temperature, or at one for each water."""

    temp_c: Floats
    relaxation: Floats
    electrophoresis: Floats
    b: Floats

    @classmethod
    def at(cls, temp_c: Floats) -> "_Law":
        product = dielectric(temp_c) * (temp_c + KELVIN)
        poise = viscosity_mpa_s(temp_c) / 100.0
        return cls(
            temp_c,
            RELAXATION / product**1.5,
            ELECTROPHORESIS / (poise * sqrt(product)),
            debye_hueckel(temp_c)[1],
        )

    def limiting(self, key: str) -> Floats:
        return limiting(ions()[key], self.temp_c)
