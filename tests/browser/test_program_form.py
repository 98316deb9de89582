"""A new version of a program written in a browser: by keyboard, on a phone, under axe-core."""

from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from records.models import Program, ProgramVersion
from tests.browser import steps
from tests.browser.conftest import DESK, PHONE, Opener
from tests.browser.test_axe import violations


def begin(works: SimpleNamespace, open_browser: Opener, **options: Any) -> Page:
    """Open the form of the boiler's program as its chemist."""
    page = open_browser(works.url, reduced_motion="reduce", **options)
    steps.sign_in(page, "cleo-larkfield")
    program = Program.objects.get(plant=works.plant, boiler=works.boiler)
    page.goto(reverse("program-version", args=[works.plant.pk, program.pk]))
    return page


def on(page: Page, key: str) -> None:
    """Go on with Tab until the field or button is reached, as a person without a mouse does."""
    for _step in range(120):
        page.keyboard.press("Tab")
        at = "[document.activeElement.name, document.activeElement.value]"
        name, value = page.evaluate(f"() => {at}")
        if key in (name, f"{name}={value}"):
            return
    raise AssertionError(f"no {key} on the way")


def test_a_limit_is_added_filled_in_and_recorded_by_keyboard_alone(
    works: SimpleNamespace, open_browser: Opener
) -> None:
    page = begin(works, open_browser)
    on(page, "add.what")
    page.keyboard.type("Sulfite")
    on(page, "do=add-limit")
    page.keyboard.press("Enter")
    expect(page.locator("#l1")).to_contain_text("Sulfite")
    expect(page.locator("#l1")).to_be_in_viewport()
    for name, text in (("l1.low", "20"), ("l1.high", "40"), ("l1.source", "Plant decision")):
        on(page, name)
        page.keyboard.type(text)
    page.keyboard.press("Enter")  # in a field: everything is kept, nothing is recorded
    expect(page.locator('[name="l1.high"]')).to_have_value("40")
    assert ProgramVersion.objects.count() == 1
    on(page, "do=put")
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_contain_text("not yet in force")


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_a_form_with_a_set_beside_it_and_errors(
    works: SimpleNamespace, open_browser: Opener, size: Any, scheme: Any
) -> None:
    page = begin(works, open_browser, viewport=size, color_scheme=scheme)
    page.get_by_label("Limit set", exact=True).select_option(index=2)
    page.get_by_role("button", name="Lay it beside the form").click()
    expect(page.locator(".laid")).to_be_visible()
    page.get_by_role("button", name="Take out").first.click()
    page.get_by_role("button", name="Show what would").click()
    expect(page.locator(".looked")).to_be_visible()
    assert violations(page) == []
    page.locator('[name="s0.times"]').fill("25:00")
    page.get_by_role("button", name="Record this version").click()
    expect(page.locator("#trouble")).to_be_in_viewport()
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_draws_after_events_with_errors(
    works: SimpleNamespace, open_browser: Opener, size: Any, scheme: Any
) -> None:
    page = begin(works, open_browser, viewport=size, color_scheme=scheme)
    add = page.get_by_role("button", name="Add this draw")
    for event in ("A chemical is dosed", "A result lies above a trigger"):
        page.get_by_label("What happened").select_option(label=event)
        add.click()
    expect(page.locator("#e1")).to_contain_text("above a trigger")
    expect(page.locator("#e1")).to_be_in_viewport()
    assert violations(page) == []
    page.locator('[name="e1.trigger"]').fill("many")
    page.locator('[name="e1.test.ph"]').check()
    page.get_by_role("button", name="Record this version").click()
    expect(page.locator("#trouble")).to_be_in_viewport()
    expect(page.locator('[id="f-e1.trigger-error"]')).to_contain_text("not a number")
    expect(page.locator('[name="e1.trigger"]')).to_have_value("many")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
