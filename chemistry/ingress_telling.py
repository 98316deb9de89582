"""Which test, not made yet, would tell the leading explanations of a change apart.

Each explanation foretells what every test would find. A test tells two of them apart when it would
find values further apart than three standard uncertainties, those of the test, the amounts and the
fingerprints taken together.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import hypot

from chemistry.ingress import Analysis, Explanation
from chemistry.ingress_signature import Water, levels_of

APART = 3.0
"""Standard uncertainties between two findings that can't be mixed up: rule of our own."""


@dataclass(frozen=True)
class BenchTest:
    """A test as it may be asked for: how long it takes, and its standard uncertainty, a part of the
    value beside a least amount in the quantity's unit."""

    quantity: str
    minutes: float
    part: float
    least: float

    def u(self, value: float) -> float:
        return hypot(self.part * value, self.least)


TESTS: tuple[BenchTest, ...] = (
    BenchTest("conductivity", 2.0, 0.02, 0.1),
    BenchTest("ph", 3.0, 0.0, 0.05),
    BenchTest("p_alkalinity", 4.0, 0.03, 1.0),
    BenchTest("m_alkalinity", 5.0, 0.03, 1.0),
    BenchTest("total_hardness", 6.0, 0.05, 0.5),
    BenchTest("chloride", 7.0, 0.05, 1.0),
    BenchTest("phosphate", 10.0, 0.05, 0.5),
    BenchTest("silica", 15.0, 0.05, 0.2),
    BenchTest("Na", 60.0, 0.05, 0.1),
    BenchTest("SO4", 60.0, 0.05, 0.5),
)
"""Minutes and uncertainties of common bench tests, sodium and sulfate in a laboratory: rule of our
own. A plant that has other figures gives its own."""


@dataclass(frozen=True)
class Telling:
    """A test worth making: what the best explanation and each rival foretell of the change of
    `quantity` (value, standard uncertainty), and the rivals it tells from the best."""

    test: BenchTest
    foretold: tuple[tuple[Explanation, float, float], ...]
    apart: tuple[Explanation, ...]

    @property
    def quantity(self) -> str:
        return self.test.quantity

    @property
    def settles(self) -> bool:
        """Whether no rival is left after it."""
        return len(self.apart) == len(self.foretold) - 1


def telling(
    water: Water,
    analysis: Analysis,
    measured: Collection[str],
    tests: Sequence[BenchTest] = TESTS,
) -> tuple[Telling, ...]:
    """Return the tests that would tell the best explanation from a rival, the most useful first.

    That is the one that rules out most, by the rivals' probability; of equals the quickest. Only a
    quantity that the analysis was asked about (`also` of chemistry.ingress.explain) is judged.
    Empty: there is no rival, or no test tells them apart.
    """
    best, *rivals = analysis.leading
    open_tests = [
        test for test in tests if test.quantity not in measured and test.quantity in best.predicted
    ]
    before = levels_of(water, [test.quantity for test in open_tests])
    worth = []
    for test in open_tests:
        apart = tuple(
            rival for rival in rivals if _apart(test, before[test.quantity], best, rival) >= APART
        )
        if apart:
            worth.append(Telling(test, _foretold(test.quantity, (best, *rivals)), apart))
    return tuple(sorted(worth, key=lambda each: (-_ruled_out(each), each.test.minutes)))


def _ruled_out(each: Telling) -> float:
    return sum(rival.probability for rival in each.apart)


def _foretold(
    quantity: str, explanations: Sequence[Explanation]
) -> tuple[tuple[Explanation, float, float], ...]:
    return tuple(
        (each, each.predicted[quantity], each.predicted_u[quantity]) for each in explanations
    )


def _apart(test: BenchTest, before: float, one: Explanation, other: Explanation) -> float:
    """Return by how many standard uncertainties two explanations differ in a test."""
    here, there = one.predicted[test.quantity], other.predicted[test.quantity]
    beside = (one.predicted_u[test.quantity], other.predicted_u[test.quantity])
    return abs(here - there) / hypot(test.u(before + (here + there) / 2.0), *beside)
