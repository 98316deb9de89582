"""How sure the water after a plan is, by hand and by moving each figure."""

import math
from dataclasses import replace

import pytest

from chemistry.planner import seek
from chemistry.planner_plan import plan_remedy
from chemistry.verdict import Side
from tests.chemistry.planner_cases import BANKED, STEAMING, with_values
from tests.chemistry.planner_simulation import Truth, carried_out, reads

STATED = Truth()


@pytest.mark.parametrize("case", [STEAMING, BANKED], ids=["steaming", "banked"])
@pytest.mark.parametrize("key", ["ph", "conductivity", "phosphate", "sulfite", "silica"])
def test_each_figure_moved_by_its_own(case, key):
    """JCGM 100:2008, 5.1.3, note 2: mass, flow, feedwater by 10 %, each dose by 5 %, the reading
    by its expanded uncertainty, each carried out anew and taken together in quadrature."""
    plan = plan_remedy(case)
    expected = next(each for each in plan.expected if each.key == key)

    def after(truth=STATED, water=None, doses=plan.doses):
        moved = carried_out(case, replace(plan, doses=doses), water or case.water, truth)
        return reads(moved, case.aims)[key]

    base, step = after(), 0.01
    parts = [
        0.10 / step * (after(Truth(mass=1.0 + step)) - base),
        0.10 / step * (after(Truth(flow=1.0 + step)) - base),
        0.10 / step * (after(Truth(feed=1.0 + step)) - base),
    ]
    for number, dose in enumerate(plan.doses):
        doses = list(plan.doses)
        doses[number] = replace(dose, kg=dose.kg * (1.0 + step))
        parts.append(0.05 / step * (after(doses=tuple(doses)) - base))
    aim = case.aims[key]
    other = with_values(case, **{key: aim.value + aim.expanded * step}).water
    parts.append((after(water=other) - base) / step)
    assert expected.expanded == pytest.approx(math.hypot(*parts), rel=0.05)


def test_silica_that_is_not_dosed_by_hand():
    """JCGM 100:2008, 5.1.3, note 2: what remains of the reading's error; mass and flow a tenth
    larger (the share of 1 - exp(-B t / M)), a tenth of what the feedwater brings."""
    plan = plan_remedy(STEAMING)
    expected = next(each for each in plan.expected if each.key == "silica")
    amount = plan.rate_kg_h * plan.hours / 12_000.0

    def after(turned, rate):
        share = -math.expm1(-turned)
        return 20.0 * (1.0 - share) + share * (8000.0 + rate) / rate * 1.0

    base = after(amount, 1500.0)
    parts = (
        2.0 * math.exp(-amount),
        after(amount / 1.1, 1500.0) - base,
        after(amount * 1.1, 1650.0) - base,
        0.10 * (base - 20.0 * math.exp(-amount)),
    )
    assert expected.value == pytest.approx(base, rel=1e-6)
    assert expected.expanded == pytest.approx(math.hypot(*parts), rel=1e-6)


def test_where_nothing_is_swapped_the_reading_is_all_that_is_known():
    case = replace(with_values(STEAMING, conductivity=900.0, chloride=90.0), valves=())
    silica = seek(case).found.outlooks["silica"]
    assert silica.value == pytest.approx(20.0, rel=1e-12)
    assert silica.expanded == pytest.approx(2.0, rel=1e-12)


@pytest.mark.parametrize("key", ["phosphate", "sulfite", "chloride", "silica"])
def test_a_limit_is_drawn_in_by_its_guard(key):
    """By hand: how far the water is inside the guarded limit, over half the range."""
    aims = {**STEAMING.aims, "silica": replace(STEAMING.aims["silica"], value=24.0)}
    found = seek(replace(STEAMING, aims=aims)).found
    aim, seen = aims[key], found.outlooks[key]
    for line in (each for each in found.guards if each.key == key):
        if line.side is Side.LOW:
            inside = seen.value - seen.guard - aim.low
        else:
            inside = aim.high - seen.guard - seen.value
        slack = line.slope @ found.plan - line.least
        assert slack == pytest.approx(inside / aim.width, rel=1e-6)


def test_the_guard_holds_the_retest_too():
    """JCGM 100:2008, 5.1.2: what the plan leaves open and the error of the retest, in
    quadrature."""
    for key, seen in seek(STEAMING).found.outlooks.items():
        aim = STEAMING.aims[key]
        assert seen.guard == pytest.approx(math.hypot(seen.expanded, aim.expanded))


def test_a_reading_that_the_water_does_not_explain_is_diluted_with_it():
    aims = {**STEAMING.aims, "silica": replace(STEAMING.aims["silica"], value=24.0)}
    plan = plan_remedy(replace(STEAMING, aims=aims))
    loose = plan_remedy(STEAMING)
    values = [
        next(each.value for each in each_plan.expected if each.key == "silica")
        for each_plan in (plan, loose)
    ]
    assert values[0] - values[1] == pytest.approx(4.0 * (1.0 - plan.share_swapped), abs=0.02)
