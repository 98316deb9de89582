"""A method or a recipe is added by adding one file: tried on a copy of the package, in a process of
its own."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import chemistry

NEW_METHOD = '''
"""A test of the taste, invented for this test."""

from dataclasses import replace

from chemistry.methods import conductivity

OLDER = replace(conductivity.METHOD, key="taste", version="9")
METHODS = (OLDER, replace(OLDER, version="10"))
'''
ANOTHER_CONDUCTIVITY = '''
"""A method that takes another one's key and version."""

from dataclasses import replace

from chemistry.methods import conductivity

METHOD = replace(conductivity.METHOD, name="Mine")
'''
ASK = """
from chemistry import methods
print(methods.latest("taste").version, methods.get("taste", "9").version)
print(methods.latest("conductivity").version)
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The methods folder of a copy of the package."""
    package = Path(chemistry.__file__).parent
    shutil.copytree(package, tmp_path / "chemistry", ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path / "chemistry" / "methods"


def run(folder: Path, code: str) -> subprocess.CompletedProcess[str]:
    where = folder.parents[1]
    command = [sys.executable, "-W", "error", "-c", code]
    return subprocess.run(command, cwd=where, capture_output=True, text=True, check=False)


def test_one_file_more_is_one_method_more(folder):
    assert "unknown_method" in run(folder, ASK).stderr
    (folder / "taste.py").write_text(NEW_METHOD, encoding="utf-8")
    found = run(folder, ASK)
    assert found.stdout.split() == ["10", "9", "1"], found.stderr


def test_a_key_and_version_taken_already_stops_the_import(folder):
    (folder / "mine.py").write_text(ANOTHER_CONDUCTIVITY, encoding="utf-8")
    found = run(folder, "from chemistry import methods")
    assert found.returncode != 0
    assert "ValueError: two methods are called conductivity 1" in found.stderr


NEWER_RECIPES = """
from dataclasses import replace
from chemistry.recipes import balance
RECIPES = (replace(balance.RECIPE, version="9"), replace(balance.RECIPE, version="10"))
"""


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (NEWER_RECIPES, "10"),
        (
            "from chemistry.recipes.balance import RECIPE",
            "ValueError: two recipes are called balance 1",
        ),
        ("RECIPE = 5", "ValueError: 5 in chemistry.recipes is no Recipe"),
    ],
)
def test_one_file_more_is_one_recipe_more(folder, text, told):
    (folder.parent / "recipes" / "zz_more.py").write_text(text, encoding="utf-8")
    ran = run(folder, "from chemistry import recipes; print(recipes.latest('balance').version)")
    assert told in ran.stdout + ran.stderr
