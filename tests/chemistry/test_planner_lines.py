"""The linear program of the planner on problems small enough to do by hand."""

import numpy as np
import pytest

from chemistry import planner, planner_lines, planner_plan
from chemistry.planner_lines import MISS_COST, Line, Span, best, clashes
from chemistry.verdict import Side


def line(key, side, slope, least, cost=MISS_COST):
    return Line(key, side, np.array(slope, dtype=float), least, cost)


def span(most, measures=None):
    size = len(most)
    cost = np.array([1.0, *[0.001] * (size - 1)])
    return Span(np.array(most, dtype=float), cost, np.array(measures or [0.0] * size))


def test_the_least_water_that_keeps_a_limit():
    """By hand: 2 s >= 0.5."""
    plan, missed = best([line("conductivity", Side.HIGH, [2.0], 0.5)], span([0.9]))
    assert plan == pytest.approx([0.25]) and missed == 0.0


def test_a_limit_out_of_reach_is_missed_by_the_least():
    """By hand: 2 s >= 3 with s up to 0.9 is missed by 1.2."""
    plan, missed = best([line("conductivity", Side.HIGH, [2.0], 3.0)], span([0.9]))
    assert plan == pytest.approx([0.9]) and missed == pytest.approx(1.2)


def test_a_target_off_range_is_worth_its_water_and_a_drift_is_not():
    """By hand: a half range costs 10 off target, 0.1 drifted; one half range takes half the
    water."""
    off = line("conductivity", Side.HIGH, [2.0], 1.0, planner_lines.OFF_TARGET_COST)
    assert best([off], span([0.9]))[0] == pytest.approx([0.5])
    drift = line("conductivity", Side.HIGH, [2.0], 1.0, planner_lines.DRIFT_COST)
    assert best([drift], span([0.9]))[0] == pytest.approx([0.0])


def test_whole_measures():
    """By hand: 0.01 d >= 0.5 takes 50, in measures of 30 two of them; at most 80, so one of 50."""
    low = [line("phosphate", Side.LOW, [0.0, 0.01], 0.5)]
    assert best(low, span([0.5, 200.0], [0.0, 30.0]))[0] == pytest.approx([0.0, 60.0])
    plan, missed = best(low, span([0.5, 50.0], [0.0, 30.0]))
    assert plan == pytest.approx([0.0, 30.0]) and missed == pytest.approx(0.2)
    assert best(low, span([0.5, 60.0], [0.0, 30.0]))[0] == pytest.approx([0.0, 60.0])


def test_small_measures_are_whole_too():
    """By hand: 0.01 d >= 0.500031 takes 50.0031, in measures of 0.005 up to 50.005."""
    low = [line("phosphate", Side.LOW, [0.0, 0.01], 0.500031)]
    plan, _ = best(low, span([0.5, 200.0], [0.0, 0.005]))
    assert plan == pytest.approx([0.0, 50.005], abs=1e-6)


def test_smallest_sets_that_clash():
    """By hand: one dose raises both; the first asks for 50, the second bears 40. The third can't
    be kept at all, the fourth always."""
    lines = [
        line("ph", Side.LOW, [0.0, 0.01], 0.5),
        line("conductivity", Side.HIGH, [0.0, -0.01], -0.4),
        line("silica", Side.HIGH, [0.0, 0.0], 1.0),
        line("chloride", Side.HIGH, [1.0, 0.0], -1.0),
    ]
    found = {frozenset(each.key for each in group) for group in clashes(lines, span([0.5, 200.0]))}
    assert found == {frozenset({"silica"}), frozenset({"ph", "conductivity"})}
    assert clashes(lines[3:], span([0.5, 200.0])) == ()


def test_the_rules_of_the_planner():
    """Rules of our own, as decided: what a miss, a target, a drift, a dose cost; when to end."""
    assert (planner_lines.MISS_COST, planner_lines.OFF_TARGET_COST) == (1000.0, 10.0)
    assert (planner_lines.DRIFT_COST, planner_lines.DOSE_COST) == (0.1, 0.001)
    assert planner_lines.NO_MISS == 1e-6 and planner_lines.PH_SCALE == (0.0, 14.0)
    assert (planner.ROUNDS_MOST, planner.LINES_SETTLED, planner.NEAR) == (8, 0.0005, 0.05)
    assert (planner.SHARE_MORE, planner.MISS_ALLOWED) == (0.01, 0.01)
    assert (planner_plan.LEAST_MG_PER_KG, planner_plan.LEAST_SHARE) == (0.05, 1e-4)
