"""Which tests can see a number: those that run its statement, or what uses its name.

The tests run once on the unchanged chemistry under coverage.py, which notes for each line the
tests that ran it. What is kept from call to call (`lru_cache`) is thrown away before each test, or
only the first would be seen to run what all of them use.
"""

import ast
import re
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import coverage
import pytest

from tests.mutate.sites import FOLDERS, ROOT, Site
from tests.mutate.statements import body_lines, names_made, own_lines, statements, uses

_WORD = re.compile(r"[A-Za-z_]\w*")


@dataclass
class Ran:
    """What ran: the tests by file and line, and the seconds that each test took."""

    lines: dict[str, dict[int, list[str]]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    red: str = ""

    def tests(self, path: str, lines: range) -> set[str]:
        """Return the tests that ran one of the lines of a file."""
        ran = self.lines.get(path, {})
        return {test for line in lines for test in ran.get(line, ())}


class Watcher:
    """The plugin that tells coverage.py which test is running, and keeps its seconds."""

    def __init__(self) -> None:
        self.seen = Ran()
        self.coverage = coverage.Coverage(
            data_file=None, include=[str(ROOT / FOLDERS[0])], config_file=False
        )

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        _forget()
        self.coverage.switch_context(item.nodeid)
        return (yield)

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef, request) -> Iterator[None]:
        if fixturedef.scope == "function":
            return (yield)
        test = request._pyfuncitem.nodeid
        self.coverage.switch_context(_file_of(test))
        try:
            return (yield)
        finally:
            self.coverage.switch_context(test)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        known = self.seen.seconds.get(report.nodeid, 0.0)
        self.seen.seconds[report.nodeid] = known + report.duration
        if report.failed:
            self.seen.red = self.seen.red or report.nodeid

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.seen.red = self.seen.red or f"{report.nodeid} (does not load)"

    def ran(self) -> Ran:
        """Return what was noted. What a file's tests share, each of them is taken to have run."""
        of_file = defaultdict(list)
        for test in self.seen.seconds:
            of_file[_file_of(test)].append(test)
        names = {test: [test] for test in self.seen.seconds} | of_file | {"": []}
        data = self.coverage.get_data()
        for path in data.measured_files():
            self.seen.lines[str(Path(path).relative_to(ROOT))] = {
                line: [test for name in contexts for test in names[name]]
                for line, contexts in data.contexts_by_lineno(path).items()
            }
        return self.seen


def who_can_see(site: Site, ran: Ran) -> set[str]:
    """Return the tests that can see a number; nothing for one whose use no name shows."""
    if not site.path.endswith(".py"):
        return set()
    outer = statements(site.path, site.line)
    inside = [part for part in outer[:-1] if isinstance(part, ast.FunctionDef)]
    if inside:
        # a function that ran only while its file was loaded shows in what it made
        return ran.tests(site.path, own_lines(outer[-1])) or _users(names_made(outer[0]), ran)
    if isinstance(outer[-1], ast.FunctionDef):  # a default
        return ran.tests(site.path, body_lines(outer[-1]))
    return _users(names_made(outer[0]) | names_made(outer[-1]), ran)


def _users(names: frozenset[str], ran: Ran) -> set[str]:
    """Return the tests that use one of the names, or what is made of them."""
    found, known, waiting = set[str](), set(names), list(names)
    while waiting:
        name = waiting.pop()
        found |= {test for test in ran.seconds if name in _words(_file_of(test))}
        for use in uses().get(name, ()):
            ran_by = ran.tests(use.path, use.lines) if use.inside else set()
            found |= ran_by
            if not ran_by:  # it ran while its file was loaded
                waiting += use.makes - known
                known |= use.makes
    return found


@cache
def _words(path: str) -> frozenset[str]:
    return frozenset(_WORD.findall((ROOT / path).read_text(encoding="utf-8")))


def _file_of(test: str) -> str:
    return test.partition("::")[0]


def _forget() -> None:
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] == "chemistry":
            for each in list(vars(module).values()):
                if hasattr(each, "cache_clear"):
                    each.cache_clear()
