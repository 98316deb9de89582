"""The handbook's pictures, of an invented plant; WATERSIDE_PICTURES=1 writes them anew.

A normal run looks at the same four screens: that each shows what its picture is of.
"""

import os
from pathlib import Path
from types import SimpleNamespace

from django.conf import settings
from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.conftest import Opener
from tests.records import story

FOLDER = Path(settings.BASE_DIR) / "dashboards" / "help" / "pictures"
LARGEST = 150_000


def taken(page: Page, name: str) -> None:
    """Take the picture of what is on the screen; keep it where that is asked for."""
    picture = page.screenshot(animations="disabled")
    assert 10_000 < len(picture) < LARGEST, f"{name}: {len(picture)} bytes"
    if os.environ.get("WATERSIDE_PICTURES") == "1":
        FOLDER.mkdir(exist_ok=True)
        (FOLDER / f"{name}.png").write_bytes(picture)


def test_the_four_pictures(works: SimpleNamespace, terminal: Page, open_browser: Opener) -> None:
    steps.unlock(terminal, "Tess Tanner")
    expect(terminal.get_by_role("button", name="Draw and test").first).to_be_visible()
    taken(terminal, "round")
    steps.draw(terminal)
    steps.choose(terminal, "automatic")
    steps.read(terminal, "1420")
    expect(terminal.locator(steps.WORKED)).to_contain_text("High")
    terminal.locator(".test-head").scroll_into_view_if_needed()
    terminal.evaluate("document.querySelector('.test').scrollIntoView()")
    taken(terminal, "bench")
    steps.finish(terminal)
    steps.act_without_a_second_draw(terminal)
    for field, typed in story.REMEDY_TYPED.items():
        terminal.fill(f"#f-{field}", typed)
    terminal.get_by_role("button", name="Work out the blowdown").click()
    expect(terminal.locator(".remedy-headline")).to_be_visible()
    terminal.evaluate("document.querySelector('.remedy').scrollIntoView()")
    taken(terminal, "sample")
    steps.to_sheet(terminal)
    steps.hand_in(terminal)
    sam = open_browser(works.url)
    steps.sign_in(sam, "sam-larkfield")
    sam.goto(terminal.url)
    steps.press_sign(sam)
    expect(sam.locator(".status").first).to_have_text("Signed")
    taken(sam, "sheet")
