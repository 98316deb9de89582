"""How long a plan takes beside the solution of one water, in the same run."""

import sys
from collections.abc import Callable, Iterator
from itertools import islice
from time import process_time

from chemistry.errors import Refused
from chemistry.planner_case import PlannerCase
from chemistry.planner_plan import plan_remedy
from chemistry.solve import equilibrate
from tests.bench.beside import SOFT, THERE_PER_S, theirs_per_s
from tests.bench.conftest import percentile, timed
from tests.chemistry.planner_cases import STEAMING, at_random

AIM_MS = 10.0
MOST_WATERS = 100.0
"""Solutions of one water that a plan may cost: 10 ms over the 0.1 ms that a water may take."""


def good_cases(count: int) -> list[PlannerCase]:
    """Return random boilers for which there is a good plan."""
    found = []
    for case in islice(at_random(9), 2 * count):
        try:
            plan = plan_remedy(case)
        except Refused:
            continue
        if plan.good:
            found.append(case)
    return found[:count]


def test_a_plan(record_property: Callable[[str, object], None]) -> None:
    cases = good_cases(200)
    timed("remedy plan", plan_remedy, iter(cases), stored=len(cases), aim_ms=AIM_MS)
    plans, waters = list(busy_ms(cases, plan_remedy)), list(busy_ms([STEAMING] * 200, solve))
    ratio = percentile(plans, 95) / percentile(waters, 50)
    record_property("waters", round(ratio))
    assert ratio < MOST_WATERS
    theirs = percentile(plans, 95) / 1000.0 * theirs_per_s(SOFT, 3000)
    sys.stdout.write(f"\nremedy plan, p95: as long as {theirs:.0f} waters of phreeqpython\n")
    assert theirs < AIM_MS / 1000.0 * THERE_PER_S


def solve(case: PlannerCase) -> object:
    return equilibrate(case.water).ph


def busy_ms(cases: list[PlannerCase], what) -> Iterator[float]:  # type: ignore[no-untyped-def]
    """Yield the processor's time for each case, which other programs leave alone."""
    for case in cases:
        start = process_time()
        what(case)
        yield (process_time() - start) * 1000.0
