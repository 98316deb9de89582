"""How each total spreads over its species at a given activity of hydrogen ions.

A total that takes up protons or metals (a ligand: carbonate, phosphate, silica, ammonia, ...)
spreads in proportion to w = K aH^h aW^w aM / g; a metal has its own free and hydrolyzed forms and
what the ligands hold of it. Written once for a number and for arrays of waters (chemistry.arrays).

K aW^w aM / g of a weakly held metal changes little from step to step; what is left of w, the powers
of aH, is worked anew at each trial (chemistry.newton).
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
"""mol/kg, beside a total that may be zero: rule of our own."""
START_LN_AH = -7.0 * LN_10
START_STRENGTH = 1e-7
"""mol/kg; both of pure water, from memory."""
START_AWAY = 2.5 * LN_10
"""How far from there on, where strong bases or acids prevail."""
NEAR_PH_8: Mapping[str, int] = {"CO3-2": -1, "PO4-3": -2}
"""Charge of totals that have taken up protons there; of all others that of the master species. By
the constants of equilibria.csv; only where the search begins, rule of our own."""


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
class Bundle:
    """The terms of a ligand that change alike with hydrogen ions and strongly held metals."""

    protons: int
    metal: str
    """Only one that is held strongly: the others belong to what changes little."""
    charges: int
    """Of the ligand with its protons, without whatever metal it holds; without sign."""
    places: tuple[int, ...]
    """Of its terms in the group."""


@dataclass(frozen=True)
class Group:
    """The species that one total spreads over."""

    component: str
    terms: tuple[Term, ...]
    charge: int
    """Of the master species."""
    negative: bool
    """Whether its bundles are anions, or cations: no ligand makes both."""
    bundles: tuple[Bundle, ...]


@dataclass(frozen=True)
class Plan:
    """What there is to solve for one set of components at one temperature (or one for each)."""

    water: tuple[Term, Term]
    """H+ and OH-."""
    metals: tuple[Group, ...]
    ligands: tuple[Group, ...]
    kinds: tuple[Kind, ...]
    debye_hueckel: tuple[Floats, Floats]


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
        terms = tuple(term(row) for row in own if not row.metal or row.metal in components)
        charge = rows[component].charge
        negative = min(charge + each.protons for each in terms) < 0
        return Group(component, terms, charge, negative, _bundles(charge, terms))

    return Plan(
        water=(term(rows["H+"]), term(rows["OH-"])),
        metals=tuple(group(each) for each in METALS if each in components),
        ligands=tuple(group(each) for each in sorted(components - set(METALS))),
        kinds=tuple(kinds),
        debye_hueckel=debye_hueckel(temp_c),
    )


def _bundles(charge: int, terms: tuple[Term, ...]) -> tuple[Bundle, ...]:
    places: dict[tuple[int, str], tuple[int, ...]] = {}
    for place, term in enumerate(terms):
        alike = (term.protons, term.metal if term.metal in STRONG_METALS else "")
        places[alike] = (*places.get(alike, ()), place)
    return tuple(
        Bundle(protons, metal, abs(charge + protons), found)
        for (protons, metal), found in places.items()
    )


Weights = Mapping[str, list[Any]]
"""Of each component, by its terms: K aW^w / g, times the activity of a weakly held metal."""


def weights_of(
    plan: Plan, gammas: list[Any], a_h: Any, a_water: Any, free: Mapping[str, Any]
) -> tuple[dict[str, list[Any]], dict[str, Any]]:
    """Return what changes little of how each total spreads, and the activities of the weakly held
    metals; `free` is what ligands leave of those, mol/kg."""
    inverse = [1.0 / gamma for gamma in gammas]
    a_metal: dict[str, Any] = {}

    def weight(term: Term) -> Any:
        found = term.constant * inverse[term.kind]
        if term.water:
            found = found * a_water**term.water
        return found * a_metal[term.metal] if term.metal in a_metal else found

    found = {"water": [weight(term) for term in plan.water]}
    powers = powers_of(a_h)
    for group in plan.metals:
        found[group.component] = own = [weight(term) for term in group.terms]
        if group.component in free:
            whole = own[0]
            for term, share in zip(group.terms[1:], own[1:], strict=True):
                whole = whole + share * powers[term.protons]
            a_metal[group.component] = free[group.component] / whole
    for group in plan.ligands:
        alone = len(group.terms) == 1
        found[group.component] = [1.0] if alone else [weight(term) for term in group.terms]
    return found, a_metal


def start_of(plan: Plan, totals: Mapping[str, Any]) -> tuple[Any, Any]:
    """Return ln aH and the ionic strength to begin with: the totals were ions as near pH 8."""
    excess: Any = 0.0
    twice: Any = 0.0
    for group in (*plan.metals, *plan.ligands):
        charge = NEAR_PH_8.get(group.component, group.charge)
        share = charge * totals[group.component]
        excess, twice = excess + share, twice + charge * share
    alkaline = (excess > 0.0) * 1.0 - (excess < 0.0) * 1.0
    return START_LN_AH - START_AWAY * alkaline, START_STRENGTH + 0.5 * twice


def powers_of(a_h: Any) -> dict[int, Any]:
    """Return the powers of the hydrogen activity that species take up or give off."""
    less = 1.0 / a_h
    square = a_h * a_h
    return {-2: less * less, -1: less, 1: a_h, 2: square, 3: square * a_h}


@dataclass
class Spread:
    """The species at one trial: molalities, and sums over them."""

    molal: dict[str, Any]
    by_charge: dict[int, Any]
    held: dict[str, Any]
    """Of each metal, what the ligands hold, mol/kg."""


def spread(
    plan: Plan, totals: Mapping[str, Any], a_h: Any, a_metal: Mapping[str, Any], weights: Weights
) -> Spread:
    """Return the species of all totals at the activities given.

    `totals` mol/kg by component; of a metal, what is free or hydrolyzed follows from `a_metal`.
    """
    powers = powers_of(a_h)
    acid, base = weights["water"]
    found = Spread({"H+": a_h * acid, "OH-": powers[-1] * base}, {}, dict.fromkeys(a_metal, 0.0))
    found.by_charge |= {1: found.molal["H+"], -1: found.molal["OH-"]}
    for group in plan.metals:
        for term, weight in zip(group.terms, weights[group.component], strict=True):
            amount = weight * a_metal[group.component]
            _count(found, term, amount * powers[term.protons] if term.protons else amount)
    for group in plan.ligands:
        _ligand(group, found, totals[group.component], weights[group.component], a_metal, powers)
    return found


def _count(found: Spread, term: Term, amount: Any) -> None:
    found.molal[term.key] = amount
    found.by_charge[term.charge] = found.by_charge.get(term.charge, 0.0) + amount
    if term.metal:
        found.held[term.metal] = found.held[term.metal] + amount


def _ligand(
    group: Group,
    found: Spread,
    total: Any,
    weights: list[Any],
    a_metal: Mapping[str, Any],
    powers: Mapping[int, Any],
) -> None:
    shares = list(weights)
    for place, term in enumerate(group.terms):
        if term.protons:
            shares[place] = shares[place] * powers[term.protons]
        if term.metal in STRONG_METALS:
            shares[place] = shares[place] * a_metal[term.metal]
    scale = total / sum(shares[1:], shares[0])
    for term, share in zip(group.terms, shares, strict=True):
        _count(found, term, share * scale)


def larger_than_zero(value: Any) -> Any:
    """Return the value, or the smallest number that can be divided by where it is zero."""
    return value + TINY
