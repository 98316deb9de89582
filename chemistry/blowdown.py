"""Cycles of concentration and blowdown: mass balances of a boiler.

The solids in the steam are neglected, and the water level is taken as held. Concentrations of
feedwater and boiler water may be in any one additive unit; conductivity at 25 °C on one basis is
the usual stand-in. Flows share one unit (kg/h). Percent of feedwater and percent of steam are
different numbers and are never called just "percent blowdown". Sources: UFC 3-240-13FN (25 May
2005), 3-1.5, eqs. 5 to 8; TM 5-650 (October 1989), Appendix D; the time-dependent forms are the
exact solutions of M dC/dt = F Cf - B C.
"""

import numpy as np

from chemistry import units, water
from chemistry.arrays import Floats
from chemistry.errors import ChemistryError, OutOfValidity
from chemistry.words import gettext_noop

_NEEDS_MORE = gettext_noop("The blowdown figures don't fit together: %(what)s.")


def cycles_of_concentration(boiler: Floats, feed: Floats) -> Floats:
    """Return how many times the boiler has concentrated its feedwater (UFC eq. 5).

    >>> cycles_of_concentration(5000.0, 250.0)
    20.0
    """
    _require(feed, 0.0, gettext_noop("the feedwater must hold something"))
    return boiler / feed


def percent_of_feedwater(cycles: Floats) -> Floats:
    """Return blowdown as percent of feedwater, 100 / cycles (UFC eq. 6; TM 5-650)."""
    _require(cycles, 1.0, gettext_noop("cycles must be above 1"))
    return 100.0 / cycles


def percent_of_steam(cycles: Floats) -> Floats:
    """Return blowdown as percent of steam, 100 / (cycles - 1): algebra on UFC eq. 7."""
    _require(cycles, 1.0, gettext_noop("cycles must be above 1"))
    return 100.0 / (cycles - 1.0)


def blowdown_from_cycles(steam: Floats, cycles: Floats) -> Floats:
    """Return the steady blowdown, E / (cycles - 1), in the unit of `steam` (UFC eq. 7)."""
    _require(cycles, 1.0, gettext_noop("cycles must be above 1"))
    return steam / (cycles - 1.0)


def feedwater_flow(steam: Floats, blowdown: Floats) -> Floats:
    """Return the feedwater, steam plus blowdown (UFC eq. 8)."""
    return steam + blowdown


def maximum_cycles(limit: Floats, feed: Floats) -> Floats:
    """Return the cycles at which boiler water reaches `limit` (National Board draft, 3.5.5)."""
    return cycles_of_concentration(limit, feed)


def blown_mass_to_reach(
    present: Floats, wanted: Floats, feed: Floats, water_mass: Floats
) -> Floats:
    """Return the mass to drain at once, and refill with feedwater, to come from `present` to
    `wanted`.

    M (C - C') / (C - Cf): nothing is mixed in before the draining ends. In the unit of
    `water_mass`.
    """
    _require(wanted, feed, gettext_noop("the wanted value must be above the feedwater's"))
    if np.any(np.asarray(wanted) > np.asarray(present)):
        raise _does_not_fit(gettext_noop("blowing down can't raise a value"))
    return water_mass * (present - wanted) / (present - feed)


def steady_value(feed: Floats, steam: Floats, blowdown: Floats) -> Floats:
    """Return the value a boiler settles at, Cf (E + B) / B."""
    _require(blowdown, 0.0, gettext_noop("without blowdown there is no steady value"))
    return feed * (steam + blowdown) / blowdown


def value_after(
    c0: Floats, feed: Floats, steam: Floats, blowdown: Floats, mass: Floats, hours: Floats
) -> Floats:
    """Return the boiler water's value after `hours` at steady flows (exact; also without
    blowdown)."""
    return held_after(c0, feed * (steam + blowdown), blowdown, mass, hours)


def held_after(c0: Floats, gained: Floats, lost: Floats, mass: Floats, hours: Floats) -> Floats:
    """Return the value after `hours` of steadily gaining solute and losing water that holds it.

    C exp(-x) + G t / M (1 - exp(-x)) / x with x = L t / M: the exact solution of
    M dC/dt = G - L C. `gained` is concentration times kg/h, `lost` kg/h.
    """
    _require(mass, 0.0, gettext_noop("the boiler must hold water"))
    share = lost * hours / mass
    kept = np.exp(-share)
    # (1 - exp(-x)) / x tends to 1 for no blowdown, where the value only rises with what is fed
    filled = np.where(share == 0.0, 1.0, -np.expm1(-share) / np.where(share == 0.0, 1.0, share))
    after = c0 * kept + gained * hours / mass * filled
    return float(after) if np.ndim(after) == 0 else np.asarray(after, dtype=np.float64)


def hours_to_reach(
    c0: Floats, wanted: Floats, feed: Floats, steam: Floats, blowdown: Floats, mass: Floats
) -> Floats:
    """Return the hours at steady flows until the boiler water comes from `c0` to `wanted`.

    (M / B) ln((C0 - Css) / (C - Css)). Errors: OutOfValidity when the flows never bring it there.
    """
    settled = np.asarray(steady_value(feed, steam, blowdown))
    here, there = np.asarray(c0) - settled, np.asarray(wanted) - settled
    if np.any(here * there <= 0.0) or np.any(np.abs(there) > np.abs(here)):
        raise OutOfValidity(
            "never_reached",
            gettext_noop("At these flows the boiler water never comes to that value."),
            bound="wanted lies between c0 and the steady value",
        )
    hours = mass / blowdown * np.log(here / there)
    return float(hours) if np.ndim(hours) == 0 else np.asarray(hours, dtype=np.float64)


def heat_lost_kj(blown_kg: Floats, gauge_kpa: float, makeup_c: float) -> Floats:
    """Return the heat that leaves with `blown_kg` of boiler water above makeup at `makeup_c`, kJ.

    Boiling water at the drum's pressure, no heat recovered (IAPWS-IF97). `gauge_kpa` at sea level.
    """
    drum = water.saturated_liquid_enthalpy_kj_kg(units.absolute_kpa(gauge_kpa))
    return blown_kg * (drum - water.liquid_enthalpy_kj_kg(makeup_c))


def _require(value: Floats, above: Floats, what: str) -> None:
    if not np.all(np.asarray(value) > np.asarray(above)):
        raise _does_not_fit(what)


def _does_not_fit(what: str) -> ChemistryError:
    return ChemistryError("figures_do_not_fit", _NEEDS_MORE, {"what": what})
