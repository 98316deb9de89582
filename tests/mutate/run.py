"""Run the tests of the chemistry on one mutant: a forked child that loads the changed file.

The parent has loaded the heavy libraries but nothing of `chemistry`, so a child pays only for what
a mutant can change.
"""

import builtins
import importlib.machinery
import io
import json
import os
import resource
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from types import CodeType

import hypothesis
import pytest

from tests.mutate.sites import ROOT, Site

TESTS = ROOT / "tests" / "chemistry"
APART = "test_methods.py"
"""It works in processes of its own, which know nothing of a mutant."""
MOST_CPU_SECONDS = 120
ARGUMENTS = [
    "-x",
    "-q",
    "--noconftest",
    f"--rootdir={ROOT}",
    f"--config-file={Path(__file__).with_name('pytest.ini')}",
    "-pno:cacheprovider",
]


def test_files() -> list[Path]:
    return [path for path in sorted(TESTS.glob("test_*.py")) if path.name != APART]


@dataclass
class Seen:
    """What the tests of a child showed: the first that went red (nothing if all stayed green), and
    the seconds that each file took."""

    red: str = ""
    seconds: dict[str, float] = field(default_factory=dict)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        name = report.nodeid.partition("::")[0]
        self.seconds[name] = self.seconds.get(name, 0.0) + report.duration
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

    def answer(self) -> Seen:
        """Wait for the child's end and return what was seen."""
        with os.fdopen(self.pipe) as pipe:
            told = pipe.read()
        os.waitpid(self.pid, 0)
        return Seen(**json.loads(told)) if told else Seen("(out of time, or the child died)")


def start(site: Site | None, first: Sequence[Path], then: Sequence[Path]) -> Child:
    """Start a child on a mutant; `first` are the test files that likely see it, and `then` those
    that run if they don't."""
    reading, writing = os.pipe()
    pid = os.fork()
    if pid:
        os.close(writing)
        return Child(site, pid, reading)
    os.close(reading)
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_SECONDS, MOST_CPU_SECONDS))
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    if site:
        _put_in_place(ROOT / site.path, site.mutant)
    os.write(writing, json.dumps(asdict(_tested(first, then))).encode())
    os._exit(0)


def _tested(*parts: Sequence[Path]) -> Seen:
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
    seen = Seen()
    for paths in parts:
        if paths and pytest.main([*ARGUMENTS, *map(str, paths)], plugins=[seen]):
            seen.red = seen.red or "(the tests could not be run)"
            break
    return seen


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
