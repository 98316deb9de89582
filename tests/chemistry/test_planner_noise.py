"""A Monte Carlo of errors: readings, flows, water mass, feedwater and weighing all off, the plan
made from what was read, carried out on what is true, and tested again with errors."""

from itertools import islice

import numpy as np

from chemistry.errors import Refused
from chemistry.planner_plan import plan_remedy
from tests.chemistry.planner_cases import at_random
from tests.chemistry.planner_simulation import Truth, carried_out, in_range, misread, reads


def retests(seed: int, boilers: int, draws: int):
    """Yield, for each good plan, whether every parameter of the retest lies in its range."""
    rng = np.random.default_rng(seed)
    for case in islice(at_random(seed), boilers):
        for _ in range(draws):
            try:
                seen = misread(case, rng)
                plan = plan_remedy(seen)
            except Refused:
                continue
            if not plan.good:
                continue
            # expanded (95 %) 10 % of flows, mass and feedwater, 5 % of weighing: half of it a sigma
            truth = Truth(*(1.0 + 0.05 * rng.normal(size=3)), 1.0 + 0.025 * rng.normal())
            after = reads(carried_out(case, plan, case.water, truth), case.aims)
            again = {
                key: float(rng.normal(value, case.aims[key].expanded / 2.0))
                for key, value in after.items()
            }
            yield in_range(again, case.aims)


def test_95_of_100_retests_are_in_range():
    found = list(retests(seed=11, boilers=60, draws=2))
    assert len(found) > 80
    assert sum(found) / len(found) >= 0.95
