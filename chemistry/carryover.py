"""Boiler water that goes over with the steam as droplets, told by the sodium it brings.

Sodium is in boiler water in plenty and goes over as vapor next to not at all, so its share in
saturated steam is the share of boiler water in it: IAPWS Technical Guidance Document on carryover
(TGD1-08, 2008), first pages read in a copy. The steam must be drawn before any spray water, and by
a nozzle that takes the droplets along in their proportion.
"""

from dataclasses import dataclass

import numpy as np

from chemistry.arrays import Floats, plain
from chemistry.errors import ChemistryError, OutOfValidity
from chemistry.validity import require_one_length
from chemistry.words import gettext_noop

VAPOR_FREE_KPA = 15000.0
"""Absolute pressure above which sodium also goes over as vapor, so that its share is no longer that
of droplets: from memory, and on the low side."""


@dataclass(frozen=True)
class Carryover:
    """Boiler water in steam, percent by mass, with its interval."""

    percent: Floats
    low: Floats
    high: Floats


def carryover(
    steam_ug_kg: Floats,
    boiler_mg_kg: Floats,
    abs_kpa: Floats,
    *,
    steam_expanded: Floats = 0.0,
    boiler_expanded: Floats = 0.0,
) -> Carryover:
    """Return the boiler water in steam from sodium in both, with the interval of their readings.

    Errors: OutOfValidity carryover_pressure above 15 MPa; ChemistryError no_carryover where a
    figure can't be one, or the steam holds more sodium than the boiler.

    >>> found = carryover(10.0, 10.0, 4000.0, steam_expanded=1.0)
    >>> round(found.percent, 3), round(found.low, 3), round(found.high, 3)
    (0.1, 0.09, 0.11)
    """
    require_one_length(steam_ug_kg, boiler_mg_kg, abs_kpa, steam_expanded, boiler_expanded)
    if not np.all(np.asarray(abs_kpa) <= VAPOR_FREE_KPA):
        raise OutOfValidity(
            "carryover_pressure",
            gettext_noop("Above %(high)s kPa sodium goes over as vapor too."),
            {"high": f"{VAPOR_FREE_KPA:g}"},
            bound=f"abs_kpa <= {VAPOR_FREE_KPA:g}",
        )
    steam, boiler = np.asarray(steam_ug_kg) / 1000.0, np.asarray(boiler_mg_kg)
    sound = np.all((steam >= 0.0) & (boiler > 0.0) & (steam <= boiler) & np.isfinite(boiler))
    off = np.asarray(steam_expanded) / 1000.0, np.asarray(boiler_expanded)
    sound &= np.all((off[0] >= 0.0) & (off[1] >= 0.0) & (off[1] < boiler) & np.isfinite(off[0]))
    if not (sound and np.all(np.asarray(abs_kpa) > 0.0)):
        raise _no_carryover()
    share = steam / boiler
    # JCGM 100:2008, 5.1.2: both readings, on the share itself
    width = np.hypot(off[0] / boiler, share * off[1] / boiler)
    low, high = np.maximum(share - width, 0.0), share + width
    return Carryover(*(plain(100.0 * each) for each in (share, low, high)))


def brought_over(carryover_percent: Floats, boiler: Floats) -> Floats:
    """Return what droplets bring into steam of anything in boiler water, in its unit. Errors:
    ChemistryError no_carryover.

    >>> brought_over(0.1, 2000.0)
    2.0
    """
    both = np.asarray(carryover_percent), np.asarray(boiler)
    if not all(np.all((each >= 0.0) & np.isfinite(each)) for each in both):
        raise _no_carryover()
    return carryover_percent / 100.0 * boiler


def _no_carryover() -> ChemistryError:
    return ChemistryError(
        "no_carryover",
        gettext_noop(
            "No carryover follows from these figures: the sodium in steam must be zero or "
            "more, and less than in the boiler."
        ),
    )
