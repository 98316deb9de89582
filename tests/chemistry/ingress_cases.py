"""Invented waters of an invented plant, and leaks made of them, for the tests of the ingress
analysis. Chemicals and the sea are what they are."""

from dataclasses import dataclass, replace

import numpy as np

from chemistry.ingress import Change
from chemistry.ingress_signature import FORMULA_OF, Water, precipitated
from chemistry.ingress_sources import Source, chemical, concentrating, seawater
from chemistry.totals import COMPONENT_OF, molar_mass

SOURCES = (
    seawater(),
    Source(
        "cooling",
        "cooling_water",
        {"Na": 180.0, "Ca": 160.0, "Mg": 40.0, "K": 15.0, "Cl": 220.0, "SO4": 560.0,
         "HCO3": 120.0, "SiO2": 45.0, "PO4": 6.0},
    ),
    Source(
        "river",
        "raw_water",
        {"Na": 22.0, "Ca": 55.0, "Mg": 11.0, "K": 3.0, "Cl": 28.0, "SO4": 38.0, "HCO3": 170.0,
         "SiO2": 9.0},
    ),
    Source("brine", "softener_brine", {"Na": 26000.0, "Ca": 4200.0, "Mg": 900.0, "Cl": 49000.0}),
    chemical("caustic", "caustic", {"Na": 1.0}, 39.997, 0.5),
    chemical("acid", "acid", {"SO4": 1.0}, 98.08, 0.93),
)  # fmt: skip
BOILER_SOURCES = (
    *SOURCES,
    chemical("tsp", "overdose", {"Na": 3.0, "PO4": 1.0}, 163.94),
    Source("return", "hideout_return", {"Na": 3.1e5, "PO4": 3e5, "SO4": 3e5, "SiO2": 5e4}),
)
BOILER = Water({"Na": 60.0, "Cl": 15.0, "SO4": 20.0, "PO4": 25.0, "SiO2": 8.0, "K": 2.0}, True)
CONDENSATE = Water({"Na": 0.02, "Cl": 0.02, "SO4": 0.02, "SiO2": 0.02})
COMPONENTS = ("Na", "K", "Ca", "Mg", "Cl", "SO4", "PO4", "SiO2", "C")
"""What a full analysis finds."""


def sources_of(water):
    """Return what may have got into one of the two waters, each figure uncertain by 10 %."""
    every = (*BOILER_SOURCES, concentrating(water.before)) if water.boiler else SOURCES
    return tuple(replace(source, doubt=0.10) for source in every)


@dataclass(frozen=True)
class Leak:
    """A leak as it was, and the changes found."""

    keys: frozenset[str]
    amount: float
    """Of the last of them, kg per kg of water."""
    changes: dict[str, Change]


def leaks(water, count, together, *, noise=0.05, doubt=0.10, seed=1):
    """Yield leaks of `together` sources. Each brings of what it holds most from half to four times
    the mean of what the water held; each figure of its fingerprint is off by `doubt`, each result
    by `noise` and by 0.3 % of that mean, standard."""
    rng = np.random.default_rng(seed)
    sources = sources_of(water)
    mean = sum(water.before.values()) / len(water.before)
    for _ in range(count):
        picked = rng.choice(len(sources), together, replace=False)
        mixed = dict(water.before)
        for source in (sources[place] for place in picked):
            amount = mean * np.exp(rng.uniform(np.log(0.5), np.log(4.0)))
            amount /= max(source.holds.values())
            for formula, held in source.holds.items():
                more = amount * held * (1.0 + doubt * rng.standard_normal())
                mixed[formula] = mixed.get(formula, 0.0) + max(more, 0.0)
        before, after = _components(water.before), _components(_settled(mixed, water))
        u = np.hypot(noise * after, 0.003 * mean)
        found = after - before + u * rng.standard_normal(len(u))
        changes = {key: Change(*pair) for key, *pair in zip(COMPONENTS, found, u, strict=True)}
        keys = frozenset(sources[place].key for place in picked)
        yield Leak(keys, float(amount), changes)


def _settled(mixed, water):
    left = precipitated(mixed) if water.boiler else mixed
    return {key: float(value) for key, value in left.items()}


def _components(totals):
    """Count formulas up by component, not by the code that is tested."""
    found = []
    for formula in COMPONENTS:
        wanted = COMPONENT_OF[FORMULA_OF.get(formula, formula)]
        found.append(
            sum(
                value / molar_mass(key) * molar_mass(formula)
                for key, value in totals.items()
                if COMPONENT_OF[key] == wanted
            )
        )
    return np.array(found)
