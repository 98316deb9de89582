"""How long it takes to work a conductivity test, and a million readings at once.

No time is asserted: machines differ. Quote ratios of one run.
"""

import numpy as np
import pytest

from chemistry import methods
from chemistry.analytes import Basis
from chemistry.conductivity import linear_to_25c, natural_water_factor
from chemistry.methods.base import InstrumentFacts
from chemistry.verdict import Limit, Side, judge
from records import clock
from records.selectors.bench import draw_of
from records.selectors.bench import test_work as work_test
from tests import factories

TYPED = {"reading": "1230", "temperature": "77.5", "coefficient": "2.0", "neutralized": "no"}
UNITS = {"reading": "umho/cm", "temperature": "degF"}
LIMIT = Limit(None, 1300.0, Basis("25C", "not_neutralized"), "uS/cm", target=1100.0)
MILLION = 1_000_000


def typed_to_judged() -> Side:
    method = methods.latest("conductivity")
    entry = method.read("automatic", TYPED, UNITS)
    worked = method.work("automatic", entry, InstrumentFacts())[0]
    budget = worked.budget
    value = float(worked.value_text)
    return judge(value, budget.expanded, budget.coverage, budget.dof, worked.basis, LIMIT).side


@pytest.mark.benchmark(group="one test from typed text to judged result")
def test_chemistry_alone(benchmark):
    assert benchmark(typed_to_judged) is Side.IN_RANGE


@pytest.mark.benchmark(group="one test from typed text to judged result")
def test_with_the_plants_limit_and_instruments(benchmark, works):
    entry = factories.conductivity("1230", works.used)

    def with_the_plants() -> object:
        return work_test(draw_of(works.point, "steaming", clock.now()), entry)

    work = benchmark(with_the_plants)
    assert not work.errors
    assert [each.verdict.side for each in work.results] == [Side.IN_RANGE]
    assert work.results[0].limit is not None


@pytest.mark.benchmark(group="a million conductivities to 25 °C")
def test_a_million_by_the_linear_rule(benchmark):
    kappa, temp = np.full(MILLION, 900.0), np.linspace(0.0, 60.0, MILLION)
    found = benchmark(linear_to_25c, kappa, temp, 0.019)
    assert found.shape == (MILLION,)
    # by hand: 900 / (1 - 0.019 * 25) at 0 °C
    assert found[0] == pytest.approx(900.0 / 0.525)


@pytest.mark.benchmark(group="a million conductivities to 25 °C")
def test_a_million_as_natural_water(benchmark):
    temp = np.linspace(0.0, 35.0, MILLION)
    found = benchmark(natural_water_factor, temp)
    # ISO 7888:1985 (from memory): 1.918 at 0 °C, 0.822 at 35 °C
    assert (found[0], found[-1]) == (pytest.approx(1.918), pytest.approx(0.822))
