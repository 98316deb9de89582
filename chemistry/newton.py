"""How uneven the charges of a trial are, and how that changes with what is sought.

At a fixed ionic strength the balances of charge and of the strongly held metals are the gradient of
a convex function of ln aH and of the logarithms of the free metals, so they have one answer. What
changes with what are variances and covariances: of the charges that a ligand's molecules carry, and
of whether they hold a metal. Charges are counted as if no metal were held: a metal's total with its
own, a ligand's with its protons alone; together that is the same.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from chemistry.speciation import Group, Plan, Weights, powers_of


@dataclass
class Sums:
    """What Newton's method needs to know of a trial, mol or equivalents per kg."""

    up: Any
    """Positive charges."""
    down: Any
    """Negative charges."""
    slope: Any
    """d(charge) / d(ln aH), above zero."""
    counted: dict[str, Any] = field(default_factory=dict)
    """Of each strongly held metal, what is free, hydrolyzed or held."""
    covariance: dict[tuple[str, str], Any] = field(default_factory=dict)
    """Of such a metal with the charges ("H+") and with each other."""


@dataclass(frozen=True)
class Trial:
    """What is tried, and what stays as it is meanwhile."""

    totals: Mapping[str, Any]
    free: Mapping[str, Any]
    """What ligands leave of each weakly held metal, mol/kg."""
    a_h: Any
    a_strong: Mapping[str, Any]
    """Activities of the strongly held metals."""
    weights: Weights


def sums_of(plan: Plan, trial: Trial) -> Sums:
    """Return the sums of a trial."""
    powers = powers_of(trial.a_h)
    acid, base = (
        weight * power
        for weight, power in zip(trial.weights["water"], (trial.a_h, powers[-1]), strict=True)
    )
    found = Sums(acid, base, acid + base)
    for group in plan.metals:
        shares = _shares(group, trial, powers)
        if group.component in trial.a_strong:
            _strong_metal(group, found, trial, shares)
        else:
            _weak_metal(group, found, trial, shares)
    for group in plan.ligands:
        if len(group.bundles) == 1:
            found.down = found.down + abs(group.charge) * trial.totals[group.component]
        else:
            _ligand(group, found, trial, _shares(group, trial, powers))
    return found


def _shares(group: Group, trial: Trial, powers: Mapping[int, Any]) -> list[Any]:
    """Return how much there is of each bundle beside the others."""
    weights, found = trial.weights[group.component], []
    for bundle in group.bundles:
        first, *others = bundle.places
        share = weights[first]
        for place in others:
            share = share + weights[place]
        if bundle.protons:
            share = share * powers[bundle.protons]
        found.append(share * trial.a_strong[bundle.metal] if bundle.metal else share)
    return found


def _weak_metal(group: Group, found: Sums, trial: Trial, shares: list[Any]) -> None:
    """Count the charges of a metal but for what has given off its proton (ammonia)."""
    total = trial.totals[group.component]
    if len(shares) == 1:
        found.up = found.up + total
        return
    part = sum(shares[1:]) / sum(shares)
    lost = trial.free[group.component] * part
    found.up = found.up + (total - lost)
    found.slope = found.slope + lost * (1.0 - part)


def _strong_metal(group: Group, found: Sums, trial: Trial, shares: list[Any]) -> None:
    """Count the charges of a metal's total and what it lost of them by hydrolysis."""
    name = group.component
    free, *hydrolyzed = (share * trial.a_strong[name] for share in shares)
    lost = sum(hydrolyzed)
    found.up = found.up + group.charge * trial.totals[name]
    found.down = found.down + lost
    found.slope = found.slope + lost
    found.counted[name] = free + lost
    found.covariance |= {(name, "H+"): -lost, (name, name): free + lost}


def _ligand(group: Group, found: Sums, trial: Trial, shares: list[Any]) -> None:
    """Count the charges of a ligand, and how they spread over its molecules."""
    charged = [
        share * bundle.charges if bundle.charges > 1 else share
        for bundle, share in zip(group.bundles, shares, strict=True)
        if bundle.charges
    ]
    charges = [bundle.charges for bundle in group.bundles if bundle.charges]
    squares = [
        share * charge if charge > 1 else share
        for share, charge in zip(charged, charges, strict=True)
    ]
    total, whole = trial.totals[group.component], sum(shares)
    mean, scale = sum(charged) / whole, total / whole
    charge = mean * total
    if group.negative:
        found.down = found.down + charge
    else:
        found.up = found.up + charge
    found.slope = found.slope + (sum(squares) * scale - mean * charge)
    _hold(group, found, shares, scale, whole, -mean if group.negative else mean)


def _hold(group: Group, found: Sums, shares: list[Any], scale: Any, whole: Any, mean: Any) -> None:
    """Add what a ligand says of how strongly held metals go with charges and with each other."""
    part_held: dict[str, Any] = {}
    for bundle, share in zip(group.bundles, shares, strict=True):
        if bundle.metal:
            amount, part = share * scale, share / whole
            charge = -bundle.charges if group.negative else bundle.charges
            place = (bundle.metal, "H+")
            found.covariance[place] = found.covariance[place] + (charge - mean) * amount
            found.counted[bundle.metal] = found.counted[bundle.metal] + amount
            place = (bundle.metal, bundle.metal)
            found.covariance[place] = found.covariance[place] + amount
            part_held[bundle.metal] = part_held.get(bundle.metal, 0.0) + part
    for metal, part in part_held.items():
        for other, others in part_held.items():
            place = (metal, other)
            both = part * others * (scale * whole)
            found.covariance[place] = found.covariance.get(place, 0.0) - both
