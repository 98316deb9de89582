"""The control regions of phosphate treatment, and their outlines on a diagram of pH over phosphate.

A region lies between lines of equal sodium-to-phosphate ratio, or between such a line and one of
free caustic beside trisodium phosphate, and between two phosphate contents. All are of pure
phosphate at 25 °C: ammonia, silica and carbonate are to be taken out of the pH first
(chemistry.phosphate). Figures are from memory; a plant's own program decides.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from chemistry.arrays import Floats, plain
from chemistry.errors import OutOfValidity
from chemistry.phosphate import PHOSPHATE_LOWEST, ph_of_ratio
from chemistry.solve import equilibrate
from chemistry.totals import molar_mass
from chemistry.words import gettext_noop

TRISODIUM = 3.0
"""Sodium to phosphate of Na3PO4: its formula; no free caustic below it. From memory."""
NAOH_MG_MMOL = 39.997
"""IUPAC abridged standard atomic weights (2022): 22.990 + 15.999 + 1.008; from memory."""
LINE_POINTS = 25
"""Of each line of an outline, evenly on the logarithm of the phosphate: rule of our own."""
PHOSPHATE_MOST = 100.0
"""mg/kg, where the diagram ends: rule of our own."""

Place = Literal["inside", "too_caustic", "too_acid", "too_little", "too_much"]


@dataclass(frozen=True)
class Region:
    """Where a treatment keeps a boiler water."""

    key: str
    name: str
    po4_low: float
    """mg/kg as PO4"""
    po4_high: float
    ratio_low: float
    """Sodium to phosphate, mol/mol"""
    ratio_high: float
    free_caustic: float
    """mg/kg NaOH beside the upper ratio that is still inside; mostly none."""
    source: str


REGIONS: Mapping[str, Region] = {
    each.key: each
    for each in (
        Region(
            "coordinated",
            gettext_noop("coordinated phosphate"),
            5.0,
            40.0,
            2.6,
            TRISODIUM,
            0.0,
            "Whirl and Purcell (1942): no free caustic, ratio up to 3.0; phosphate and the lower "
            "ratio common practice; from memory",
        ),
        Region(
            "congruent",
            gettext_noop("congruent phosphate"),
            2.0,
            25.0,
            2.3,
            2.6,
            0.0,
            "Marcy and Halstead (1964): ratio up to 2.6; phosphate and the lower ratio common "
            "practice; from memory",
        ),
        Region(
            "equilibrium",
            gettext_noop("equilibrium phosphate"),
            0.5,
            2.4,
            2.8,
            TRISODIUM,
            1.0,
            "Stodola (1986): below 2.4 mg/kg PO4, ratio above 2.8, free caustic up to 1 mg/kg "
            "NaOH; from memory",
        ),
    )
}
"""The three treatments; each says where its figures are from."""


@dataclass(frozen=True)
class Outline:
    """A polygon on the diagram, closed from its last point to its first."""

    po4: NDArray[np.float64]
    """mg/kg"""
    ph: NDArray[np.float64]
    """At 25 °C."""


def ratio_line(ratio: float, po4: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the pH along a line of equal sodium-to-phosphate ratio.

    >>> [round(float(ph), 2) for ph in ratio_line(2.6, np.array([5.0, 10.0]))]
    [9.49, 9.79]
    """
    return np.asarray(ph_of_ratio(ratio, po4), dtype=np.float64)


def caustic_line(
    naoh: float, po4: NDArray[np.float64], ratio: float = TRISODIUM
) -> NDArray[np.float64]:
    """Return the pH along a line of `naoh` mg/kg of sodium hydroxide beside a phosphate of a ratio.

    >>> round(float(caustic_line(1.0, np.array([2.0]))[0]), 2)
    9.66
    """
    sodium = ratio * po4 / molar_mass("PO4") + naoh / NAOH_MG_MMOL
    water = equilibrate({"Na": sodium * molar_mass("Na"), "PO4": po4})
    return np.asarray(water.ph, dtype=np.float64)


def outline(region: Region) -> Outline:
    """Return the outline of a region: along its lower line, and back along its upper one."""
    po4 = np.geomspace(region.po4_low, region.po4_high, LINE_POINTS)
    lower, upper = _bounds(region, po4)
    return Outline(np.concatenate([po4, po4[::-1]]), np.concatenate([lower, upper[::-1]]))


def place_in(region: Region, ph: float, po4: float) -> Place:
    """Return where a water lies beside a region; phosphate is looked at first.

    `ph` at 25 °C without what ammonia, silica and carbonate do to it; `po4` mg/kg. Errors:
    OutOfValidity for a phosphate outside the diagram.

    >>> place_in(REGIONS["congruent"], 9.7, 10.0)
    'inside'
    """
    if not PHOSPHATE_LOWEST <= po4 <= PHOSPHATE_MOST:
        raise OutOfValidity(
            "phosphate_of_diagram",
            gettext_noop("The diagram goes from %(low)s to %(most)s mg/L of phosphate."),
            {"low": f"{PHOSPHATE_LOWEST:g}", "most": f"{PHOSPHATE_MOST:g}"},
            bound=f"{PHOSPHATE_LOWEST:g} <= po4 <= {PHOSPHATE_MOST:g}",
        )
    if po4 < region.po4_low:
        return "too_little"
    if po4 > region.po4_high:
        return "too_much"
    lower, upper = (float(each[0]) for each in _bounds(region, np.array([po4])))
    if ph < lower:
        return "too_acid"
    return "too_caustic" if ph > upper else "inside"


def _bounds(
    region: Region, po4: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lowest and the highest pH of a region at some phosphate."""
    upper = caustic_line(region.free_caustic, po4, region.ratio_high)
    return ratio_line(region.ratio_low, po4), upper


def swing(region: Region, po4: Floats) -> Floats:
    """Return how wide a region is at some phosphate, in pH: what a meter has to tell apart.

    >>> round(swing(REGIONS["congruent"], 10.0), 2)
    0.3
    """
    lower, upper = _bounds(region, np.atleast_1d(np.asarray(po4, dtype=np.float64)))
    return plain((upper - lower).reshape(np.shape(po4)))
