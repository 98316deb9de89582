"""Invented boilers for the tests of the planner, fixed and at random."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from chemistry.dosing_plan import CONGRUENT, FREE_CAUSTIC
from chemistry.errors import Refused
from chemistry.planner_case import Aim, PlannerCase, Stock, Valve
from chemistry.planner_water import water_behind
from chemistry.stop_branch import Seen, StopSample

SAMPLE = StopSample("boiler_water", "steaming", {"ph": Seen(10.9, 0.1, low=10.5, high=11.5)})
TESTED = {"phosphate": "PO4", "sulfite": "SO3", "chloride": "Cl", "silica": "SiO2"}
AIMS = {
    "ph": Aim(10.9, 0.1, 10.5, 11.5, 11.0),
    "conductivity": Aim(1500.0, 45.0, None, 1300.0, 1100.0),
    "phosphate": Aim(20.0, 2.0, 30.0, 60.0, 40.0),
    "sulfite": Aim(12.0, 2.0, 20.0, 40.0, 30.0),
    "chloride": Aim(150.0, 8.0, None, 200.0, 150.0),
    "silica": Aim(20.0, 2.0, None, 90.0, 60.0),
}
STOCKS = (
    Stock("tsp_crystals", 100.0, ("drum",)),
    Stock("caustic_soda", 50.0, ("drum", "feed_line")),
    Stock("sodium_sulfite", 97.0, ("deaerator",)),
)
FEED = {"Na": 8.0, "Cl": 8.0, "SO4": 6.0, "SiO2": 1.0}
CONTINUOUS = Valve("continuous", most_kg_h=1500.0)
BOTTOM = Valve("bottom", blow_kg=600.0)


def water_of(aims: dict[str, Aim]) -> dict[str, float]:
    """Return the water behind the values of some aims."""
    tested = {formula: aims[key].value for key, formula in TESTED.items() if key in aims}
    return water_behind(aims["ph"].value, aims["conductivity"].value, tested)


STEAMING = PlannerCase(
    sample=SAMPLE,
    aims=AIMS,
    water=water_of(AIMS),
    feed=FEED,
    state="steaming",
    water_mass_kg=12_000.0,
    steam_kg_h=8000.0,
    gauge_kpa=1000.0,
    working_psig=150.0,
    valves=(CONTINUOUS,),
    stocks=STOCKS,
    program=FREE_CAUSTIC,
)
BANKED = replace(
    STEAMING,
    state="banked",
    steam_kg_h=None,
    fired=False,
    mixed=True,
    valves=(BOTTOM,),
    level_span_kg=900.0,
    tank_kg=1000.0,
    tank_recovery_h=0.25,
)
RATIO_AIMS = {
    "ph": Aim(9.35, 0.05, 9.4, 10.2, 9.8),
    "conductivity": Aim(60.0, 2.0, None, 150.0, 80.0),
    "phosphate": Aim(6.0, 0.4, 8.0, 20.0, 14.0),
    "sodium_to_phosphate": Aim(2.359, 0.1, 2.3, 2.9, 2.6),
}
CONGRUENT_CASE = replace(
    STEAMING,
    aims=RATIO_AIMS,
    water=water_of(RATIO_AIMS),
    feed={"Na": 0.02, "Cl": 0.02},
    stocks=(
        Stock("tsp_anhydrous", 100.0, ("drum",)),
        Stock("dsp_anhydrous", 100.0, ("drum",)),
        Stock("caustic_soda", 50.0, ("drum",)),
    ),
    program=CONGRUENT,
    allowed=frozenset({"dsp_anhydrous", "caustic_soda"}),
    working_psig=850.0,
    gauge_kpa=5860.0,
)


def with_values(case: PlannerCase, **values: float) -> PlannerCase:
    """Return a case with other readings, and the water behind them."""
    aims = dict(case.aims) | {
        key: replace(case.aims[key], value=value) for key, value in values.items()
    }
    return replace(case, aims=aims, water=water_of(aims))


def at_random(seed: int) -> Iterator[PlannerCase]:
    """Yield boilers without end whose readings lie about their ranges, some in and some out."""
    rng = np.random.default_rng(seed)
    while True:
        values = {
            "ph": rng.uniform(10.2, 11.6),
            "conductivity": rng.uniform(700.0, 2200.0),
            "phosphate": rng.uniform(8.0, 75.0),
            "sulfite": rng.uniform(6.0, 50.0),
            "chloride": rng.uniform(40.0, 160.0),
            "silica": rng.uniform(5.0, 60.0),
        }
        kind = STEAMING if rng.random() < 0.6 else BANKED
        feed = {key: mg * rng.uniform(0.3, 1.2) for key, mg in FEED.items()}
        feed["Na"] = 23.0 * (feed["Cl"] / 35.5 + feed["SO4"] / 48.0) * 1.02
        case = replace(kind, feed=feed, water_mass_kg=rng.uniform(6000.0, 40_000.0))
        try:
            case = with_values(case, **values)
        except Refused:  # no such water: pH and the ions conduct more than was drawn
            continue
        yield case
