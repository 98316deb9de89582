"""The constants of the equilibria of boiler, feed and condensate water, by temperature.

The table is `equilibria.csv`, one species a row, each with its source. A species is formed from its
parent, protons, water and at most one metal:

    parent + protons H+ + water H2O + metal = species        log K, delta H in kJ/mol

Where `analytic` is given it holds the six coefficients of
log K = a1 + a2 T + a3 / T + a4 log10 T + a5 / T² + a6 T²; else the van 't Hoff equation is used.
Forms and most values: Parkhurst and Appelo, USGS Techniques and Methods 6-A43 (2013), database
phreeqc.dat of version 3.8.6.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import numpy as np

from chemistry.arrays import Floats, largest
from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop

TABLE_VERSION = "1"
"""Of equilibria.csv; a changed figure is a new version."""

TEMPERATURE_RANGE_C = (0.0, 60.0)
"""Range in which the constants were compared with references: rule of our own."""
KELVIN = 273.15
"""0 °C on the Kelvin scale: SI Brochure, 9th edition (2019), 2.3.1 (from memory)."""
REFERENCE_K = 298.15
"""25 °C, at which constants are printed: common practice."""
GAS_CONSTANT_J_MOL_K = 8.314462618
"""SI Brochure, 9th edition (2019): exact (from memory)."""

STRONG_PAIRS: Mapping[str, float] = {"NaHPO4-": 1.07}
"""log K at 25 °C of an alternative, stronger pairing of sodium with phosphate: NIST 46.4 as in the
database minteq.v4.dat of PHREEQC (Parkhurst and Appelo, 2013). The published values spread from
0.29 to 1.07."""


@dataclass(frozen=True)
class Species:
    """One row of the table: what it is formed from, its constant, its activity coefficient."""

    key: str
    charge: int
    component: str
    """The master species whose total it counts towards; empty for H+ and OH-."""
    parent: str
    metal: str
    protons: int
    """Of the whole way from the master species."""
    water: int
    log_k: float
    delta_h_kj: float
    analytic: tuple[float, ...]
    ion_size: float | None
    """Å; None where the Davies equation (charged) or 0.1 I (neutral) is used."""
    linear: float
    source: str


def within_temperature(temp_c: Floats) -> None:
    """Refuse temperatures at which the constants are not known."""
    low, high = TEMPERATURE_RANGE_C
    if not (low <= -largest(-temp_c) and largest(temp_c) <= high):
        raise OutOfValidity(
            "equilibrium_temperature",
            gettext_noop("The equilibria are known here from %(low)s to %(high)s °C."),
            {"low": f"{low:g}", "high": f"{high:g}"},
            bound=f"{low:g} <= temperature_c <= {high:g}",
        )


def log_k(species: Species, temp_k: Floats) -> Floats:
    """Return log10 of the constant of the row's own reaction at a temperature in K.

    >>> round(log_k(table()["OH-"], 298.15), 3)
    -13.995
    """
    if species.analytic:
        a1, a2, a3, a4, a5, a6 = species.analytic
        log10 = np.log10(temp_k) if isinstance(temp_k, np.ndarray) else float(np.log10(temp_k))
        return a1 + a2 * temp_k + a3 / temp_k + a4 * log10 + a5 / temp_k**2 + a6 * temp_k**2
    slope = species.delta_h_kj * 1000.0 / (np.log(10.0) * GAS_CONSTANT_J_MOL_K)
    return species.log_k + float(slope) * (1.0 / REFERENCE_K - 1.0 / temp_k)


def formation(species: Species, temp_k: Floats, rows: Mapping[str, Species]) -> Floats:
    """Return log10 of the constant of the whole way from the master species."""
    own = log_k(species, temp_k)
    parent = rows.get(species.parent)
    return own if parent is None else own + formation(parent, temp_k, rows)


@lru_cache(maxsize=2)
def table(*, strong_pairs: bool = False) -> Mapping[str, Species]:
    """Return the species by key; with `strong_pairs` sodium holds phosphate more strongly."""
    path = Path(__file__).with_name("equilibria.csv")
    with path.open(encoding="utf-8", newline="") as file:
        rows: dict[str, Species] = {}
        for row in csv.DictReader(file):
            rows[row["species"]] = _species(row, rows)
    if strong_pairs:
        rows |= {key: replace(rows[key], log_k=value) for key, value in STRONG_PAIRS.items()}
    return rows


def _species(row: Mapping[str, str], before: Mapping[str, Species]) -> Species:
    """Read a row; its parent stands above it."""
    parent = before.get(row["parent"])
    key, bare = row["species"], row["species"] in ("H+", "OH-")
    return Species(
        key=key,
        charge=int(row["charge"]),
        component="" if bare else key if parent is None else parent.component,
        parent=row["parent"],
        metal=row["metal"],
        protons=int(row["protons"]) + (0 if parent is None else parent.protons),
        water=int(row["water"]) + (0 if parent is None else parent.water),
        log_k=float(row["log_k"]),
        delta_h_kj=float(row["delta_h_kj"]),
        analytic=tuple(float(part) for part in row["analytic"].split()),
        ion_size=float(row["ion_size"]) if row["ion_size"] else None,
        linear=float(row["linear"] or 0.0),
        source=row["source"],
    )
