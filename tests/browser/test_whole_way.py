"""One reading from the dial to a signed log, as tester, supervisor and chemist see it."""

import re
from datetime import timedelta
from io import StringIO
from types import SimpleNamespace

from django.core.management import call_command
from playwright.sync_api import Page, expect

from dashboards.words import for_input
from records import clock
from records.models import LogSheet, Role
from tests import factories
from tests.browser import steps
from tests.browser.conftest import Opener
from tests.records import story


def test_from_the_dial_to_the_signature(
    works: SimpleNamespace, terminal: Page, open_browser: Opener
) -> None:
    suki = factories.person(works.plant, "suki", "Suki Sole", Role.SUPERVISOR)
    story.draw(works, "58", by=factories.actor(suki, works.plant), point=works.feed)
    at_the_bench(terminal)
    remedy(works, terminal)
    steps.to_sheet(terminal)
    steps.hand_in(terminal)
    own_tests_are_not_signed(works, open_browser)
    sam = two_signers_at_once(works, open_browser)
    amendment(works, terminal, sam)
    chemist_sets_a_limit(works, open_browser)
    told = StringIO()
    call_command("verify_ledger", stdout=told)  # raises where anything does not match
    lines = told.getvalue().splitlines()
    assert len(lines) == 1 and lines[0].startswith("Larkfield Works: ")


def at_the_bench(page: Page) -> None:
    """Unlock, see what is due, read the meter in each of the three ways, finish."""
    steps.unlock(page, "Tess Tanner")
    expect(page.locator("#main")).to_contain_text("10:00")
    steps.draw(page)
    worked = page.locator(steps.WORKED)
    steps.choose(page, "uncompensated")
    steps.read(page, "1420", "86")
    # 1420 / (1 + 0.019 x 5) = 1297 at 25 °C: inside 1300, but not by its uncertainty.
    expect(worked).to_contain_text("1297")
    expect(worked).to_contain_text("Near the limit")
    steps.choose(page, "set_on_meter")
    expect(worked).to_contain_text("Still to be read: Temperature set on the meter")
    page.fill("#conductivity-dial", "86")
    expect(worked).to_contain_text("1420")
    steps.choose(page, "automatic")
    page.fill("#conductivity-temperature", "77")
    expect(worked).to_contain_text("1420")
    expect(worked).to_contain_text("High")
    strip = worked.get_by_role("img")
    expect(strip).to_be_visible()
    assert "allowed up to 1300" in (strip.get_attribute("aria-label") or "")
    steps.finish(page)
    expect(page.locator("#main")).to_contain_text("First draw a fresh sample")
    page.get_by_role("button", name=re.compile("Draw again and test")).click()
    steps.choose(page, "automatic")
    steps.read(page, "1430")
    expect(worked).to_contain_text("High")
    steps.finish(page)
    expect(page.locator("#main")).to_contain_text("Confirmed: the draw of")


def remedy(works: SimpleNamespace, page: Page) -> None:
    """Work the blowdown out with its cautions in sight, record what was done, owe a retest."""
    cautions = page.locator(".remedy .notice.caution")
    expect(cautions).to_be_visible()
    expect(cautions.get_by_role("listitem").first).to_be_visible()
    page.fill("#f-steam_flow", "30000")
    page.fill("#f-feed_conductivity", "60")
    page.fill("#f-makeup_temperature", "60")
    page.get_by_role("button", name="Work out the blowdown").click()
    expect(page.locator(".remedy-headline")).to_contain_text("blowdown at")
    expect(cautions).to_be_visible()
    expect(page.locator(".remedy")).to_contain_text("It orders nothing")
    page.fill("#f-amount", "valve at 3 for 2 h")
    page.fill("#f-retest_at", for_input(works.plant, clock.now() + timedelta(minutes=20)))
    page.get_by_role("button", name="Record what was done").click()
    expect(page.locator("#done-conductivity")).to_contain_text("valve at 3 for 2 h")
    page.get_by_role("link", name="Round", exact=True).click()
    expect(page.locator("#main")).to_contain_text("Retest: see whether what was done has worked.")


def own_tests_are_not_signed(works: SimpleNamespace, open_browser: Opener) -> None:
    page = open_browser(works.url)
    steps.sign_in(page, "suki")
    page.goto(sheet_url(works))
    expect(page.locator("#main")).to_contain_text("You tested on this sheet, so another person")
    expect(page.get_by_role("button", name="Sign this sheet")).to_have_count(0)


def sheet_url(works: SimpleNamespace) -> str:
    return f"/plants/{works.plant.pk}/sheets/{LogSheet.objects.get(plant=works.plant).pk}"


def two_signers_at_once(works: SimpleNamespace, open_browser: Opener) -> Page:
    """Both have the sheet open; one signs, the other is refused and sees the sheet anew."""
    sam, cleo = open_browser(works.url), open_browser(works.url)
    steps.sign_in(sam, "sam-larkfield")
    sam.get_by_role("link", name=re.compile("Check and sign")).click()
    steps.sign_in(cleo, "cleo-larkfield")
    cleo.goto(sheet_url(works))
    steps.press_sign(sam)
    expect(sam.locator(".status").first).to_have_text("Signed")
    steps.press_sign(cleo)
    expect(cleo.locator(".stale")).to_contain_text("The sheet changed since you opened it")
    expect(cleo.locator(".signatures")).to_contain_text("Sam Sutter")
    expect(cleo.get_by_role("button", name="Sign this sheet")).to_have_count(0)
    return sam


def amendment(works: SimpleNamespace, tess: Page, sam: Page) -> None:
    """The tester proposes, a second person signs; the old result stays readable."""
    tess.goto(sheet_url(works))
    row = tess.locator("tr.result-row", has_text="1420")
    row.get_by_role("link", name=re.compile("^Amend")).click()
    tess.fill("#conductivity-reading", "1410")
    tess.fill("#f-reason", "misread the dial")
    expect(tess.locator(steps.WORKED)).to_contain_text("1410")
    tess.get_by_role("button", name="Record the amendment").click()
    expect(tess.locator("#main")).to_contain_text("waits for a second person")
    sam.goto(sheet_url(works))
    form = sam.locator(".amendment-form")
    form.get_by_label("Your password").fill(factories.PASSWORD)
    form.get_by_role("button", name="Record this decision").click()
    expect(sam.locator(".amendment")).to_contain_text("signed by Sam Sutter")
    row = sam.locator("tr.result-row", has_text="misread the dial")
    expect(row.locator(".struck")).to_contain_text("1420")
    expect(row.locator("td .figure-line .value")).to_have_text("1410")


def chemist_sets_a_limit(works: SimpleNamespace, open_browser: Opener) -> None:
    page = open_browser(works.url)
    steps.sign_in(page, "cleo-larkfield")
    page.get_by_role("link", name=re.compile("^Program")).first.click()
    page.get_by_role("link", name="Write a new version").click()
    page.get_by_label("At most").fill("1250")
    page.get_by_label("Why it changes").fill("less carryover")
    page.get_by_role("button", name="Record this version").click()
    expect(page.locator("#trouble")).to_contain_text("then confirm it here")
    page.get_by_label("I have confirmed this limit").check()
    page.get_by_role("button", name="Record this version").click()
    expect(page.locator("#main")).to_contain_text("not yet in force")
    page.get_by_role("link", name="What changed in version 2").click()
    expect(page.locator("#main")).to_contain_text("at most 1300 µmho/cm → at most 1250 µmho/cm")
