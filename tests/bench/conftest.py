"""The 95th percentiles of what was timed, beside what is aimed at, in a table at the end."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from time import perf_counter
from typing import Any

import pytest


@dataclass(frozen=True)
class Timed:
    """How long something took, in milliseconds, with so many samples stored."""

    name: str
    stored: int
    aim_ms: float
    times_ms: list[float]

    @property
    def p95(self) -> float:
        return sorted(self.times_ms)[math.ceil(0.95 * len(self.times_ms)) - 1]

    @property
    def median(self) -> float:
        return sorted(self.times_ms)[len(self.times_ms) // 2]


FOUND: list[Timed] = []


def timed(
    name: str, what: Callable[[Any], object], given: Iterator[Any], *, stored: int, aim_ms: float
) -> None:
    """Time a call for each thing given, made ready outside of the time; the first ten warm up."""
    times = []
    for each in given:
        start = perf_counter()
        what(each)
        times.append((perf_counter() - start) * 1000)
    assert len(times) > 50
    FOUND.append(Timed(name, stored, aim_ms, times[10:]))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not FOUND:
        return
    terminalreporter.section("95th percentiles, ms")
    line = "{:<34}{:>10}{:>9}{:>9}{:>7}{:>20}"
    heads = ("what", "stored", "median", "p95", "aim", "p95 to fewest stored")
    terminalreporter.write_line(line.format(*heads))
    first = {each.name: each for each in reversed(FOUND)}
    for each in FOUND:
        ratio = each.p95 / first[each.name].p95
        row = (f"{each.stored:,}", f"{each.median:.1f}", f"{each.p95:.1f}", f"{each.aim_ms:g}")
        terminalreporter.write_line(line.format(each.name, *row, f"{ratio:.2f}"))
