"""The picture of a signed sheet on paper, held against the one that is kept in tests/golden.

WATERSIDE_GOLDEN=1 writes it anew: look at the page itself before you keep it.
"""

import os
from types import SimpleNamespace

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from tests.browser import screens, steps
from tests.browser.conftest import Opener
from tests.browser.paper import HAS_TYPEFACE, SIZES, TYPEFACE, Print, differing, layout
from tests.golden import HERE

# Measured: the digests, new each time, make up to 0.03 % of the cells differ by more than a step;
# of what is spoiled below, range strips left out of the Letter sheet make the least, about 0.6 %.
TOLERANCE = 0.003
sizes = pytest.mark.parametrize("size", SIZES)
SPOILED = {
    "a column is moved": ".results td.num { position: relative; left: -8mm; }",
    "no signatures": ".signatures { visibility: hidden; }",
    "the signatures take no room": ".signatures { display: none; }",
    "a table is wider than the paper": ".results { min-width: 230mm; }",
    "no range strips": ".strip { visibility: hidden; }",
    "no verdicts": ".verdict { visibility: hidden; }",
    "no exceptions": ".exceptions { display: none; }",
    "larger print": "html { font-size: 10.5pt !important; }",
    "no heads of the table": ".results thead { display: none; }",
    "no foot": ".log-foot { visibility: hidden; }",
    "no lines to sign by hand": ".hand-lines { display: none !important; }",
}


@pytest.fixture
def page(dated_works: SimpleNamespace, open_browser: Opener) -> Page:
    """A signed sheet in front of the supervisor, in the typeface of the kept picture."""
    told = screens.tell(dated_works)
    opened = open_browser(dated_works.url, bypass_csp=True)  # for a style of the test's own
    steps.sign_in(opened, "sam-larkfield")
    opened.goto(reverse("sheet", args=[dated_works.plant.pk, told.signed.pk]))
    assert opened.evaluate(HAS_TYPEFACE), "DejaVu Sans is not there: install fonts-dejavu-core"
    opened.add_style_tag(content=TYPEFACE)
    return opened


def kept(size: str, printed: str) -> str:
    """Return the layout that is kept; where it is asked for, keep this one."""
    path = HERE / f"print_sheet_{size.lower()}.txt"
    if os.environ.get("WATERSIDE_GOLDEN") == "1":
        path.write_text(printed, "utf-8")
    return path.read_text("utf-8")


@sizes
def test_a_sheet_looks_on_paper_as_the_kept_picture(page: Page, size: str) -> None:
    printed = layout(Print(page, size))
    share = differing(printed, kept(size, printed))
    assert share <= TOLERANCE, f"{share:.1%} of a page differs:\n{printed}"


@sizes
def test_a_spoiled_sheet_is_told_from_the_kept_picture(page: Page, size: str) -> None:
    """The check can fail: each of these is seen, and what is put back is found as it was."""
    want = kept(size, layout(Print(page, size)))
    found = {}
    for what, style in SPOILED.items():
        added = page.add_style_tag(content=f"@media print {{ {style} }}")
        found[what] = differing(layout(Print(page, size)), want)
        added.evaluate("e => e.remove()")
    assert [what for what, share in found.items() if share <= TOLERANCE] == []
    assert differing(layout(Print(page, size)), want) <= TOLERANCE
