"""What comes out of a printer: as text, as a picture, on both sizes of paper."""

import base64
import re
from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect

from records.models import LedgerHead
from records.selectors.sheets import stand_of
from tests import factories
from tests.browser import screens, steps
from tests.browser.conftest import Opener
from tests.records import story

# The paper between the margins of print.css (12 mm left and right), at 96 pixels an inch (CSS).
PAPER = {"A4": round((210 - 24) / 25.4 * 96), "Letter": round((215.9 - 24) / 25.4 * 96)}
sizes = pytest.mark.parametrize("size", PAPER)
TOO_WIDE = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
# The pixels of a picture that are neither black, white nor gray, and those that are dark.
COUNT_PIXELS = """async (data) => {
  const image = new Image();
  image.src = 'data:image/png;base64,' + data;
  await image.decode();
  const canvas = new OffscreenCanvas(image.width, image.height);
  const drawing = canvas.getContext('2d');
  drawing.drawImage(image, 0, 0);
  const pixels = drawing.getImageData(0, 0, image.width, image.height).data;
  let colored = 0, dark = 0;
  for (let i = 0; i < pixels.length; i += 4) {
    const [r, g, b] = [pixels[i], pixels[i + 1], pixels[i + 2]];
    colored += Math.max(r, g, b) - Math.min(r, g, b) > 8;
    dark += r < 64;
  }
  return {colored, dark, all: pixels.length / 4};
}"""


def on_paper(page: Page, address: str, size: str) -> str:
    """Open a page as it is printed; returns its words."""
    page.emulate_media(media="print")
    page.set_viewport_size({"width": PAPER[size], "height": 1000})
    page.goto(address)
    return " ".join(page.locator("body").inner_text().split())


def sheets_of_paper(page: Page, size: str) -> int:
    paper = page.pdf(format=size)
    assert paper.startswith(b"%PDF")
    return len(re.findall(rb"/Type /Page\b", paper))


def pixels(chromium: Browser, picture: bytes) -> dict[str, int]:
    """Count what a picture is made of, on a page that has no policy of ours."""
    bare = chromium.new_page()
    counted: dict[str, int] = bare.evaluate(COUNT_PIXELS, base64.b64encode(picture).decode())
    bare.close()
    return counted


@sizes
def test_a_log_sheet_is_a_whole_record_on_paper(
    works: SimpleNamespace, open_browser: Opener, chromium: Browser, size: str
) -> None:
    told = screens.tell(works)
    page = open_browser(works.url)
    steps.sign_in(page, "sam-larkfield")
    words = on_paper(page, reverse("sheet", args=[works.plant.pk, told.signed.pk]), size)
    head = LedgerHead.objects.get(plant=works.plant)
    for text in (
        "Exceptions",
        "1500",
        "Signed Sam Sutter",
        "Tester, by hand",
        "Supervisor, by hand",
        "softener 2 is rinsing",
        f"Digest of this sheet {stand_of(told.signed).digest}",
        f"Ledger head, entry {head.sequence} {head.digest}",
        "Printed ",
    ):
        assert text in words, text
    for gone in ("Sign out", "History", "Amend ", "Print "):
        assert gone not in words, gone
    check_picture(page, chromium)
    assert 1 <= sheets_of_paper(page, size) <= 4


def check_picture(page: Page, chromium: Browser) -> None:
    """Nothing is cut off at the side; all is black on white, and not empty."""
    assert page.evaluate(TOO_WIDE) == 0
    counted = pixels(chromium, page.screenshot(full_page=True))
    assert counted["colored"] == 0
    assert 0.005 < counted["dark"] / counted["all"] < 0.25


def test_a_screen_in_color_is_told_from_paper(
    works: SimpleNamespace, open_browser: Opener, chromium: Browser
) -> None:
    """The picture test itself finds color where there is some."""
    page = open_browser(works.url)
    page.goto(reverse("login"))
    assert pixels(chromium, page.screenshot())["colored"] > 1000


@sizes
def test_a_handover_fits_one_sheet_of_paper(
    works: SimpleNamespace, open_browser: Opener, chromium: Browser, size: str
) -> None:
    story.draw(works, "1480")
    story.note(works)
    page = open_browser(works.url)
    steps.sign_in(page, "sam-larkfield")
    words = on_paper(page, reverse("handover", args=[works.plant.pk]), size)
    for text in ("softener 2 is rinsing", "1480", "Handed over by", "Taken over by"):
        assert text in words, text
    assert "Leave this note" not in words
    check_picture(page, chromium)
    assert sheets_of_paper(page, size) == 1


@sizes
def test_a_blank_form_has_lines_to_write_on_and_a_page_of_its_own(
    works: SimpleNamespace, open_browser: Opener, chromium: Browser, size: str
) -> None:
    boiler = factories.boiler(works.plant, "Boiler 2")
    factories.program(works.plant, works.point.__class__.objects.get(boiler=boiler))
    page = open_browser(works.url)
    steps.sign_in(page, "sam-larkfield")
    words = on_paper(page, reverse("paper-forms", args=[works.plant.pk]), size)
    assert "Reading on the meter" in words and "Signed by hand" in words
    lines: Any = page.locator(".write i")
    short = [box for line in lines.all() if (box := line.bounding_box())["width"] < 60]
    assert lines.count() > 12 and not short
    expect(page.locator(".page-head")).to_be_hidden()
    check_picture(page, chromium)
    assert sheets_of_paper(page, size) == 2


def test_the_button_prints(works: SimpleNamespace, open_browser: Opener) -> None:
    page = open_browser(works.url)
    page.add_init_script("window.print = () => { document.title = 'printed'; }")
    steps.sign_in(page, "sam-larkfield")
    page.goto(reverse("paper-forms", args=[works.plant.pk]))
    page.get_by_role("button", name="Print").click()
    expect(page).to_have_title("printed")
