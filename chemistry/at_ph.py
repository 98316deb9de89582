"""A water held at a pH: how much strong base or acid that takes.

The charges are evened by sodium (a base) or chloride (an acid) instead of by the hydrogen ion; the
rest is the solver's.
"""

from collections.abc import Mapping

import numpy as np

from chemistry.activity import LN_10
from chemistry.arrays import Floats
from chemistry.charge_balance import Solver
from chemistry.equilibria import within_temperature
from chemistry.solve import Equilibrium, settled, within_totals
from chemistry.speciation import plan_for
from chemistry.totals import molal_totals
from chemistry.validity import require_one_length, require_within
from chemistry.words import gettext_noop

PH_RANGE = (2.0, 12.5)
"""Where a glass electrode and these constants can be trusted: rule of our own."""


def base_to_reach(
    totals: Mapping[str, Floats],
    ph: Floats,
    temperature_c: Floats = 25.0,
    *,
    strong_pairs: bool = False,
) -> Floats:
    """Return the strong base that brings a water to a pH, mol per kg of water; below zero: acid.

    `totals` in mg/kg as for chemistry.solve.equilibrate. The base is counted as sodium, the acid as
    chloride; what they dilute is left out. Errors: OutOfValidity for a pH outside 2 to 12.5.

    >>> round(base_to_reach({"PO4": 94.97}, 10.0), 5)
    0.00211
    """
    return held(totals, ph, temperature_c, strong_pairs=strong_pairs)[1]


def acid_to_reach(totals: Mapping[str, Floats], ph: Floats, temperature_c: Floats = 25.0) -> Floats:
    """Return the strong acid that brings a water to a pH, mol per kg of water; below zero: base."""
    return -base_to_reach(totals, ph, temperature_c)


def held(
    totals: Mapping[str, Floats],
    ph: Floats,
    temperature_c: Floats = 25.0,
    *,
    strong_pairs: bool = False,
) -> tuple[Equilibrium, Floats]:
    """Return a water held at a pH, and the strong base that this took, mol/kg; below zero: acid."""
    molal, temp = molal_totals(totals, temperature_c)
    within_temperature(temp)
    within_totals(molal)
    require_one_length(ph, temp, *molal.values())
    require_within(
        ph,
        PH_RANGE,
        "ph",
        "ph_range",
        gettext_noop("A pH from %(low)s to %(high)s can be worked with here."),
    )
    molal = {"Na+": 0.0, "Cl-": 0.0} | molal
    plan = plan_for(frozenset(molal), temp, strong_pairs=strong_pairs)
    solver = Solver(plan, molal, ln_ah=-np.asarray(ph, dtype=np.float64)[()] * LN_10)
    return settled(solver, temp), solver.base
