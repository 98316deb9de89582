"""How each total spreads over its species at a given activity of hydrogen ions.

A total that takes up protons or metals (a ligand: carbonate, phosphate, silica, ammonia, ...)
spreads in proportion to w = K aH^h aW^w aM / g; a metal has its own free and hydrolyzed forms and
what the ligands hold of it. Written once for a number and for arrays of waters (chemistry.arrays).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from chemistry import equilibria
from chemistry.activity import LN_10, Kind
from chemistry.arrays import Floats, exp
from chemistry.equilibria import KELVIN
from chemistry.solvent import debye_hueckel

WEAK_METALS = ("Na+", "K+", "NH4+")
"""Held so weakly that putting the last answer in converges."""
STRONG_METALS = ("Ca+2", "Mg+2")
"""Solved together with the hydrogen ion by Newton's method."""
METALS = (*WEAK_METALS, *STRONG_METALS)
TINY = 1e-300
"""mol/kg, beside a total that may be zero."""
START_LN_AH = -7.0 * LN_10
START_STRENGTH = 1e-7
"""mol/kg; both of pure water, where every solution starts from."""


@dataclass(frozen=True)
class Term:
    """One species inside its group: how it depends on what is being solved for."""

    key: str
    charge: int
    protons: int
    water: int
    metal: str
    kind: int
    constant: Any
    """K itself, at the temperature of the plan."""


@dataclass(frozen=True)
class Group:
    """The species that one total spreads over."""

    component: str
    terms: tuple[Term, ...]


@dataclass(frozen=True)
class Plan:
    """What there is to solve for one set of components at one temperature (or one for each)."""

    water: tuple[Term, Term]
    """H+ and OH-."""
    metals: tuple[Group, ...]
    ligands: tuple[Group, ...]
    kinds: tuple[Kind, ...]
    debye_hueckel: tuple[Floats, Floats]
    protons: tuple[int, ...]
    """Powers of the hydrogen activity that the terms need."""


def plan_for(components: frozenset[str], temp_c: Floats, *, strong_pairs: bool = False) -> Plan:
    """Return the plan; kept where the temperature is one number."""
    if isinstance(temp_c, float):
        return _kept_plan(components, temp_c, strong_pairs)
    return _plan(components, temp_c, strong_pairs)


@lru_cache(maxsize=256)
def _kept_plan(components: frozenset[str], temp_c: float, strong_pairs: bool) -> Plan:
    return _plan(components, temp_c, strong_pairs)


def _plan(components: frozenset[str], temp_c: Floats, strong_pairs: bool) -> Plan:
    rows = equilibria.table(strong_pairs=strong_pairs)
    kinds: dict[Kind, int] = {}

    def term(row: equilibria.Species) -> Term:
        kind = Kind(row.charge, row.ion_size, row.linear)
        constant = exp(equilibria.formation(row, temp_c + KELVIN, rows) * LN_10)
        place = kinds.setdefault(kind, len(kinds))
        return Term(row.key, row.charge, row.protons, row.water, row.metal, place, constant)

    def group(component: str) -> Group:
        own = (row for row in rows.values() if row.component == component)
        return Group(
            component, tuple(term(row) for row in own if not row.metal or row.metal in components)
        )

    water = (term(rows["H+"]), term(rows["OH-"]))
    metals = tuple(group(each) for each in METALS if each in components)
    ligands = tuple(group(each) for each in sorted(components - set(METALS)))
    every = [each for found in (*metals, *ligands) for each in found.terms]
    protons = tuple(sorted({each.protons for each in every}))
    return Plan(water, metals, ligands, tuple(kinds), debye_hueckel(temp_c), protons)


@dataclass
class Spread:
    """The species at one trial: molalities, and the sums that Newton's method needs."""

    molal: dict[str, Any]
    by_charge: dict[int, Any]
    proton_slope: Any
    """d(charge) / d(ln aH) of everything that takes up protons, all of it positive."""
    own: dict[str, Any]
    """Of each metal, what is free or hydrolyzed, mol/kg."""
    held: dict[str, Any]
    """Of each metal, what the ligands hold, mol/kg."""
    covariance: dict[tuple[str, str], Any]
    """Of what is held with protons ("H+") and with each other, for the metals solved jointly."""


def spread(
    plan: Plan,
    totals: Mapping[str, Any],
    a_h: Any,
    a_water: Any,
    a_metal: Mapping[str, Any],
    gammas: list[Any],
) -> Spread:
    """Return the species of all totals at the activities given.

    `totals` mol/kg by component; of a metal, what is free or hydrolyzed follows from `a_metal`.
    """
    powers: dict[int, Any] = {each: a_h**each for each in plan.protons}
    found = Spread({}, {}, 0.0, {}, dict.fromkeys(a_metal, 0.0), {})
    _water(plan, found, a_h, a_water, gammas)
    for group in plan.metals:
        _metal(group, found, a_metal[group.component], powers, a_water, gammas)
    for group in plan.ligands:
        weights = [_weight(term, powers, a_water, gammas) for term in group.terms]
        weights = [
            weight * a_metal[term.metal] if term.metal else weight
            for term, weight in zip(group.terms, weights, strict=True)
        ]
        _ligand(group, found, totals[group.component], weights)
    return found


def _weight(term: Term, powers: Mapping[int, Any], a_water: Any, gammas: list[Any]) -> Any:
    weight = term.constant / gammas[term.kind]
    if term.protons:
        weight = weight * powers[term.protons]
    if term.water:
        weight = weight * a_water**term.water
    return weight


def _water(plan: Plan, found: Spread, a_h: Any, a_water: Any, gammas: list[Any]) -> None:
    hydrogen, hydroxide = plan.water
    acid = a_h / gammas[hydrogen.kind]
    base = hydroxide.constant * a_water / a_h / gammas[hydroxide.kind]
    found.molal |= {"H+": acid, "OH-": base}
    found.by_charge |= {1: acid, -1: base}
    found.proton_slope = acid + base


def _metal(
    group: Group,
    found: Spread,
    activity: Any,
    powers: Mapping[int, Any],
    a_water: Any,
    gammas: list[Any],
) -> None:
    name, strong = group.component, group.component in STRONG_METALS
    amounts = [_weight(term, powers, a_water, gammas) * activity for term in group.terms]
    _count(group, found, amounts)
    found.own[name] = whole = sum(amounts[1:], amounts[0])
    lost: Any = sum(amounts[1:], 0.0)
    if strong:
        found.proton_slope = found.proton_slope + lost
        found.covariance |= {(name, "H+"): -lost, (name, name): whole}
    else:
        found.proton_slope = found.proton_slope + lost * (whole - lost) / larger_than_zero(whole)


def _count(group: Group, found: Spread, amounts: list[Any]) -> None:
    for term, amount in zip(group.terms, amounts, strict=True):
        found.molal[term.key] = amount
        found.by_charge[term.charge] = found.by_charge.get(term.charge, 0.0) + amount


def _ligand(group: Group, found: Spread, total: Any, weights: list[Any]) -> None:
    scale = total / sum(weights[1:], weights[0])
    amounts = [weight * scale for weight in weights]
    _count(group, found, amounts)
    mean = square = 0.0
    by_metal: dict[str, tuple[Any, Any]] = {}
    for term, amount in zip(group.terms, amounts, strict=True):
        if term.protons:
            mean = mean + amount * term.protons
            square = square + amount * term.protons**2
        if term.metal:
            held, with_protons = by_metal.get(term.metal, (0.0, 0.0))
            by_metal[term.metal] = (held + amount, with_protons + amount * term.protons)
    of_total = 1.0 / larger_than_zero(total)
    found.proton_slope = found.proton_slope + square - mean * mean * of_total
    for metal, (held, with_protons) in by_metal.items():
        found.held[metal] = found.held[metal] + held
        if metal in STRONG_METALS:
            _covariances(
                found, metal, held, by_metal, with_protons - mean * held * of_total, of_total
            )


def _covariances(
    found: Spread,
    metal: str,
    held: Any,
    by_metal: Mapping[str, tuple[Any, Any]],
    with_protons: Any,
    of_total: Any,
) -> None:
    """Add what this ligand says of how `metal` goes with protons and with the other metal."""
    found.covariance[metal, "H+"] = found.covariance.get((metal, "H+"), 0.0) + with_protons
    for other, (other_held, _) in by_metal.items():
        if other in STRONG_METALS:
            own = held if other == metal else 0.0
            place = (metal, other)
            found.covariance[place] = (
                found.covariance.get(place, 0.0) + own - held * other_held * of_total
            )


def larger_than_zero(value: Any) -> Any:
    """Return the value, or the smallest number that can be divided by where it is zero."""
    return value + TINY
