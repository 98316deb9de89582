"""The water after a plan, solved by PHREEQC (USGS; IPhreeqc 3.8.6) with three databases."""

from itertools import islice

import phreeqpython
import pytest

from chemistry.errors import Refused
from chemistry.planner_plan import plan_remedy
from chemistry.totals import COMPONENT_OF, molar_mass
from tests.chemistry.phreeqc_reference import Reference, own_database
from tests.chemistry.planner_cases import BANKED, CONGRUENT_CASE, STEAMING, at_random
from tests.chemistry.planner_simulation import carried_out, in_range, reads

PLAIN = {
    "Na+": "Na", "PO4-3": "P", "Cl-": "Cl", "SO4-2": "S(6)", "SO3-2": "S(6)", "H4SiO4": "Si",
    "CO3-2": "C(4)",
}  # fmt: skip
"""Names of the totals in databases that come along. They have no sulfite that stays as it is; at
the pH of boiler water sulfate takes its place, two charges for two."""


def after_plans():
    """Return cases, plans and the waters that they lead to."""
    found = []
    for case in (STEAMING, BANKED, CONGRUENT_CASE, *islice(at_random(6), 40)):
        try:
            plan = plan_remedy(case)
        except Refused:
            continue
        if plan.good:
            water = {key: mg for key, mg in carried_out(case, plan, case.water).items() if mg > 0.0}
            found.append((case, plan, water))
    assert len(found) > 25
    return found


@pytest.fixture(scope="module")
def plans():
    return after_plans()


@pytest.mark.parametrize(
    ("database", "apart"),
    # engine notes: our own constants 0.001; other databases differ by up to 0.015 at 25 °C
    [("own", 0.002), ("wateq4f.dat", 0.015), ("minteq.v4.dat", 0.015)],
)
def test_ph_after_the_plan(plans, database, apart):
    if database == "own":
        reference = Reference(text=own_database())
    else:
        reference = Reference(file=database, elements=PLAIN)
    solved = reference.solved([water for _, _, water in plans], [25.0] * len(plans))
    for (case, plan, _), found in zip(plans, solved, strict=True):
        aim = case.aims["ph"]
        expected = next(each for each in plan.expected if each.key == "ph")
        assert found["ph"] == pytest.approx(expected.value, abs=apart + 0.002 * aim.width)
        assert aim.low <= found["ph"] <= aim.high


def test_every_parameter_is_in_range_after_the_plan(plans):
    """By our own account, the water moved and solved apart from the planner."""
    for case, _, water in plans:
        assert in_range(reads(water, case.aims), case.aims)


def test_conductivity_after_the_plan_by_another_program(plans):
    """IPhreeqc 3.7.3 (3.8.6 is no reference for it), within the 4 % by which it is low for caustic,
    and inside the range."""
    program = phreeqpython.PhreeqPython(database="phreeqc.dat")
    for case, plan, water in plans:
        given = {"units": "mol/kgw", "temp": 25.0, "pH": "7 charge"}
        for formula, mg in water.items():
            element = PLAIN[COMPONENT_OF[formula]]
            given[element] = given.get(element, 0.0) + mg / molar_mass(formula) / 1000.0
        found, aim = program.add_solution(given).sc, case.aims["conductivity"]
        expected = next(each for each in plan.expected if each.key == "conductivity")
        assert found == pytest.approx(expected.value, rel=0.04)
        assert found <= aim.high
