"""The solver for one water without calcium and magnesium, in plain numbers.

The same steps as chemistry.solve takes for arrays, written out flat: a keystroke at the bench and
every trial of a planner solve a single water, and Python's own numbers do that twenty times faster
than arrays of length one. A test holds the two against each other.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import exp, log, sqrt

from chemistry.activity import DAVIES_LINEAR, LN_10, NEUTRAL_LINEAR, WATER_PER_SOLUTE
from chemistry.speciation import TINY, Group, Plan, plan_for, start_of

_Term = tuple[int, int, float, int, int, int, int]
"""Place among the species, kind, K, place of its factor, protons, charge, weak metal (or -1)."""


@dataclass(frozen=True)
class Flat:
    """A plan as tuples of numbers."""

    plan: Plan
    keys: tuple[str, ...]
    components: tuple[str, ...]
    groups: tuple[tuple[int, tuple[_Term, ...]], ...]
    """Of each component but the metals: its place, its species."""
    metals: tuple[tuple[int, tuple[_Term, ...]], ...]
    kinds: tuple[tuple[float, float, float], ...]
    """A z² ln 10, B a, linear term in ln 10."""
    factors: tuple[tuple[int, int], ...]
    """Powers of the activities of hydrogen ions and of water that the species need."""
    hydroxide: float
    kind_h: int
    kind_oh: int


@lru_cache(maxsize=256)
def flat(components: frozenset[str], temp_c: float, strong_pairs: bool) -> Flat:
    """Return the plan of these components at one temperature as tuples of numbers."""
    plan = plan_for(components, temp_c, strong_pairs=strong_pairs)
    keys: list[str] = []
    order = tuple(group.component for group in (*plan.metals, *plan.ligands))
    places = {name: place for place, name in enumerate(order)}

    factors: dict[tuple[int, int], int] = {}

    def terms(group: Group) -> tuple[_Term, ...]:
        found = []
        for term in group.terms:
            factor = factors.setdefault((term.protons, term.water), len(factors))
            metal = places.get(term.metal, -1)
            found.append(
                (len(keys), term.kind, term.constant, factor, term.protons, term.charge, metal)
            )
            keys.append(term.key)
        return tuple(found)

    metals = tuple((places[group.component], terms(group)) for group in plan.metals)
    groups = tuple((places[group.component], terms(group)) for group in plan.ligands)
    hydrogen, hydroxide = plan.water
    return Flat(
        plan=plan,
        keys=tuple(keys),
        components=order,
        groups=groups,
        metals=metals,
        kinds=_kinds(plan),
        factors=tuple(factors),
        hydroxide=hydroxide.constant,
        kind_h=hydrogen.kind,
        kind_oh=hydroxide.kind,
    )


def _kinds(plan: Plan) -> tuple[tuple[float, float, float], ...]:
    """Return the activity coefficients' figures, so that 1/g = exp(c root/(1 + s root) - l I)."""
    a, b = plan.debye_hueckel
    found = []
    for kind in plan.kinds:
        charged = float(a) * kind.charge**2 * LN_10
        if kind.charge == 0:
            linear = NEUTRAL_LINEAR if kind.ion_size is None else kind.linear
            found.append((0.0, 0.0, linear * LN_10))
        elif kind.ion_size is None:
            found.append((charged, 1.0, DAVIES_LINEAR * charged))
        else:
            found.append((charged, float(b) * kind.ion_size, kind.linear * LN_10))
    return tuple(found)


@dataclass
class _Sums:
    """What the steps need of all species together."""

    positive: float
    negative: float
    twice_strength: float
    solutes: float
    slope: float
    """d(charge) / d(ln aH)."""


def solve_one(
    form: Flat, totals: Mapping[str, float], tolerance: float, steps: int, longest: float
) -> tuple[float, float, dict[str, float]] | None:
    """Return ln aH, ionic strength and species in mol/kg; None if `steps` were not enough."""
    amounts = [totals[name] for name in form.components]
    free = amounts[: len(form.metals)]
    species = [0.0] * len(form.keys)
    ln_ah, strength = start_of(form.plan, totals)
    a_water = 1.0
    reach, last = longest, 0.0
    for _ in range(steps):
        root = sqrt(strength)
        inverse = [
            exp(charged * root / (1.0 + size * root) - linear * strength)
            for charged, size, linear in form.kinds
        ]
        a_h = exp(ln_ah)
        acid = a_h * inverse[form.kind_h]
        base = form.hydroxide * a_water / a_h * inverse[form.kind_oh]
        sums = _Sums(acid, base, acid + base, acid + base, acid + base)
        factors = [a_h**protons * a_water**water for protons, water in form.factors]
        activity = _metals(form, free, inverse, factors, species, sums)
        held = _groups(form, amounts, inverse, factors, activity, species, sums)
        moved = _follow(free, amounts, held)
        move = -max(sums.positive, sums.negative) * log(sums.positive / sums.negative) / sums.slope
        reach = 0.5 * abs(last) if move * last < 0.0 else min(1.5 * reach, longest)
        last = min(max(move, -reach), reach)
        ln_ah += last
        stronger = 0.5 * sums.twice_strength
        moved = max(moved, abs(move), 0.1 * abs(stronger - strength) / strength)
        strength, a_water = stronger, 1.0 - WATER_PER_SOLUTE * sums.solutes
        if moved < tolerance:
            found = dict(zip(form.keys, species, strict=True))
            return ln_ah, strength, {"H+": acid, "OH-": base, **found}
    return None


def _metals(
    form: Flat,
    free: list[float],
    inverse: list[float],
    factors: list[float],
    species: list[float],
    sums: _Sums,
) -> list[float]:
    """Spread what the ligands leave of the metals; return their activities."""
    activity = []
    for at, terms in form.metals:
        whole = lost = 0.0
        for place, kind, constant, factor, protons, _, _ in terms:
            weight = constant * inverse[kind] * factors[factor]
            if protons:
                lost += weight
            whole += weight
            species[place] = weight
        scale = free[at] / whole
        activity.append(scale)
        for place, _, _, _, _, charge, _ in terms:
            species[place] = amount = species[place] * scale
            sums.solutes += amount
            sums.positive += amount * charge
            sums.twice_strength += amount * charge * charge
        lost *= scale
        sums.slope += lost * (1.0 - lost / (free[at] + TINY))
    return activity


def _groups(
    form: Flat,
    amounts: list[float],
    inverse: list[float],
    factors: list[float],
    activity: list[float],
    species: list[float],
    sums: _Sums,
) -> list[float]:
    """Spread the ligands; return what they hold of each metal."""
    held = [0.0] * len(activity)
    positive = negative = twice = solutes = slope = 0.0
    for at, terms in form.groups:
        whole = 0.0
        for place, kind, constant, factor, _, _, metal in terms:
            weight = constant * inverse[kind] * factors[factor]
            if metal >= 0:
                weight *= activity[metal]
            whole += weight
            species[place] = weight
        scale, mean, square = amounts[at] / whole, 0.0, 0.0
        for place, _, _, _, protons, charge, metal in terms:
            species[place] = amount = species[place] * scale
            charged = amount * charge
            twice += charged * charge
            if charge > 0:
                positive += charged
            else:
                negative -= charged
            if protons:
                mean += amount * protons
                square += amount * protons * protons
            if metal >= 0:
                held[metal] += amount
        solutes += amounts[at]
        slope += square - mean * mean / (amounts[at] + TINY)
    sums.positive += positive
    sums.negative += negative
    sums.twice_strength += twice
    sums.solutes += solutes
    sums.slope += slope
    return held


def _follow(free: list[float], amounts: list[float], held: list[float]) -> float:
    """Take what the ligands hold out of what is free, in place; return the largest move."""
    moved = 0.0
    for at, before in enumerate(free):
        new = amounts[at] / (1.0 + held[at] / (before + TINY))
        moved = max(moved, abs(new - before) / (amounts[at] + TINY))
        free[at] = new
    return moved
