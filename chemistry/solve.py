"""What a water is: from totals to pH, species and ionic strength, by the balance of charges.

The model is in chemistry.speciation and chemistry.activity, the arithmetic in
chemistry.charge_balance (arrays, calcium and magnesium) and chemistry.solve_one (a single water).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from chemistry import charge_balance
from chemistry.activity import LN_10
from chemistry.arrays import Floats, largest
from chemistry.charge_balance import Solver, no_solution
from chemistry.composition import conductivity
from chemistry.equilibria import within_temperature
from chemistry.errors import OutOfValidity
from chemistry.solve_one import flat, solve_one
from chemistry.speciation import STRONG_METALS, plan_for
from chemistry.totals import molal_totals
from chemistry.words import gettext_noop

STRENGTH_MAX = 1.0
"""mol/kg; the activity coefficients are good to about half of it: rule of our own."""
TOTALS_MAX = 5.0
"""mol/kg of all totals together, charged or not: rule of our own, far beyond any boiler's water."""
CHUNK = 8192
"""Waters worked at once: their arrays stay in the processor's cache. Rule of our own."""


@dataclass(frozen=True)
class Equilibrium:
    """A water at equilibrium."""

    ph: Floats
    """-log10 of the activity of hydrogen ions."""
    ionic_strength: Floats
    """mol/kg of water."""
    species: Mapping[str, Floats]
    """mol/kg of water, by formula."""
    temperature_c: Floats

    @property
    def conductivity(self) -> Floats:
        """At the water's own temperature, µS/cm."""
        if not isinstance(self.ph, np.ndarray):
            return conductivity(self.species, self.temperature_c)
        parts = _chunks(dict(self.species), self.temperature_c)
        return np.concatenate([np.atleast_1d(conductivity(*part)) for part in parts])


def equilibrate(
    totals: Mapping[str, Floats], temperature_c: Floats = 25.0, *, strong_pairs: bool = False
) -> Equilibrium:
    """Return the equilibrium of a water whose totals are given in mg per kg of water, by formula.

    Numbers, or arrays of one length. `strong_pairs` takes the stronger published pairing of sodium
    with phosphate. Errors: OutOfValidity outside 0 to 60 °C, above 1 mol/kg of ionic strength and
    5 mol/kg of all totals; ChemistryError for what can't be a water.

    >>> found = equilibrate({"Na": 9.2, "PO4": 10.0})
    >>> round(found.ph, 2)
    10.26
    """
    molal, temp = molal_totals(totals, temperature_c)
    within_temperature(temp)
    within_totals(molal)
    if isinstance(temp, float) and all(isinstance(each, float) for each in molal.values()):
        found = _one(molal, temp, strong_pairs)
    else:
        found = _joined([_solved(*part, strong_pairs) for part in _chunks(molal, temp)])
    if largest(found.ionic_strength) > STRENGTH_MAX:
        raise too_concentrated("ionic_strength", STRENGTH_MAX)
    return found


def too_concentrated(name: str, most: float) -> OutOfValidity:
    """Return the error of a water beyond what the activity coefficients hold for, mol/kg."""
    return OutOfValidity(
        name,
        gettext_noop("This water is too concentrated: more than %(most)s mol/kg."),
        {"most": f"{most:g}"},
        bound=f"{name} <= {most:g}",
    )


def within_totals(molal: Mapping[str, Floats]) -> None:
    """Refuse more than a water can be taken to hold here, mol/kg by component."""
    if molal and largest(sum(molal.values())) > TOTALS_MAX:
        raise too_concentrated("totals", TOTALS_MAX)


def _chunks(molal: dict[str, Any], temp: Floats) -> Iterator[tuple[dict[str, Any], Floats]]:
    length = max(np.size(each) for each in (*molal.values(), temp))
    for start in range(0, length, CHUNK):
        part = slice(start, start + CHUNK)
        yield (
            {key: each[part] if np.ndim(each) else each for key, each in molal.items()},
            temp[part] if isinstance(temp, np.ndarray) else temp,
        )


def _joined(parts: list[Equilibrium]) -> Equilibrium:
    def together(values: list[Floats]) -> Floats:
        return np.concatenate([np.atleast_1d(value) for value in values])

    return Equilibrium(
        together([part.ph for part in parts]),
        together([part.ionic_strength for part in parts]),
        {key: together([part.species[key] for part in parts]) for key in parts[0].species},
        together([np.broadcast_to(part.temperature_c, np.shape(part.ph)) for part in parts]),
    )


def _solved(molal: dict[str, Any], temp: Floats, strong_pairs: bool) -> Equilibrium:
    plan = plan_for(frozenset(molal), temp, strong_pairs=strong_pairs)
    return settled(Solver(plan, molal), temp)


def settled(solver: Solver, temp: Floats) -> Equilibrium:
    """Run a solver to its end and return the water it found."""
    solver.run()
    return Equilibrium(-solver.ln_ah / LN_10, solver.strength, solver.last.molal, temp)


def _one(molal: dict[str, float], temp: float, strong_pairs: bool) -> Equilibrium:
    """Solve a single water, by the quick way where it is open."""
    if any(name in molal for name in STRONG_METALS):
        return _solved(molal, temp, strong_pairs)
    form = flat(frozenset(molal), temp, strong_pairs)
    found = solve_one(
        form,
        molal,
        charge_balance.TOLERANCE,
        charge_balance.STEPS_MAX,
        charge_balance.STEP_LARGEST,
    )
    if found is None:
        raise no_solution()
    return Equilibrium(-found[0] / LN_10, found[1], found[2], temp)
