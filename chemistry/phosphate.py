"""Sodium to phosphate: how much strong base a boiler water holds beside its phosphate.

The molar ratio is 3 for trisodium phosphate, 2 for disodium phosphate; beyond 3 there is free
caustic. It is never measured: it is worked out from pH and phosphate. Ammonia makes part of the pH
without sodium; silica and carbonate hold sodium of their own. Where these swamp the phosphate the
ratio means nothing, and is refused.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from chemistry.arrays import Floats, plain
from chemistry.at_ph import base_to_reach
from chemistry.errors import OutOfValidity, Refused
from chemistry.solve import equilibrate
from chemistry.totals import molar_mass
from chemistry.validity import require_one_length, require_within
from chemistry.words import gettext_noop

PH_HALF_WIDTH = 0.05
"""What a good boilerhouse pH is worth: rule of our own."""
HALF_WIDTH_RANGE = (0.0, 1.0)
"""Of that, where a plant gives its own: rule of our own."""
PHOSPHATE_PART = 0.05
"""Part of the phosphate that its test may be off by: rule of our own."""
PHOSPHATE_LOWEST = 0.5
"""mg/kg as PO4 below which nothing is said: rule of our own."""
SHIFT_MOST = 1.0
"""Ratio that silica, carbonate and ammonia may shift together: rule of our own."""


@dataclass(frozen=True)
class Ratio:
    """A molar ratio of sodium to phosphate with its interval."""

    ratio: Floats
    low: Floats
    high: Floats
    shift: Floats
    """Part of the ratio that silica, carbonate and ammonia account for."""


def sodium_to_phosphate(
    ph: Floats,
    po4: Floats,
    nh3: Floats = 0.0,
    sio2: Floats = 0.0,
    carbon: Floats = 0.0,
    temperature_c: Floats = 25.0,
    *,
    ph_half_width: float = PH_HALF_WIDTH,
) -> Ratio:
    """Return the sodium-to-phosphate ratio of a water at the temperature at which pH was taken.

    `po4`, `nh3`, `sio2` in mg/kg by formula, `carbon` inorganic, mg/kg as C. The interval adds up,
    as squares, the pH and the phosphate test; the published pairings of sodium with phosphate stand
    at its ends. Errors: OutOfValidity below 0.5 mg/kg PO4; Refused swamped where silica, carbonate
    and ammonia shift the ratio by more than 1.

    >>> found = sodium_to_phosphate(9.85, 10.0)
    >>> round(found.ratio, 1)
    2.7
    """
    require_one_length(ph, po4, nh3, sio2, carbon, temperature_c)
    require_within(
        ph_half_width,
        HALF_WIDTH_RANGE,
        "ph_half_width",
        "ph_half_width",
        gettext_noop("What a pH is worth lies between %(low)s and %(high)s."),
    )
    if not np.all(np.asarray(po4) >= PHOSPHATE_LOWEST):
        raise OutOfValidity(
            "phosphate_too_low",
            gettext_noop("Below %(low)s mg/L of phosphate the ratio says nothing."),
            {"low": f"{PHOSPHATE_LOWEST:g}"},
            bound=f"po4 >= {PHOSPHATE_LOWEST:g}",
        )
    others = {"NH3": nh3, "SiO2": sio2, "C": carbon}
    ratio = _ratio(ph, po4, temperature_c, others)
    shift = ratio - _ratio(ph, po4, temperature_c, {})
    _refuse_swamped(shift)
    paired = _ratio(ph, po4, temperature_c, others, strong_pairs=True)
    step, part = np.asarray(ph_half_width), PHOSPHATE_PART
    low = np.minimum(ratio, paired) - np.hypot(
        ratio - _ratio(ph - step, po4, temperature_c, others),
        ratio - _ratio(ph, np.asarray(po4) * (1.0 + part), temperature_c, others),
    )
    high = np.maximum(ratio, paired) + np.hypot(
        _ratio(ph + step, po4, temperature_c, others) - ratio,
        _ratio(ph, np.asarray(po4) * (1.0 - part), temperature_c, others) - ratio,
    )
    return Ratio(*(plain(each) for each in (ratio, low, high, shift)))


def ph_of_ratio(ratio: Floats, po4: Floats, temperature_c: Floats = 25.0) -> Floats:
    """Return the pH of a pure solution of phosphate in mg/kg PO4 at a sodium-to-phosphate ratio:
    the lines of the diagram.

    >>> round(ph_of_ratio(2.7, 10.0), 2)
    9.85
    """
    require_one_length(ratio, po4, temperature_c)
    sodium = np.asarray(ratio) * np.asarray(po4) / molar_mass("PO4") * molar_mass("Na")
    return plain(equilibrate({"Na": sodium, "PO4": po4}, temperature_c).ph)


def _ratio(
    ph: Floats,
    po4: Floats,
    temperature_c: Floats,
    others: Mapping[str, Floats],
    *,
    strong_pairs: bool = False,
) -> Any:
    base = base_to_reach({"PO4": po4, **others}, ph, temperature_c, strong_pairs=strong_pairs)
    return base / (np.asarray(po4) / (1000.0 * molar_mass("PO4")))


def _refuse_swamped(shift: Floats) -> None:
    if np.any(np.abs(shift) > SHIFT_MOST):
        raise Refused(
            "swamped",
            gettext_noop(
                "Silica, carbonate or ammonia decide the pH of this water, not its phosphate: "
                "a ratio would mean nothing."
            ),
        )
