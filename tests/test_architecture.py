"""The house rules, executed on the source. Each checker is also shown something it must find.

A checker takes source text and returns what is wrong with it, line by line; so it can be fed a bad
example. Sizes of files and functions are printed with `pytest -rP`.
"""

import ast
import fnmatch
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import pytest
from django.db import migrations, models
from django.db.migrations.loader import MigrationLoader

ROOT = Path(__file__).resolve().parents[1]
MOST_FILE_LINES = 400
MOST_BODY_LINES = 60


# The patterns that git leaves out; ours name a folder or a file, never a path.
IGNORED = [".git", *(ROOT / ".gitignore").read_text(encoding="utf-8").replace("/", "").split()]


def kept_files(folder: Path = ROOT) -> Iterator[Path]:
    """Yield the files under a folder that belong in git."""
    for path in sorted(folder.iterdir()):
        if any(fnmatch.fnmatch(path.name, pattern) for pattern in IGNORED):
            continue
        if path.is_dir():
            yield from kept_files(path)
        else:
            yield path


KEPT = list(kept_files())
PYTHON = [path for path in KEPT if path.suffix == ".py" and path.parent.name != "migrations"]
TEMPLATES = [path for path in KEPT if "templates" in path.parts and path.suffix == ".html"]


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def python_in(*folders: str) -> list[Path]:
    return [path for path in PYTHON if name_of(path).startswith(folders)]


def found_in(paths, checker) -> list[str]:
    """Return what a checker finds in files, each with its place."""
    return [
        f"{name_of(path)}: {trouble}"
        for path in paths
        for trouble in checker(path.read_text(encoding="utf-8"))
    ]


def test_the_files_judged_are_the_project():
    names = {name_of(path) for path in KEPT}
    assert {"chemistry/water.py", "manage.py", "tests/test_architecture.py"} <= names
    assert len(PYTHON) > 100 and len(TEMPLATES) > 20
    assert not any(name.startswith((".venv/", ".git/", "var/")) for name in names)


# Imports run one way: config over dashboards over records over chemistry.

CHEMISTRY_MAY = {"chemistry", "numpy", "scipy", "pint", "chemicals", *sys.stdlib_module_names}
FORBIDDEN = {
    "records/": ("config", "dashboards", "tests", "plotly", "django_htmx"),
    "records/selectors/": ("records.services",),
    "records/models/": ("records.services", "records.selectors", "records.access"),
    "dashboards/": ("config", "tests"),
    "config/": ("tests",),
}


def imported(source: str) -> Iterator[str]:
    """Yield the full name of each module imported, wherever in the file; `from a import b` yields
    both a and a.b."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (each.name for each in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module
            yield from (f"{node.module}.{each.name}" for each in node.names)


def imports_of(*forbidden: str):
    def check(source: str) -> list[str]:
        return [
            name
            for name in imported(source)
            if any(name == bad or name.startswith(f"{bad}.") for bad in forbidden)
        ]

    return check


def imports_beyond_chemistry(source: str) -> list[str]:
    return [name for name in imported(source) if name.split(".")[0] not in CHEMISTRY_MAY]


def test_chemistry_imports_nothing_but_numbers():
    assert imports_beyond_chemistry("def f():\n    from django.db import models")
    assert imports_beyond_chemistry("import math, records.clock") == ["records.clock"]
    assert found_in(python_in("chemistry/"), imports_beyond_chemistry) == []


@pytest.mark.parametrize("folder", FORBIDDEN)
def test_imports_run_one_way(folder):
    check = imports_of(*FORBIDDEN[folder])
    parent, _, name = FORBIDDEN[folder][0].rpartition(".")
    bad = f"from {parent} import {name}" if parent else f"import {name}.more"
    assert check(bad) and not check(f"import not_{FORBIDDEN[folder][0]}")
    assert python_in(folder)
    assert found_in(python_in(folder), check) == []


# Services are the only writers; screens and addresses go through the access gate.

MANAGERS = {"objects", "_default_manager", "_base_manager"}
WRITES = {
    name
    for verb in ("save", "create", "update", "delete", "get_or_create", "update_or_create")
    for name in (verb, f"a{verb}")
} | {"bulk_create", "bulk_update", "abulk_create", "abulk_update", "cursor", "executescript"}


def attributes_named(names: set[str]):
    """Return a checker for `something.name`, called or not, and for `getattr(x, "name")`.

    By name alone: a dictionary's `update` counts too, and `|` says the same.
    """

    def check(source: str) -> list[str]:
        found = []
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Attribute) and node.attr in names:
                found.append(f"{node.lineno} .{node.attr}")
            called = isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
            if called and node.func.id in {"getattr", "setattr"} and len(node.args) > 1:
                second = node.args[1]
                if isinstance(second, ast.Constant) and second.value in names:
                    found.append(f"{node.lineno} {second.value}")
        return found

    return check


def test_screens_and_api_go_round_no_gate():
    check = attributes_named(MANAGERS)
    assert check("Sample.objects.all()") and check("Sample._base_manager")
    assert check("getattr(Sample, 'objects')")
    assert python_in("records/api/")
    assert found_in(python_in("dashboards/", "records/api/"), check) == []


def test_screens_and_selectors_write_nothing():
    check = attributes_named(WRITES)
    for bad in ("row.save()", "rows.filter(a=1).update(b=2)", "rows.bulk_create([])", "x.adelete"):
        assert check(bad), bad
    assert not check("saved = row.saved()")
    assert found_in(python_in("dashboards/", "records/api/", "records/selectors/"), check) == []


# Budgets: what a reader can take in at once.


def body_lines(source: str) -> list[tuple[int, str]]:
    """Return (lines of its body without the docstring, line and name) of each function."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) is not None else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            found.append((lines, f"{node.lineno} {node.name}"))
    return found


def too_long_bodies(source: str) -> list[str]:
    return [f"{where} has {n} lines" for n, where in body_lines(source) if n > MOST_BODY_LINES]


def too_long_file(source: str) -> list[str]:
    lines = len(source.splitlines())
    return [f"{lines} lines"] if lines > MOST_FILE_LINES else []


def test_no_file_is_too_long():
    assert too_long_file("x = 1\n" * (MOST_FILE_LINES + 1))
    assert not too_long_file("x = 1\n" * MOST_FILE_LINES)
    assert found_in(PYTHON, too_long_file) == []


def test_no_function_is_too_long():
    fits = 'def f():\n    """Say what."""\n' + "    x = 1\n" * MOST_BODY_LINES
    assert not too_long_bodies(fits)
    assert too_long_bodies(fits + "    x = 1\n")
    assert found_in(PYTHON, too_long_bodies) == []


def test_sizes_are_told(record_property):
    """Aims, not limits: a median file of 100 lines, a median body of 10."""
    sources = [path.read_text(encoding="utf-8") for path in PYTHON]
    bodies = [lines for source in sources for lines, _ in body_lines(source)]
    files = [len(source.splitlines()) for source in sources if source]
    assert len(bodies) > len(files) > 100
    for name, numbers in (("file", files), ("body", bodies)):
        record_property(f"median_{name}_lines", median(numbers))
        sys.stdout.write(f"{name}: median {median(numbers):g} lines, longest {max(numbers)}\n")


# Migrations are named for what they do.


def names_of_djangos_own(found: dict[str, migrations.Migration]) -> list[str]:
    """Return the migrations whose name is the one Django would have made up."""
    return [
        name
        for name, migration in found.items()
        if name.partition("_")[2] == migration.suggest_name() or "_auto_" in name
    ]


def test_every_migration_was_named_by_a_person():
    made_up = migrations.Migration("0002_boiler_fuel", "records")
    made_up.operations = [migrations.AddField("boiler", "fuel", models.TextField())]
    assert names_of_djangos_own({"0002_boiler_fuel": made_up}) == ["0002_boiler_fuel"]
    assert names_of_djangos_own({"0002_what_burns": made_up}) == []
    loader = MigrationLoader(None)
    ours = {name: each for (app, name), each in loader.disk_migrations.items() if app == "records"}
    assert ours
    assert names_of_djangos_own(ours) == []


# Templates keep the content-security policy: no style and no script of their own.

TAG = re.compile(r"<[a-z][^<>]*>", re.IGNORECASE)
INLINE = re.compile(r"\s(style|on[a-z]+|hx-on[\w:.-]*)\s*=", re.IGNORECASE)
SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script", re.IGNORECASE | re.DOTALL)


def inline_parts(template: str) -> list[str]:
    found = [tag for tag in TAG.findall(template) if INLINE.search(tag)]
    found += re.findall(r"<style\b", template, re.IGNORECASE)
    for attributes, body in SCRIPT.findall(template):
        if body.strip() or "src=" not in attributes:
            found.append(f"<script{attributes}>")
    return found


@pytest.mark.parametrize(
    "bad",
    [
        '<p class="a" style="color: red">',
        "<button\n onclick='go()'>",
        '<div hx-on:click="go()">',
        "<style>p {}</style>",
        "<script>go()</script>",
        '<script src="a.js">go()</script>',
    ],
)
def test_an_inline_part_of_a_template_is_found(bad):
    assert inline_parts(bad)


def test_templates_have_no_inline_style_or_script():
    assert not inline_parts(
        """<script src="{% static 'a.js' %}" defer></script><p>a style = b</p>"""
    )
    assert found_in(TEMPLATES, inline_parts) == []


# What is in git knows no developer's machine.

MACHINE_PATH = re.compile(
    r"(?<![\w.:/-])/(?:home|Users|root|work|mnt|Volumes)/[\w.-]+|\b[A-Z]:\\+Users\\"
)


def machine_paths(text: str) -> list[str]:
    return MACHINE_PATH.findall(text)


def test_no_file_names_a_path_of_a_developers_machine():
    for parts in (("", "home", "ann", "x.py"), ("", "work", "main"), ("", "Users", "ann")):
        assert machine_paths(f'open("{"/".join(parts)}")'), parts
    assert machine_paths("C:" + r"\Users\ann")
    assert not machine_paths("https://example.org/home/page /usr/bin/env ../build/main")
    texts = [path for path in KEPT if b"\0" not in path.read_bytes()]
    assert found_in(texts, machine_paths) == []
