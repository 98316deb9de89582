"""The tool that changes numbers: which it finds, what it makes of them, and what it tells."""

import ast
import builtins
import importlib.machinery
import importlib.util
import io
import subprocess
import sys
import tomllib
from collections import defaultdict

import pytest

from tests.mutate import __main__ as tool
from tests.mutate import run, statements, watch
from tests.mutate.sites import FOLDERS, ROOT, changed, sites, sites_in

PYTHON = '''
"""Of 1974."""
LIMIT = 3.0  # not 4.0
TABLE: tuple[Literal[7], ...] = ((0, -1.5), {"a": 1e-3})
YES = True
FIELD = Field("µ", low=0.5, default="1", units=("1",), name=gettext_noop("7.00"))
ureg.define("dH = 17.848 * mg_CaCO3 / 2 liter = dH5")
def f(x: int = 2) -> float:
    return x[1] + x[2:3] + round(x * 60, 9) + float(f"{x / 8:.4g}")
'''
TOML = '''
key = "asme_1979"  # of 1979
span = [0, 5_400]
high = 0.007
note = """
12 drops"""
day = 1994-01-02
'''

CHILDREN = """
from dataclasses import replace
from tests.mutate import run, statements, watch
from tests.mutate.sites import sites
from tests.mutate.watch import who_can_see
run.test_files = lambda: [str(run.TESTS / f"test_{name}.py") for name in ("hardness", "silica")]
ran = run.watched()
calcium = next(site for site in sites("chemistry/hardness.py") if site.old == "2.497")
seeing = sorted(who_can_see(calcium, ran))
print(len(ran.seconds), len(seeing), *{test.partition("::")[0] for test in seeing})
for site in (replace(calcium, new=calcium.old), calcium):
    print(run.start(site, [[], seeing], ran).answer() or "-")
"""
USES = """
import functools
from collections.abc import Mapping
PLAIN = 2.0
TABLE: Mapping[str, float] = {"a": 3.0, "b": PLAIN}
def table(x, most=4.0):
    if x > 5.0:
        return TABLE[x]
    return 6.0
class Kind:
    size = 7.0
def size():
    return Kind.size
"""
RAN = {6: ["head"], 7: ["body"], 8: ["six"], 12: ["kind"]}


def found(name, text):
    return [f"{site.old} -> {site.new}" for site in sites_in(name, text)]


def test_the_numbers_of_a_python_file():
    assert found("a.py", PYTHON) == [
        "3.0 -> 3.03",
        "0 -> 1",
        "1.5 -> 1.515",
        "1e-3 -> 0.00101",
        "0.5 -> 0.505",
        "1 -> 2",
        "17.848 -> 17.865848",
        "2 -> 3",
        "2 -> 3",
        "60 -> 61",
        "9 -> 10",
        "8 -> 9",
    ]


def test_the_numbers_of_a_toml_file():
    assert found("a.toml", TOML) == ["0 -> 1", "5_400 -> 5401", "0.007 -> 0.00707"]


@pytest.mark.parametrize("pattern", FOLDERS)
def test_every_number_is_changed_and_nothing_else(pattern):
    every = [site for path in ROOT.glob(pattern) for site in sites(str(path.relative_to(ROOT)))]
    assert len(every) > 50
    for site in every:
        assert float(site.old) != float(site.new) == float(changed(site.old))
        text = (ROOT / site.path).read_text(encoding="utf-8")
        assert text[site.start : site.end] == site.old
        assert site.mutant != text and site.mutant.count("\n") == text.count("\n")


@pytest.fixture
def put(monkeypatch):
    """Put a text in place of a file's, and take it back after the test."""
    loader = importlib.machinery.SourceFileLoader
    monkeypatch.setattr(loader, "get_code", loader.get_code)
    for module in (io, builtins):
        monkeypatch.setattr(module, "open", module.open)
    return run._put_in_place


def test_a_changed_module_is_what_is_imported(tmp_path, put):
    path = tmp_path / "mutant.py"
    path.write_text("LIMIT = 3.0\n", encoding="utf-8")
    put(path, "LIMIT = 3.03\n")
    spec = importlib.util.spec_from_file_location("mutant", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.LIMIT == 3.03


def test_a_changed_table_is_what_is_read(tmp_path, put):
    path, other = tmp_path / "mutant.toml", tmp_path / "other.toml"
    for each in (path, other):
        each.write_text("high = 1\n", encoding="utf-8")
    put(path, "high = 2\n")
    assert tomllib.loads(path.read_text(encoding="utf-8")) == {"high": 2}
    with path.open("rb") as file:
        assert tomllib.load(file) == {"high": 2}
    assert other.read_text(encoding="utf-8") == "high = 1\n"


@pytest.mark.parametrize(
    ("number", "seeing"),
    [
        pytest.param("6.0", {"six"}, id="in a function: who ran the line"),
        pytest.param("5.0", {"head"}, id="in a condition: who asked it"),
        pytest.param("4.0", {"head", "body", "six"}, id="a default: who called"),
        pytest.param("3.0", {"body"}, id="a table: who ran what uses it"),
        pytest.param("2.0", {"body"}, id="a constant in a table: the same"),
        pytest.param("7.0", {"kind"}, id="in a class: who ran what uses the class"),
    ],
)
def test_who_can_see_a_number(monkeypatch, number, seeing):
    monkeypatch.setattr(statements, "_tree", lambda path: ast.parse(USES.strip("\n")))
    monkeypatch.setattr(statements, "uses", uses_of_one_file)
    monkeypatch.setattr(watch, "uses", uses_of_one_file)
    monkeypatch.setattr(watch, "_words", lambda path: frozenset())
    ran = watch.Ran(
        {"a.py": RAN},
        {test: 0.1 for tests in RAN.values() for test in tests},
    )
    site = next(each for each in sites_in("a.py", USES.strip("\n")) if each.old == number)
    assert watch.who_can_see(site, ran) == seeing


def uses_of_one_file():
    found = defaultdict(list)
    for use_name, use in statements.uses_in("a.py"):
        found[use_name].append(use)
    return found


class Told:
    """Stands in for a child: what it saw is given."""

    def __init__(self, red):
        self.red = red

    def answer(self):
        return self.red


@pytest.mark.parametrize(
    ("red", "listed", "code", "told"),
    [
        pytest.param("test_a", False, 0, "1 seen by a red test, 0 not seen", id="seen"),
        pytest.param("", False, 1, "0 seen by a red test, 1 not seen", id="not seen"),
        pytest.param("", True, 0, "1 can make no difference", id="no difference"),
        pytest.param("test_a", True, 1, "said to make no difference", id="it does, though"),
    ],
)
def test_what_it_tells(monkeypatch, capsys, red, listed, code, told):
    (site,) = sites("chemistry/chloride.py")
    known = {tool._place(site): "because"} if listed else {}
    monkeypatch.setattr(tool, "_equivalent", lambda only: known)
    monkeypatch.setattr(tool, "_answers", lambda todo, *rest: [(each, red) for each in todo])
    monkeypatch.setattr(run, "watched", watch.Ran)
    assert tool.main(["--only", site.path]) == code
    assert told in capsys.readouterr().out


def test_red_before_anything_is_changed(monkeypatch, capsys):
    monkeypatch.setattr(run, "watched", lambda: watch.Ran(red="test_a"))
    assert tool.main(["--only", "chemistry/chloride.py"]) == 2
    assert "red before" in capsys.readouterr().out


def test_a_child_sees_a_changed_number_and_no_more():
    """In a process of its own: a child must not find the chemistry loaded."""
    command = [sys.executable, "-c", CHILDREN]
    found = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    asked, unchanged, changed = found.stdout.splitlines()
    every, seeing, *files = asked.split()
    assert 0 < int(seeing) < int(every) and files == ["tests/chemistry/test_hardness.py"]
    assert unchanged == "-" and "test_hardness.py::test_" in changed


def test_what_can_make_no_difference_is_still_there():
    known = tool._equivalent("")
    assert set(known) <= {tool._place(site) for site in sites()}
    assert all(len(reason) > 20 for reason in known.values())
