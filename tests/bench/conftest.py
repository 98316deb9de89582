"""The 95th percentiles of what was timed, beside what is aimed at, in a table at the end."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from time import perf_counter, process_time
from typing import Any

import pytest


@dataclass(frozen=True)
class Timed:
    """How long something took, in milliseconds, with so many samples stored."""

    name: str
    stored: int
    aim_ms: float
    times_ms: list[float]
    busy_ms: list[float]  # the processor's time alone: what other programs leave alone

    @property
    def p95(self) -> float:
        return percentile(self.times_ms, 95)


def percentile(times: list[float], percent: int) -> float:
    return sorted(times)[math.ceil(percent / 100 * len(times)) - 1]


FOUND: list[Timed] = []
RATES: list[str] = []


def rate(name: str, samples: int, busy_s: float) -> None:
    """Tell how many samples were taken a second of processor time."""
    RATES.append(f"{name}: {samples / busy_s:.0f} samples a second of processor time")


def timed(
    name: str, what: Callable[[Any], object], given: Iterator[Any], *, stored: int, aim_ms: float
) -> None:
    """Time a call for each thing given, made ready outside of the time; the first ten warm up."""
    times, busy = [], []
    for each in given:
        start, busy_start = perf_counter(), process_time()
        what(each)
        times.append((perf_counter() - start) * 1000)
        busy.append((process_time() - busy_start) * 1000)
    assert len(times) > 50
    FOUND.append(Timed(name, stored, aim_ms, times[10:], busy[10:]))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not FOUND:
        return
    terminalreporter.section("95th percentiles, ms")
    line = "{:<24}{:>9}{:>9}{:>9}{:>6}{:>15}{:>17}"
    heads = ("what", "stored", "median", "p95", "aim", "p95 to fewest", "processor p95")
    terminalreporter.write_line(line.format(*heads))
    first = {each.name: each for each in reversed(FOUND)}
    for each in FOUND:
        figures = (percentile(each.times_ms, 50), each.p95, each.aim_ms)
        row = [f"{each.stored:,}", *(f"{figure:.0f}" for figure in figures)]
        row += [f"{each.p95 / first[each.name].p95:.2f}", f"{percentile(each.busy_ms, 95):.0f}"]
        terminalreporter.write_line(line.format(each.name, *row))
    for told in RATES:
        terminalreporter.write_line(told)
