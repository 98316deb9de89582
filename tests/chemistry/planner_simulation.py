"""A boiler that carries a plan out, apart from the planner: what is true differs from what is read.

Totals are moved by the balance of the drum, step by step, and the water is solved by
chemistry.solve; no line or slope of the planner comes in.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from chemistry.phosphate import sodium_to_phosphate
from chemistry.planner_case import Aim, PlannerCase
from chemistry.planner_chemicals import PRODUCTS
from chemistry.planner_plan import RemedyPlan
from chemistry.solve import equilibrate
from chemistry.titrated import alkalinity_of
from tests.chemistry.planner_cases import TESTED, water_of

STEPS = 400


@dataclass(frozen=True)
class Truth:
    """By how much the true figures differ from the stated ones, as factors."""

    mass: float = 1.0
    flow: float = 1.0
    feed: float = 1.0
    weighed: float = 1.0


def carried_out(
    case: PlannerCase, plan: RemedyPlan, water: Mapping[str, float], truth: Truth = Truth()
) -> dict[str, float]:
    """Return the water, mg/kg, after a plan was carried out on a boiler of `water`."""
    mass = case.mass * truth.mass
    formulas = sorted({*water, *(case.feed or {}), "Na", "PO4", "SO3"})
    now = np.array([water.get(each, 0.0) for each in formulas])
    feed = truth.feed * np.array([(case.feed or {}).get(each, 0.0) for each in formulas])
    if plan.valve == "continuous":
        rate, step = plan.rate_kg_h * truth.flow, plan.hours / STEPS
        for _ in range(STEPS):  # the midpoint rule on M dC/dt = (E + B) Cf - B C

            def slope(c):
                return ((case.steam + rate) * feed - rate * c) / mass

            now = now + step * slope(now + 0.5 * step * slope(now))
    for count in range(plan.blows):
        if count:
            now = now + case.steam * feed * (plan.hours / (plan.blows - 1)) / mass
        share = plan.blow_kg * truth.flow / mass
        now = now - share * (now - feed)
    found = dict(zip(formulas, now.tolist(), strict=True))
    for dose in plan.doses:
        brings = PRODUCTS[dose.key].brings(dose.strength_percent / 100.0)
        for formula, part in brings.items():
            found[formula] += dose.kg * truth.weighed * part * 1e6 / mass
    return found


def reads(water: Mapping[str, float], keys: Mapping[str, Aim]) -> dict[str, float]:
    """Return what a perfect bench would read of a water."""
    solved = equilibrate(water)
    found = {"ph": float(solved.ph), "conductivity": float(solved.conductivity)}
    found |= {key: water.get(formula, 0.0) for key, formula in TESTED.items()}
    if {"p_alkalinity", "m_alkalinity"} & set(keys):
        alkalinity = alkalinity_of(water)
        found |= {"p_alkalinity": float(alkalinity.p), "m_alkalinity": float(alkalinity.m)}
    if "sodium_to_phosphate" in keys:
        others = {"sio2": water.get("SiO2", 0.0), "carbon": water.get("C", 0.0)}
        ratio = sodium_to_phosphate(found["ph"], water["PO4"], **others)
        found["sodium_to_phosphate"] = float(ratio.ratio)
    return {key: found[key] for key in keys}


def misread(case: PlannerCase, rng: np.random.Generator) -> PlannerCase:
    """Return a case as a bench with errors sees it: each reading off by half its expanded
    uncertainty, one sigma, and the water behind those readings."""
    aims = {
        key: replace(aim, value=float(rng.normal(aim.value, aim.expanded / 2.0)))
        for key, aim in case.aims.items()
    }
    return replace(case, aims=aims, water=water_of(aims))


def in_range(values: Mapping[str, float], aims: Mapping[str, Aim]) -> bool:
    return all(
        replace(aims[key], value=value).side.value == "in_range" for key, value in values.items()
    )
