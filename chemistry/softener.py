"""A softener: what it lets through, and how much it can still soften before it is spent.

How much a bed takes up depends on its resin, its age and the salt of its last regeneration. That
figure is the maker's, given by the plant; none is assumed here. Hardness in mg/L as CaCO3, capacity
in kg as CaCO3 between regenerations, water in m³.
"""

from dataclasses import dataclass

import numpy as np

from chemistry.arrays import Floats, plain
from chemistry.errors import ChemistryError, Refused
from chemistry.words import gettext_noop

G_PER_KG = 1000.0
"""Of the metric system: SI Brochure, 9th edition (2019), from memory."""


@dataclass(frozen=True)
class Left:
    """What a bed can still do: percent of its capacity, water, and hours at a flow."""

    percent: Floats
    water_m3: Floats
    hours: Floats | None


def leakage_percent(inlet: Floats, outlet: Floats) -> Floats:
    """Return the hardness let through, percent of what comes in.

    Errors: ChemistryError no_hardness where the inlet holds none, or the outlet more.

    >>> leakage_percent(200.0, 1.0)
    0.5
    """
    _require(np.all((np.asarray(inlet) > 0.0) & (np.asarray(outlet) >= 0.0)))
    _require(np.all(np.asarray(outlet) <= np.asarray(inlet)))
    return 100.0 * outlet / inlet


def water_between_m3(capacity_kg: Floats | None, inlet: Floats, outlet: Floats = 0.0) -> Floats:
    """Return the water that a bed softens between two regenerations, m³.

    `outlet`: the hardness it lets through all along. Errors: Refused capacity_missing;
    ChemistryError no_hardness.

    >>> water_between_m3(30.0, 300.0)
    100.0
    """
    if capacity_kg is None:
        raise Refused(
            "capacity_missing",
            gettext_noop(
                "What the softener can take up between regenerations is not known: it is the "
                "maker's figure for this resin and salt."
            ),
            missing=("capacity_kg",),
        )
    taken = np.asarray(inlet, dtype=np.float64) - np.asarray(outlet, dtype=np.float64)
    _require(np.all((np.asarray(outlet) >= 0.0) & (taken > 0.0)))
    _require(np.all(np.asarray(capacity_kg) > 0.0))
    return plain(np.asarray(capacity_kg) * G_PER_KG / taken)


def left(
    capacity_kg: Floats | None,
    inlet: Floats,
    throughput_m3: Floats,
    outlet: Floats = 0.0,
    flow_m3_h: Floats | None = None,
) -> Left:
    """Return what is left of a bed after the water it has let through since it was regenerated.

    Less than nothing is shown as such: the bed is overrun. Errors as for `water_between_m3`;
    ChemistryError no_hardness for a throughput or flow that can't be one.

    >>> found = left(30.0, 300.0, 75.0, flow_m3_h=5.0)
    >>> found.percent, found.water_m3, found.hours
    (25.0, 25.0, 5.0)
    """
    whole = np.asarray(water_between_m3(capacity_kg, inlet, outlet))
    _require(np.all(np.asarray(throughput_m3) >= 0.0))
    water = whole - np.asarray(throughput_m3)
    if flow_m3_h is None:
        return Left(plain(100.0 * water / whole), plain(water), None)
    _require(np.all(np.asarray(flow_m3_h) > 0.0))
    hours = water / np.asarray(flow_m3_h)
    return Left(plain(100.0 * water / whole), plain(water), plain(hours))


def _require(sound: object) -> None:
    if not sound:
        raise ChemistryError(
            "no_hardness",
            gettext_noop(
                "These figures fit no softener: hardness must come in, less must go out, and water "
                "and flow can't be negative."
            ),
        )
