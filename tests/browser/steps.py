"""What people do, in one place: sign in, unlock, read a meter, hand in, sign."""

import re

from playwright.sync_api import Page, expect

from tests import factories

WORKED = "#worked-conductivity"
ALL_SENT = "() => !new Mirror(document.getElementById('bench-form').dataset.draft).unsent"


def sign_in(page: Page, username: str, password: str = factories.PASSWORD) -> None:
    page.goto("/login")
    page.fill("#f-username", username)
    page.fill("#f-password", password)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("button", name="Sign out")).to_be_visible()


def unlock(page: Page, name: str, pin: str = factories.PIN) -> None:
    """Pick a name at the terminal and type the PIN on the number pad."""
    page.goto("/terminal")
    page.get_by_role("link", name=name).click()
    pad = page.locator(".pin-pad")
    for digit in pin:
        pad.get_by_role("button", name=digit, exact=True).click()
    pad.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Round", exact=True)).to_be_visible()


def draw(page: Page) -> None:
    """Begin with the first test that is due."""
    page.get_by_role("button", name=re.compile("Draw and test")).first.click()
    expect(page.locator("#bench-form")).to_be_visible()


def choose(page: Page, mode: str) -> None:
    page.locator(f'input[name="conductivity:mode"][value="{mode}"]').check()


def read(page: Page, reading: str, temperature: str = "77") -> None:
    """Type what the meter and the thermometer show."""
    page.fill("#conductivity-reading", reading)
    page.fill("#conductivity-temperature", temperature)


def saved(page: Page) -> None:
    """Wait until the server has everything."""
    expect(page.locator("#save-line")).to_contain_text("Saved at")
    page.wait_for_function(ALL_SENT)


def finish(page: Page) -> None:
    page.get_by_role("button", name="Finish this sample").click()
    expect(page).to_have_url(re.compile("/samples/"))


def act_without_a_second_draw(page: Page) -> None:
    """Give a reason in place of the fresh draw, so that advice is offered at once."""
    page.get_by_text("Act without a second draw").click()
    page.fill("#f-reason", "this was the repeat")
    page.get_by_role("button", name="Record the reason").click()
    expect(page.locator("#main")).to_contain_text("Acted on without a second draw")


def to_sheet(page: Page) -> None:
    page.get_by_role("link", name="Round", exact=True).click()
    page.get_by_role("link", name="Log sheet of this shift").click()


def hand_in(page: Page, pin: str = factories.PIN) -> None:
    page.fill("#f-pin", pin)
    page.get_by_role("button", name="Hand in this sheet").click()
    expect(page.locator(".status").first).to_have_text("Handed in")


def press_sign(page: Page) -> None:
    page.locator("form.seal #f-password").fill(factories.PASSWORD)
    page.get_by_role("button", name="Sign this sheet").click()
