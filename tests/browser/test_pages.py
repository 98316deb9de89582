"""On a phone, by keyboard alone, in print."""

import re
from types import SimpleNamespace
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests import factories
from tests.browser import screens, steps
from tests.browser.conftest import DESK, PHONE, Opener

FOCUS_SHOWN = """(e) => [e, e.closest('.choice') || e].some(
    (each) => getComputedStyle(each).outlineStyle !== 'none')"""
TOO_WIDE = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_no_page_scrolls_sideways(works: SimpleNamespace, open_browser: Opener, size: Any) -> None:
    told = screens.tell(works)
    found = {}
    for who, addresses in screens.by_person(works, told).items():
        token = works.token if who in ("terminal", "locked") else ""
        page = open_browser(works.url, token, viewport=size)
        screens.arrive(page, who)
        for name, address in addresses.items():
            page.goto(address)
            if wide := page.evaluate(TOO_WIDE):
                found[f"{who}, {name}"] = wide
    assert found == {}


def test_the_bench_sheet_fits_a_phone(works: SimpleNamespace, open_browser: Opener) -> None:
    page = open_browser(works.url, works.token, viewport=PHONE)
    steps.unlock(page, "Tess Tanner")
    steps.draw(page)
    for mode in ("set_on_meter", "automatic", "uncompensated"):
        steps.choose(page, mode)
        steps.read(page, "1420")
        expect(page.locator("#save-line")).to_contain_text("Saved at")
        assert page.evaluate(TOO_WIDE) == 0
    small = page.evaluate(
        "[...document.querySelectorAll('#bench-form button, #bench-form input.box')]"
        ".filter((e) => e.offsetParent && e.getBoundingClientRect().height < 44).length"
    )
    assert small == 0


def test_by_keyboard_alone_from_the_pin_to_the_finished_sample(
    works: SimpleNamespace, terminal: Page
) -> None:
    keys = terminal.keyboard
    terminal.goto("/terminal")
    terminal.keyboard.press("Tab")
    expect(terminal.locator(".skip")).to_be_focused()
    tab_to(terminal, "link", re.compile("Tess Tanner"))
    keys.press("Enter")
    expect(terminal.locator("#pin")).to_be_focused()
    keys.type(factories.PIN)
    keys.press("Enter")
    expect(terminal.get_by_role("heading", name="Round", exact=True)).to_be_visible()
    tab_to(terminal, "button", re.compile("Draw and test"))
    keys.press("Enter")
    expect(terminal.locator("#bench-form")).to_be_visible()
    tab_to(terminal, "radio", re.compile("Temperature set on the meter by hand"))
    keys.press("ArrowDown")  # the next way: the meter corrects by itself
    tab_to(terminal, "textbox", re.compile("^Reading on the meter"))
    keys.type("1420")
    keys.press("Enter")  # leads on, sends nothing
    expect(terminal.locator("#conductivity-temperature")).to_be_focused()
    keys.type("77")
    expect(terminal.locator(steps.WORKED)).to_contain_text("High")
    tab_to(terminal, "button", re.compile("Finish this sample"))
    keys.press("Enter")
    expect(terminal).to_have_url(re.compile("/samples/"))


def tab_to(page: Page, role: Any, name: re.Pattern[str]) -> None:
    """Press Tab until the wanted one has the focus; its focus must be seen."""
    wanted = page.get_by_role(role, name=name).first
    for _press in range(60):
        page.keyboard.press("Tab")
        if wanted.evaluate("(e) => e === document.activeElement"):
            assert wanted.evaluate(FOCUS_SHOWN), f"{name.pattern}: its focus is not seen"
            return
    raise AssertionError(f"{role} {name.pattern} is not reached by Tab")


def test_a_signed_sheet_prints_with_its_signatures(
    works: SimpleNamespace, open_browser: Opener
) -> None:
    told = screens.tell(works)
    page = open_browser(works.url)
    steps.sign_in(page, "sam-larkfield")
    page.goto(f"/plants/{works.plant.pk}/sheets/{told.signed.pk}")
    page.emulate_media(media="print")
    for told_on_paper in ("Sam Sutter", "Tess Tanner", "Ledger head", "Digest of this sheet"):
        expect(page.get_by_text(told_on_paper).last).to_be_visible()
    expect(page.locator(".signatures .seal-name")).not_to_have_count(0)
    expect(page.locator(".spine-nav")).to_be_hidden()
    expect(page.get_by_role("button")).to_have_count(0)
    paper = page.pdf(format="A4", print_background=False)
    assert paper.startswith(b"%PDF") and len(paper) > 10_000
