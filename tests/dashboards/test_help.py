"""The handbook says what is so: its commands exist, its settings are known."""

import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.core.management import get_commands
from django.urls import resolve

from dashboards.build.handbook import PAPER, VARIANTS, as_html
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


PICTURES = ROOT / "dashboards" / "help" / "pictures"
PICTURE = re.compile(r"!\[([^]]*)\]\((?:dashboards/help/)?pictures/([^)]+)\)")
MOST_BYTES = 3_000_000  # rule of our own: a clone stays small


def pictures_named() -> list[tuple[str, str]]:
    """Return the words and the file of each picture that a chapter or the README shows."""
    texts = [path.read_text("utf-8") for path in (*CHAPTERS, ROOT / "README.md")]
    return [found for text in texts for found in PICTURE.findall(text)]


def test_every_picture_is_there_at_both_sizes_and_in_both_schemes() -> None:
    wanted = set()
    for _words, file in pictures_named():
        name, _dot, ending = file.rpartition(".")
        variants = () if name.endswith(PAPER) else [variant for variant, *_ in VARIANTS]
        wanted |= {f"{name}{variant}.{ending}" for variant in ("", *variants)}
    assert len(wanted) > 40
    assert {path.name for path in PICTURES.iterdir()} == wanted
    assert sum(path.stat().st_size for path in PICTURES.iterdir()) < MOST_BYTES
    for file in wanted:
        assert finders.find(f"help/{file}"), file


def test_every_picture_is_told_in_words() -> None:
    words = {file: told for told, file in pictures_named() if told}
    assert set(words) == {file for _words, file in pictures_named()}
    assert all(len(told) >= 40 for told in words.values())
    assert len(set(words.values())) == len(words)


@pytest.mark.parametrize("slug", ["tester", "supervisor", "chemist", "administrator"])
def test_each_role_has_its_main_screens_in_its_chapter(slug: str) -> None:
    text = (ROOT / "dashboards" / "help" / f"{slug}.md").read_text("utf-8")
    assert len([f for _words, f in PICTURE.findall(text) if f"{PAPER}." not in f]) >= 2


def test_a_picture_of_the_handbook_becomes_a_choice() -> None:
    html = as_html("Look:\n\n![The round, as it is due](pictures/round.webp)\n\nThen go on.")
    assert html.count("<source") == 3 and html.count("<img") == 1
    for name in ("round-phone-dark", "round-phone", "round-dark", "round"):
        assert f'/static/help/{name}.webp"' in html
    assert 'alt="The round, as it is due"' in html
    assert html.endswith("<p>Then go on.</p>")
    order = [html.index(f"round{each}.webp") for each in ("-phone-dark", "-phone", "-dark")]
    assert order == sorted(order)  # the first that suits is shown


def test_a_printed_page_and_a_picture_from_elsewhere_have_no_choice() -> None:
    html = as_html("![A sheet](pictures/sheet-paper.webp) ![Else](/elsewhere.png)")
    assert "<source" not in html
    assert '/static/help/sheet-paper.webp"' in html and 'src="/elsewhere.png"' in html
