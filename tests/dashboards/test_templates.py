"""Every page prints its screen object and keeps what a strict policy and a keyboard ask for."""

import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from django import forms
from django.template.loader import render_to_string
from django.utils import translation

from dashboards.screens.bench import BenchScreen
from dashboards.templatetags.pieces import field_view
from tests.dashboards.fabricated import HIGH, result
from tests.dashboards.fabricated_pages import PAGES
from tests.dashboards.fabricated_round import BENCH, BENCH_BAD, ROUND
from tests.dashboards.fabricated_sheets import SHEET_OWN

VOID = {"input", "meta", "link", "br", "img", "hr", "path", "rect"}
STATIC = Path(__file__).parents[2] / "dashboards" / "static" / "dashboards"
TEMPLATES = STATIC.parents[1] / "templates"


class Page(HTMLParser):
    """The elements of a page in order, its words, and what was left open."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.words = ""
        self.open: list[str] = []
        self.scripts: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {k: v or "" for k, v in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-3:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in {"script", "style"}:
            self.scripts.append(data)
        self.words += data

    def values(self, name: str) -> list[str]:
        return [attrs[name] for _, attrs in self.elements if name in attrs]


def render(name: str) -> str:
    template, screen, chrome = PAGES[name]
    context: dict[str, Any] = {"screen": screen, "chrome": chrome, "demo": True}
    return render_to_string(f"dashboards/{template}.html", context | {"csrf_token": "token"})


@pytest.fixture(params=sorted(PAGES))
def page(request: pytest.FixtureRequest) -> Page:
    return Page(render(request.param))


def test_nothing_is_written_inline(page: Page) -> None:
    handlers = [k for _, attrs in page.elements for k in attrs if k.startswith("on")]
    assert page.scripts == [] and page.values("style") == [] and handlers == []
    assert not any(tag == "style" for tag, _ in page.elements)


def test_every_element_is_closed_and_every_id_is_single(page: Page) -> None:
    ids = page.values("id")
    assert page.open == []
    assert sorted(ids) == sorted(set(ids))


def test_every_reference_within_the_page_is_answered(page: Page) -> None:
    ids = set(page.values("id"))
    asked = {
        part
        for name in ("for", "aria-describedby", "aria-labelledby", "data-for")
        for value in page.values(name)
        for part in value.split()
    }
    assert asked <= ids


def test_every_field_has_a_name_for_who_does_not_see_it(page: Page) -> None:
    labelled = set(page.values("for")) | {
        attrs.get("id", "")
        for tag, attrs in page.elements
        if attrs.get("type") in {"hidden", "radio", "checkbox"} or "aria-label" in attrs
    }
    fields = [a.get("id", "") for t, a in page.elements if t in {"select", "textarea", "input"}
              and a.get("type") != "hidden"]  # fmt: skip
    assert set(fields) <= labelled


def test_every_post_carries_its_token(page: Page) -> None:
    posts = sum(a.get("method") == "post" for t, a in page.elements if t == "form")
    tokens = sum(a.get("name") == "csrfmiddlewaretoken" for _, a in page.elements)
    assert posts == tokens


def test_one_heading_leads_the_page(page: Page) -> None:
    assert sum(tag == "h1" for tag, _ in page.elements) == 1


def test_no_template_code_reaches_the_reader(page: Page) -> None:
    assert not re.search(r"\{[{%]|[%}]\}|VerdictView|None", page.words)


def test_demo_data_says_so(page: Page) -> None:
    assert "every plant, person and company here is invented" in page.words


def test_every_verdict_is_told_in_words() -> None:
    words = Page(render("round")).words
    for word in ("In range", "Near the limit", "High", "Not judged", "In doubt"):
        assert word in words


def test_what_was_typed_and_what_is_wrong_stand_together() -> None:
    page = Page(render("bench_bad"))
    assert "1,4e" in page.values("value")
    assert "Write 1420 or 1.42" in page.words
    assert any(a.get("id") == "f-reading" and a.get("aria-invalid") for _, a in page.elements)


def test_a_correction_leaves_the_old_figure_readable() -> None:
    html = render("sheet")
    assert re.search(r"<s class=\"struck\">124 ± 3 µS/cm</s>", html)
    assert "Decimal slip" in html


def test_a_stale_sheet_and_ones_own_tests_are_explained() -> None:
    words = Page(render("sheet_own")).words
    assert "changed since you opened it" in words
    assert SHEET_OWN.cannot_sign in words
    assert "Sign this sheet" not in words


def test_the_signature_covers_the_digest_that_was_seen() -> None:
    page = Page(render("sheet"))
    assert any(a.get("name") == "seen" and a["value"].startswith("9f2c") for _, a in page.elements)


@pytest.mark.parametrize("screen", [BENCH, BENCH_BAD], ids=["worked", "error"])
def test_a_live_reply_only_touches_places_that_the_sheet_has(screen: BenchScreen) -> None:
    sheet = set(Page(render("bench")).values("id"))
    reply = Page(render_to_string("dashboards/parts/bench_reply.html", {"screen": screen}))
    swapped = [a["id"] for _, a in reply.elements if "hx-swap-oob" in a]
    assert swapped and set(swapped) <= sheet
    typed = {f.id for block in screen.blocks for f in block.fields}
    assert not typed & set(reply.values("id"))


def test_an_error_that_is_gone_is_swapped_for_nothing() -> None:
    reply = render_to_string("dashboards/parts/bench_reply.html", {"screen": BENCH})
    assert '<p id="f-reading-error" hx-swap-oob="innerHTML"></p>' in reply


def test_a_drawing_keeps_decimal_points_in_every_language() -> None:
    with translation.override("de"):
        html = render_to_string("dashboards/parts/result.html", {"result": result(1284.5, HIGH)})
    for path in re.findall(r' d="([^"]+)"', html):
        assert "," not in path


def test_a_plain_form_field_prints_like_any_other() -> None:
    class Form(forms.Form):
        note = forms.CharField(label="Note", help_text="Short.", widget=forms.Textarea)
        roles = forms.MultipleChoiceField(
            choices=[("a", "A"), ("b", "B")], widget=forms.CheckboxSelectMultiple
        )

    form = Form({"note": "", "roles": ["b"]})
    note, roles = field_view(form["note"]), field_view(form["roles"])
    assert (note.kind, note.help, note.required) == ("textarea", "Short.", True)
    assert note.error == "This field is required."
    assert (roles.kind, [c.selected for c in roles.choices]) == ("checkboxes", [False, True])


@pytest.mark.parametrize("name", ["404.html", "403.html", "500.html"])
def test_errors_have_pages_of_their_own(name: str) -> None:
    page = Page(render_to_string(name))
    assert page.scripts == [] and page.values("style") == []
    assert sum(tag == "h1" for tag, _ in page.elements) == 1


def test_a_due_sample_is_started_for_its_slot_once() -> None:
    page = Page(render("round"))
    keys = [a["value"] for _, a in page.elements if a.get("name") == "key"]
    slots = [a["value"] for _, a in page.elements if a.get("name") == "slot"]
    assert len(keys) == len(set(keys))
    assert ROUND.overdue[0].slot_id in slots


def test_a_refused_form_is_not_folded_away() -> None:
    page = Page(render("plant_setup"))
    folded = ["open" not in attrs for tag, attrs in page.elements if tag == "details"]
    assert folded == [True, False]


def test_style_and_script_files_stay_small() -> None:
    for path in [*STATIC.glob("*.css"), *STATIC.glob("*.js"), *TEMPLATES.rglob("*.html")]:
        assert len(path.read_text().splitlines()) < 400, path
