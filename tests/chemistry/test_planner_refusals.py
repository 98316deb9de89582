"""What the remedy planner refuses, each with its reason."""

import math
from dataclasses import replace
from itertools import islice

import numpy as np
import pytest

from chemistry import planner_words as words
from chemistry.errors import Refused
from chemistry.planner_case import Aim, Stock
from chemistry.planner_plan import plan_remedy
from chemistry.stop_branch import Seen, StopSample
from chemistry.verdict import Side
from tests.chemistry.planner_cases import (
    AIMS,
    BANKED,
    CONGRUENT_CASE,
    SAMPLE,
    STEAMING,
    STOCKS,
    at_random,
    with_values,
)


def refusal(case, **changes):
    with pytest.raises(Refused) as caught:
        plan_remedy(replace(case, **changes))
    assert str(caught.value)
    return caught.value


def test_what_the_stop_branch_finds_comes_first():
    acid = StopSample("boiler_water", "steaming", {"ph": Seen(8.0, 0.1, side=Side.LOW)})
    error = refusal(STEAMING, sample=acid)
    assert error.code == "stop_first" and error.params["label"] in str(error)
    oil = replace(SAMPLE, appearance="oil_film")
    assert refusal(STEAMING, sample=oil).code == "stop_first"


@pytest.mark.parametrize("missing", ["water_mass_kg", "steam_kg_h", "feed", "gauge_kpa"])
def test_a_missing_figure_is_named(missing):
    error = refusal(STEAMING, **{missing: None})
    assert error.missing == (missing,) and words.MISSING_WORDS[missing] in str(error)


@pytest.mark.parametrize("missing", ["mixed", "fired"])
def test_a_banked_boiler_needs_more(missing):
    assert refusal(BANKED, **{missing: None}).missing == (missing,)


def test_ph_and_conductivity_are_needed():
    aims = {key: AIMS[key] for key in ("phosphate", "sulfite")}
    assert refusal(STEAMING, aims=aims).missing == ("ph", "conductivity")


def test_a_ratio_needs_phosphate():
    water = {key: mg for key, mg in CONGRUENT_CASE.water.items() if key != "PO4"}
    assert refusal(CONGRUENT_CASE, water=water).missing == ("phosphate",)


@pytest.mark.parametrize(
    ("key", "edge"),
    # rule of our own: 0.1 of pH and a quarter of anything else beside twice the uncertainty
    [
        ("ph", 0.1 + 2 * 0.1),
        ("silica", 0.25 * 20.0 + 2 * 2.0),
        ("phosphate", 0.25 * 20.0 + 2 * 2.0),
    ],
)
def test_results_that_the_water_does_not_explain_are_refused(key, edge):
    away = edge / 1.25 if key != "ph" else edge  # a quarter of the result, which moves with it
    for share, refused in ((0.999, False), (1.001, True)):
        value = AIMS[key].value - (away if key != "ph" else edge) * share
        case = replace(STEAMING, aims={**AIMS, key: replace(AIMS[key], value=value)})
        if refused:
            assert refusal(case).code == "readings_disagree"
        else:
            assert plan_remedy(case).expected


def test_a_valve_is_needed_where_something_has_to_come_down():
    assert refusal(STEAMING, valves=()).missing == ("valve",)
    low = with_values(STEAMING, conductivity=900.0, chloride=90.0)
    assert plan_remedy(replace(low, valves=())).good


def test_a_banked_boiler_that_has_not_mixed_is_not_planned_for():
    assert refusal(BANKED, mixed=False).code == "not_mixed"


@pytest.mark.parametrize("state", ["raising_steam", "wet_layup", "cleaning", ""])
def test_other_states_are_refused(state):
    assert refusal(STEAMING, state=state).code == "other_state"


def test_a_parameter_that_no_plan_moves_is_named():
    aims = {**AIMS, "iron": Aim(1.0, 0.1, None, 0.5)}
    error = refusal(STEAMING, aims=aims)
    assert error.code == "not_planned_for" and "iron" in str(error)


def test_hard_water_is_refused():
    for metal in ("Ca", "Mg"):
        assert refusal(STEAMING, water={**STEAMING.water, metal: 0.005}).code == "hard_water"


def test_where_all_is_well_nothing_is_done():
    case = with_values(STEAMING, conductivity=1000.0, phosphate=40.0, sulfite=30.0)
    assert refusal(case).code == "nothing_to_do"


def test_three_times_the_limit_is_not_ordinary():
    """Rule of our own, that of the blowdown remedy."""
    aims = {**AIMS, "conductivity": replace(AIMS["conductivity"], value=3901.0)}
    assert refusal(STEAMING, aims=aims).code == "far_off"
    assert plan_remedy(with_values(STEAMING, conductivity=3899.0)).expected


@pytest.mark.parametrize(
    "changes",
    [
        {"water_mass_kg": 0.0},
        {"steam_kg_h": -1.0},
        {"feed": {"Na": -1.0}},
        {"feed": {"Na": float("nan")}},
        {"stocks": (Stock("tsp_crystals", 101.0, ("drum",)),)},
        {"stocks": (Stock("tsp_crystals", 0.0, ("drum",)),)},
        {"stocks": (replace(STOCKS[0], measure_kg=0.0),)},
        {"level_span_kg": 0.0},
        {"aims": {**AIMS, "silica": Aim(20.0, 2.0)}},
        {"aims": {**AIMS, "silica": Aim(20.0, -2.0, None, 90.0)}},
        {"aims": {**AIMS, "silica": Aim(20.0, 2.0, None, 90.0, 91.0)}},
        {"aims": {**AIMS, "phosphate": Aim(20.0, 2.0, 30.0, 60.0, 29.0)}},
        {"gauge_kpa": 1e6},
    ],
)
def test_a_figure_that_can_not_be_is_refused(changes):
    assert refusal(STEAMING, **changes).code == "impossible_figure"


def test_any_boiler_gets_a_sound_plan_or_a_reason():
    """Figures far and wide: a plan called good ends inside its ranges by its own uncertainty; one
    that is not names what it misses; nothing else comes out but a refusal."""
    rng = np.random.default_rng(21)
    seen = {True: 0, False: 0}
    for case in islice(at_random(21), 40):
        feed = {key: mg * 10.0 ** rng.uniform(-2.0, 1.3) for key, mg in (case.feed or {}).items()}
        stocks = tuple(
            replace(
                stock, measure_kg=None if rng.random() < 0.5 else 10.0 ** rng.uniform(-1.5, 1.0)
            )
            for stock in case.stocks
            if rng.random() < 0.8
        )
        mass = 10.0 ** rng.uniform(2.7, 5.3)
        try:
            plan = plan_remedy(replace(case, feed=feed, stocks=stocks, water_mass_kg=mass))
        except Refused:
            continue
        seen[plan.good] += 1
        assert all(math.isfinite(each.value + each.expanded) for each in plan.expected)
        if not plan.good:
            assert plan.clash and all(plan.clash)
            continue
        for each in plan.expected:
            assert each.low is None or each.value - each.expanded >= each.low
            assert each.high is None or each.value + each.expanded <= each.high
    assert min(seen.values()) > 3
