"""The species that the totals of a water spread over, laid out as arrays, at 25 °C.

The solver finds one water at a time. A planner also asks how that water answers: which charge it
would have at another pH, and how pH and conductivity follow each total. At a given ionic strength
these are sums over species, and cost a small part of a solution.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from chemistry.activity import LN_10, coefficients_with, water_activity
from chemistry.composition import (
    ELECTROPHORESIS,
    PAIRS_COUNTED_FREE,
    RELAXATION,
    Ion,
    ions,
    limiting,
)
from chemistry.equilibria import KELVIN, table
from chemistry.planner_case import PARAMETERS
from chemistry.solve import Equilibrium
from chemistry.solvent import density_kg_l, dielectric, viscosity_mpa_s
from chemistry.speciation import TINY, Plan, Term, plan_for
from chemistry.totals import COMPONENT_OF, molar_mass

Vector = NDArray[np.float64]

TEMPERATURE_C = 25.0
"""Bench results are referred to this: common practice, no source."""
STRONG_CHARGE: Mapping[str, int] = {
    "Na": 1, "K": 1, "Cl": -1, "NO3": -1, "F": -1, "CH3COO": -1, "SO4": -2, "SO3": -2,
}  # fmt: skip
"""Of what stays as it is at any pH of boiler water, common practice: the strong base of
chemistry.phosphate."""


@dataclass(frozen=True)
class Charges:
    """The positive charge of waters at a pH, mol/kg: per_mg @ totals + rest.

    Zero where the water has that pH, above zero where its own pH is higher. `buffer` is the strong
    base that a unit of pH takes there, mol/kg.
    """

    per_mg: Vector
    rest: float
    buffer: float


@dataclass(frozen=True)
class Answers:
    """Species in mol/kg, and how they answer to the totals: mol/kg for a mg/kg, a row a total."""

    molal: Vector
    per_mg: NDArray[np.float64]


@dataclass(frozen=True)
class Frame:
    """The species that some formulas spread over, laid out as arrays: one entry a species."""

    plan: Plan
    molar: Vector
    """Of each formula, mg/mol."""
    strong: Vector
    fixed: Vector
    """Of each formula, the charge of its master species."""
    members: NDArray[np.float64]
    """A row for each formula: which species it spreads over."""
    constants: Vector
    protons: Vector
    waters: Vector
    kinds: NDArray[np.int64]
    metals: tuple[str, ...]
    amounts: Mapping[str, Vector]
    """What picks each plain parameter out of the formulas."""
    conducting: Vector
    """Of each species, what it conducts in endless dilution, µS/cm for a mol/kg."""
    slowing: Vector
    """Of each species, by how much its neighbors slow it, but for one factor common to all."""
    squares: Vector
    """Of each species, its charge squared; of a loose pair, those of its two ions."""

    def logarithms(self, water: Equilibrium) -> Vector:
        """Return what each species weighs in a water, but for the hydrogen ions: ln."""
        gammas = coefficients_with(self.plan.kinds, water.ionic_strength, *self.plan.debye_hueckel)
        places = {each.component: each.terms[0] for each in self.plan.metals}
        free = {key: water.species[key] * gammas[term.kind] + TINY for key, term in places.items()}
        held = np.log(np.array([free.get(metal, 1.0) for metal in self.metals]))
        a_water = float(water_activity(sum(water.species.values())))
        activity = self.waters * np.log(a_water)
        found: Vector = self.constants + held + activity - np.log(np.array(gammas))[self.kinds]
        return found

    def answers(self, ph: float, totals: Vector, logarithms: Vector) -> Answers:
        """Return the species at a pH, and how each answers to each total, the pH following."""
        weights = np.exp(logarithms - ph * LN_10 * self.protons)
        shares = self.members * weights / (self.members @ weights)[:, None]
        molal = (totals / self.molar) @ shares
        molal[:2] = weights[:2]
        # d ln m / d ln aH: protons beyond the mean of the group
        beyond = self.protons - shares.T @ (shares @ self.protons)
        beyond[:2] = self.protons[:2]
        here = self.charges(ph, totals, logarithms)
        per_ln_ah = molal * beyond
        ln_ah = -here.per_mg * LN_10 / here.buffer
        return Answers(molal, shares / self.molar[:, None] + np.outer(ln_ah, per_ln_ah))

    def charges(self, ph: float, totals: Vector, logarithms: Vector) -> Charges:
        """Return the charges at a pH."""
        weights = np.exp(logarithms - ph * LN_10 * self.protons)
        # the first two are H+ and OH-, which no formula brings
        acid, base = weights[0], weights[1]
        whole = self.members @ weights
        mean = self.members @ (weights * self.protons) / whole
        square = self.members @ (weights * self.protons**2) / whole
        slope = float((square - mean**2) / self.molar @ totals + acid + base)
        return Charges((self.fixed + mean) / self.molar, float(acid - base), LN_10 * slope)


@lru_cache(maxsize=64)
def frame_of(formulas: tuple[str, ...]) -> Frame:
    """Return the frame of some formulas at 25 °C."""
    plan = plan_for(frozenset(COMPONENT_OF[each] for each in formulas), TEMPERATURE_C)
    terms: list[Term] = list(plan.water)
    rows: dict[str, list[int]] = {}
    for group in (*plan.metals, *plan.ligands):
        rows[group.component] = [len(terms) + place for place in range(len(group.terms))]
        terms += group.terms
    members = np.zeros((len(formulas), len(terms)))
    for place, formula in enumerate(formulas):
        members[place, rows[COMPONENT_OF[formula]]] = 1.0
    return Frame(
        plan=plan,
        molar=np.array([1000.0 * molar_mass(each) for each in formulas]),
        strong=np.array([float(STRONG_CHARGE.get(each, 0)) for each in formulas]),
        fixed=np.array([float(table()[COMPONENT_OF[each]].charge) for each in formulas]),
        members=members,
        constants=np.log(np.array([float(term.constant) for term in terms])),
        protons=np.array([float(term.protons) for term in terms]),
        waters=np.array([float(term.water) for term in terms]),
        kinds=np.array([term.kind for term in terms]),
        metals=tuple(term.metal for term in terms),
        amounts={
            key: np.array([float(each == formula) for each in formulas])
            for key, formula in PARAMETERS.items()
            if formula
        },
        conducting=np.array([_over_ions(term.key, _alone) for term in terms]),
        slowing=np.array([_over_ions(term.key, _slowing) for term in terms]),
        squares=np.array(
            [_over_ions(term.key, lambda ion: float(ion.charge**2)) for term in terms]
        ),
    )


def _over_ions(key: str, of: Callable[[Ion], float]) -> float:
    """Return a property summed over the ions of a species: a loose pair counts as its two."""
    known = (ions().get(each) for each in PAIRS_COUNTED_FREE.get(key, (key,)))
    return sum((of(ion) for ion in known if ion is not None), 0.0)


def _alone(ion: Ion) -> float:
    """Return what an ion conducts in endless dilution at 25 °C, µS/cm for a mol/kg."""
    per_liter = 1000.0 * density_kg_l(TEMPERATURE_C)
    return float(per_liter * abs(ion.charge) * limiting(ion, TEMPERATURE_C))


def _slowing(ion: Ion) -> float:
    """Return how much an ion is slowed: the two terms of the law of chemistry.composition, its
    counter-ion taken as its like (q = 1/2)."""
    product = dielectric(TEMPERATURE_C) * (TEMPERATURE_C + KELVIN)
    poise = viscosity_mpa_s(TEMPERATURE_C) / 100.0
    charge = abs(ion.charge)
    relaxed = RELAXATION / product**1.5 * charge**2 * 0.5 / (1.0 + 0.5**0.5)
    carried = ELECTROPHORESIS * charge / (poise * product**0.5)
    return float(charge * (relaxed * limiting(ion, TEMPERATURE_C) + carried))
