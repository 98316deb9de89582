"""The handbook says what is so: its commands exist, its settings are known."""

import re
from pathlib import Path

import pytest
from django.core.management import get_commands
from django.urls import resolve

from dashboards.views.help import PAGES
from tests.served import ROOT

CHAPTERS = sorted((ROOT / "dashboards" / "help").glob("*.md"))
SETTINGS = (ROOT / "config" / "settings.py").read_text("utf-8")
MAKEFILE = (ROOT / "Makefile").read_text("utf-8")


def test_each_chapter_is_listed() -> None:
    assert {path.stem for path in CHAPTERS} == set(PAGES)


@pytest.mark.parametrize("path", CHAPTERS, ids=lambda path: path.stem)
def test_what_a_chapter_names_is_there(path: Path) -> None:
    text = path.read_text("utf-8")
    # "manage.py is" speaks of the file itself
    commands = set(re.findall(r"manage\.py (\w+)", text)) - {"is"}
    assert commands <= set(get_commands())
    assert all(f"{name}:" in MAKEFILE for name in re.findall(r"`make (\w+)`", text))
    named = set(re.findall(r"\b(?:WATERSIDE_\w+|DATABASE_URL)\b", text))
    assert all(name in SETTINGS for name in named)
    for address in re.findall(r"\]\((/[^)]+)\)", text):
        assert resolve(address).url_name == "help-page"


def test_the_administrators_chapter_has_its_commands() -> None:
    text = (ROOT / "dashboards" / "help" / "administrator.md").read_text("utf-8")
    for command in ("backup", "restore", "verify_ledger", "changepassword", "migrate"):
        assert f"manage.py {command}" in text
