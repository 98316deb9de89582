"""Every screen of every role under axe-core: no violation, desk and phone, light and dark.

Rules: those of WCAG 2.2 A and AA that a program can check, and axe's own best practices.
"""

import re
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import resolve
from playwright.sync_api import Page, expect

from tests.browser import screens, steps
from tests.browser.conftest import DESK, PHONE, Opener
from tests.dashboards.test_permissions import MATRIX


def violations(page: Page) -> list[str]:
    """Return what axe finds: rule, and the element where it is."""
    found: list[dict[str, Any]] = Axe().run(page).response["violations"]
    return [f"{v['id']}: {node['target']}" for v in found for node in v["nodes"]]


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("who", screens.WHO)
def test_axe_finds_nothing(
    works: SimpleNamespace, open_browser: Opener, who: str, size: Any
) -> None:
    addresses = screens.by_person(works, screens.tell(works))[who]
    token = works.token if who in ("terminal", "locked") else ""
    # Without motion: a color on its way from light to dark is none that anybody reads.
    page = open_browser(works.url, token, viewport=size, reduced_motion="reduce")
    screens.arrive(page, who)
    found: dict[str, list[str]] = {}
    for name, address in addresses.items():
        answer = page.goto(address)
        assert answer is not None and answer.status == screens.ANSWERS.get(name, 200), name
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            if wrong := violations(page):
                found[f"{name}, {scheme}"] = wrong
    assert found == {}


def test_axe_looks_at_every_page_that_a_role_may_open(works: SimpleNamespace) -> None:
    """The list is as long as the permission table says: a page more is looked at by itself."""
    listed = screens.by_person(works, screens.tell(works))
    assert set(listed) == set(screens.WHO)
    for at, who in enumerate(screens.ROLES):
        names = {resolve(urlsplit(address).path).url_name for address in listed[who].values()}
        may = {name for name, method, *told in MATRIX if method == "get" and told[at] == 200}
        assert may <= names and len(may) >= 5, who


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_a_sheet_full_of_errors(
    works: SimpleNamespace, terminal: Page, scheme: Any
) -> None:
    terminal.emulate_media(color_scheme=scheme)
    steps.unlock(terminal, "Tess Tanner")
    steps.draw(terminal)
    steps.choose(terminal, "automatic")
    steps.read(terminal, "78 psi", "212")
    terminal.get_by_role("button", name="Finish this sample").click()
    expect(terminal.locator(".wrong")).to_be_visible()
    told = terminal.locator(".field-error", has_text=re.compile(r"\w"))
    expect(told).to_have_count(2)
    assert violations(terminal) == []
