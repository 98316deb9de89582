"""Run the tests of the chemistry on one mutant: a forked child that loads the changed file.

The parent has loaded the heavy libraries but nothing of `chemistry`, so a child pays only for what
a mutant can change.
"""

import builtins
import importlib.machinery
import io
import os
import pickle
import resource
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType
from typing import Any

import hypothesis
import pytest

from tests.mutate.sites import ROOT, Site
from tests.mutate.watch import Ran, Watcher

TESTS = ROOT / "tests" / "chemistry"
APART = "test_methods.py"
"""It works in processes of its own, which know nothing of a mutant."""
LEAST_CPU_SECONDS = 90
SLOWER = 4
"""Times as long as unchanged that tests may take before their child counts as one without end."""
ARGUMENTS = [
    "-q",
    "--noconftest",
    f"--rootdir={ROOT}",
    f"--config-file={Path(__file__).with_name('pytest.ini')}",
    "-pno:cacheprovider",
]


def test_files() -> list[str]:
    return [str(path) for path in sorted(TESTS.glob("test_*.py")) if path.name != APART]


@dataclass
class Asked:
    """The plugin that runs some tests, in the order given, and keeps the first that goes red.

    A test that is not among `known` runs too: a change may give it another name.
    """

    tests: Sequence[str]
    known: frozenset[str]
    red: str = ""

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        place = {test: number for number, test in enumerate(self.tests)}
        items[:] = [each for each in items if each.nodeid in place or each.nodeid not in self.known]
        items.sort(key=lambda item: place.get(item.nodeid, 0))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.red = self.red or report.nodeid

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.red = self.red or f"{report.nodeid} (does not load)"


@dataclass
class Child:
    """A child at work on one site (None: on the chemistry as it is)."""

    site: Site | None
    pid: int
    pipe: int

    def fileno(self) -> int:
        return self.pipe

    def answer(self) -> Any:
        """Wait for the child's end and return what it found."""
        with os.fdopen(self.pipe, "rb") as pipe:
            told = pipe.read()
        os.waitpid(self.pid, 0)
        return pickle.loads(told) if told else "(out of time, or the child died)"


def watched() -> Ran:
    """Run all tests on the chemistry as it is, in a child, and return which ran what."""
    return _child(None, _watched).answer()


def start(site: Site, parts: Sequence[Sequence[str]], ran: Ran) -> Child:
    """Start a child on a mutant, whose answer is the first test that goes red, or nothing.

    `parts` are tests by name: each part runs if the ones before it stayed green.
    """
    return _child(site, lambda: _first_red(parts, ran))


def _child(site: Site | None, work: Callable[[], object]) -> Child:
    reading, writing = os.pipe()
    pid = os.fork()
    if pid:
        os.close(writing)
        return Child(site, pid, reading)
    os.close(reading)
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    if site:
        _put_in_place(ROOT / site.path, site.mutant)
    _prepare()
    with os.fdopen(writing, "wb") as pipe:
        pipe.write(pickle.dumps(work()))
    os._exit(0)


def _prepare() -> None:
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    # the same few examples every time, and no red for being slow beside another child
    hypothesis.settings.register_profile(
        "mutate",
        derandomize=True,
        database=None,
        deadline=None,
        max_examples=20,
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    hypothesis.settings.load_profile("mutate")


def _watched() -> Ran:
    watcher = Watcher()
    watcher.coverage.start()
    pytest.main([*ARGUMENTS, *test_files()], plugins=[watcher])
    watcher.coverage.stop()
    return watcher.ran()


def _first_red(parts: Sequence[Sequence[str]], ran: Ran) -> str:
    known = frozenset(ran.seconds)
    for tests in filter(None, parts):
        _allow(sum(ran.seconds[test] for test in tests))
        asked = Asked(tests, known)
        files = sorted({test.partition("::")[0] for test in tests})
        code = pytest.main(
            [*ARGUMENTS, "-x", *(str(ROOT / file) for file in files)], plugins=[asked]
        )
        if code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            return asked.red or "(the tests could not be run)"
    return ""


def _allow(seconds: float) -> None:
    """Let the child go on for the tests' own time several times over, and no longer."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    until = int(used.ru_utime + used.ru_stime + LEAST_CPU_SECONDS + SLOWER * seconds)
    resource.setrlimit(resource.RLIMIT_CPU, (until, resource.RLIM_INFINITY))


def _put_in_place(path: Path, text: str) -> None:
    """Let whoever loads or reads `path` from now on find `text` there."""
    load, opened = importlib.machinery.SourceFileLoader.get_code, io.open

    def get_code(loader: importlib.machinery.SourceFileLoader, name: str) -> CodeType | None:
        if loader.path == str(path):
            return compile(text, loader.path, "exec")
        return load(loader, name)

    def open_(file, mode="r", *args, **kwargs):
        if file in (path, str(path)):
            return io.BytesIO(text.encode()) if "b" in mode else io.StringIO(text)
        return opened(file, mode, *args, **kwargs)

    if path.suffix == ".py":
        importlib.machinery.SourceFileLoader.get_code = get_code
    else:
        io.open = builtins.open = open_
