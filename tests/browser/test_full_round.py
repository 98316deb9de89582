"""A full round on one sheet: eleven tests by keyboard alone and one that could not be done, some by
touch, one asked about."""

import re
from dataclasses import dataclass
from datetime import timedelta
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

import pytest
from playwright.sync_api import Page, expect

from records import clock
from records.models import Measurement, Program, Sample, SlotAnswer
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from tests import factories
from tests.browser import steps
from tests.browser.conftest import DESK, PHONE, Opener
from tests.browser.test_axe import violations
from tests.records import story

# Keys a second of a practiced hand on a number pad, and the time typing may take.
STROKES_A_SECOND, SECONDS = 3, 180


@dataclass(frozen=True)
class OnSheet:
    """One test as its tester types it: the name's first letters, then field by field."""

    method: str
    letters: str
    mode: int = 0  # how far down the list of ways it is
    typed: tuple[tuple[str, str], ...] = ()


# Invented readings of a steady 550 psig boiler. A choice is typed as arrow keys.
DOWN, PICK = "<Down>", "<Space>"
ROUND = (
    OnSheet("conductivity", "", 1, (("reading", "1120"), ("temperature", "77"))),
    OnSheet(
        "alkalinity", "P and", 3,
        (("p_end", "20"), ("m_end", "30"), ("per_drop_result", "10")),
    ),
    OnSheet(
        "hardness_total", "Total", 0,
        (("start", "12.4"), ("end", "12.6"), ("sample_volume", "50")),
    ),
    OnSheet(
        "chloride", "Chl", 4,
        (("ph_ready-0", PICK), ("sulfite-0", PICK), ("phosphate-0", PICK),
         ("end", "3.2"), ("factor", "10")),
    ),
    OnSheet("phosphate", "Orth", 0, (("reading", "32"),)),
    OnSheet("sulfite", "Sulf", 1, (("temperature", "77"), ("end", "4.0"), ("sample_volume", "50"))),
    OnSheet(
        "ph", "pH", 0,
        (("reading", "11.2"), ("temperature", "77"), ("buffer_low", "10"), ("buffer_high", "12")),
    ),
    OnSheet("silica", "Sil", 2, (("standard", "20"), ("next_standard", "30"))),
    OnSheet(
        "steam_flow", "Ste", 1,
        (("initial", "100000"), ("final", "130000"), ("hours", "1.00")),
    ),
    OnSheet("gauge_glass", "Gau", 0, (("column-0", PICK), ("glass-0", PICK))),
    OnSheet("low_water_cutoff", "Low", 0, (("outcome-0", PICK + DOWN + DOWN), ("reason", "The p"))),
)  # fmt: skip


class Hands:
    """A tester at a keyboard without a mouse; counts every stroke."""

    def __init__(self, page: Page) -> None:
        self.page, self.strokes = page, 0

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.strokes += 1

    def type(self, text: str) -> None:
        for part in re.findall(r"<\w+>|.", text):
            self.press({DOWN: "ArrowDown", PICK: "Space"}.get(part, part))

    def at(self, selector: str) -> bool:
        return bool(self.page.evaluate("s => document.activeElement.matches(s)", selector))

    def go(self, selector: str, *, most: int = 40) -> None:
        """Go on to a field: Enter passes from field to field, Tab takes everything on the way."""
        for _ in range(most):
            if self.at(selector):
                return
            self.press("Enter" if self.at("#bench-form :is(input, select)") else "Tab")
        where = self.page.evaluate("document.activeElement.outerHTML.slice(0, 200)")
        raise AssertionError(f"{selector} is not reached; at {where}")

    def choose(self, selector: str) -> None:
        self.go(selector)
        self.press("Enter")


def add(hands: Hands, test: OnSheet) -> None:
    """Put one more test on the sheet."""
    hands.choose(".more-tests summary")
    hands.go("#add-test")
    hands.type(test.letters)
    hands.press("Enter")
    hands.choose(".more-tests button")
    expect(hands.page.locator(f"#h-{test.method}")).to_be_visible()


def fill(hands: Hands, test: OnSheet) -> None:
    """Type one test from its first field to its last."""
    if test.mode:
        hands.go(f'[name="{test.method}:mode"]')
        hands.type(DOWN * test.mode)
        _fields_follow(hands.page, test.method)
    for field, typed in test.typed:
        hands.go(f"#{test.method}-{field}")
        hands.type(typed)


def _fields_follow(page: Page, method: str) -> None:
    """Wait as long as a hand at three keys a second would: the fields of the new way are there."""
    mode = page.locator(f'[name="{method}:mode"]:checked').input_value()
    expect(page.locator(f'[name="{method}:shown"]')).to_have_value(mode)


def could_not_test(hands: Hands, test: str) -> None:
    """Say of one test that is due that it can't be done: the reagent is used up."""
    hands.choose("a[href*='/not-tested']")
    expect(hands.page.get_by_role("heading", name="Could not test")).to_be_visible()
    others = hands.page.locator("[name=slots]").evaluate_all(
        "(boxes, name) => boxes.filter(b => !b.closest('label').textContent.includes(name))"
        ".map(b => b.id)",
        test,
    )
    for each in others:
        hands.go(f"#{each}")
        hands.type(PICK)
    hands.go("[name=reason]")
    hands.type(PICK + DOWN)
    hands.choose("form.not-tested button")
    expect(hands.page.get_by_role("heading", name="Round", exact=True)).to_be_visible()


def type_the_round(page: Page, *, without: str = "") -> Hands:
    """From the round to the finished sample, with the keyboard alone."""
    hands = Hands(page)
    if without:
        could_not_test(hands, without)
    hands.choose("button.act.first")
    expect(page.locator("#bench-form")).to_be_visible()
    hands.press("Tab")
    hands.choose(".skip")
    for number, test in enumerate(ROUND):
        if number:
            add(hands, test)
        fill(hands, test)
    return hands


# What the sheet above comes to: name, figure, side. Worked by hand from the round's own readings:
# a drop counts 10 mg/L; 0.2 mL of 0.01 M EDTA in 50 mL, 100.09 g/mol; 3.2 mL x 10; 4.0 mL of
# 0.0125 N in 50 mL, 40.03 g/eq of SO3 (molar masses: IUPAC 2021, from memory).
RESULTS = (
    ("Conductivity", "1120", "In range"),
    ("P alkalinity", "200", "Not judged"),
    ("M alkalinity", "300", "Not judged"),
    ("Total hardness", "4.0", "Not judged"),
    ("Chloride", "32.0", "High"),
    ("Chloride in equivalents", "0.903", "Not judged"),
    ("Orthophosphate", "32.0", "In range"),
    ("Sulfite", "40.0", "In range"),
    ("pH", "11.20", "High"),
    ("Reactive silica", "20.0", "Not judged"),
)
CHECKS = (
    "Water column: Worked",
    "Gauge glass: Worked",
    "Low-water cutoff: Not done \u00b7 The plant could not bear it at this load",
)
# Invented limits, common practice in kind: analyte, basis, unit, low, high.
LIMITS = (
    ("conductivity", "25C|not_neutralized|", "umho/cm", "", "1300"),
    ("phosphate", "any||PO4", "mg/L", "20", "40"),
    ("sulfite", "||SO3", "mg/L", "30", "60"),
    ("chloride", "||ion", "mg/L", "", "25"),
    ("ph", "25C||", "pH", "10.5", "11"),
)


def put_limits_in_force(works: SimpleNamespace) -> None:
    """Put a version of the program with limits for five tests in force, two hours ago."""
    with clock.clock_at(clock.now() - timedelta(hours=2)):
        _write_version(works)


def _write_version(works: SimpleNamespace) -> None:
    told: dict[str, Any] = {"point": works.point, "state": "steaming"}
    source = {"source": "Common practice", "confidence": "common practice, no source"}
    version_put_in_force(
        actor=factories.founder(works.plant),
        program=Program.objects.get(plant=works.plant, boiler=works.boiler),
        in_force_from=clock.now(),
        limits=[
            LimitEntry(**told, **source, analyte=a, basis=b, unit=u, low=low, high=high)
            for a, b, u, low, high in LIMITS
        ],
        schedule=[
            ScheduleEntry(
                **told,
                method=method,
                recurrence="FREQ=DAILY;BYHOUR=2,6,10,14,18,22;BYMINUTE=0;BYSECOND=0",
            )
            for method in ("conductivity", "hydrazine")
        ],
        key=str(uuid4()),
    )


def test_eleven_tests_by_keyboard_alone_in_under_three_minutes(
    works: SimpleNamespace, terminal: Page
) -> None:
    put_limits_in_force(works)
    steps.unlock(terminal, "Tess Tanner")
    hands = type_the_round(terminal, without="Hydrazine")
    hands.choose("#bench-finish")
    expect(terminal).to_have_url(re.compile("/samples/"))
    assert hands.strokes / STROKES_A_SECOND < SECONDS, hands.strokes
    for name, figure, side in RESULTS:
        told = re.compile(rf"^{re.escape(name)}(: {side})?$")  # out of range, the side is said too
        heading = terminal.get_by_role("heading", name=told)
        result = terminal.locator("section.sample-result").filter(has=heading)
        expect(result.locator(".worked-figure .value")).to_have_text(figure)
        expect(result.locator(".verdict").first).to_have_text(side)
    expect(terminal.locator("[aria-labelledby=h-checks] .outcome")).to_have_text(CHECKS)
    terminal.get_by_role("link", name=re.compile(r"^Log sheet \(")).click()
    expect(terminal.locator("[aria-labelledby=h-checks] .outcome")).to_have_text(CHECKS)
    assert Measurement.objects.filter(sample__plant=works.plant).count() == len(ROUND)
    said = SlotAnswer.objects.get(plant=works.plant, sample=None)
    assert (said.slot.method, said.reason) == ("hydrazine", "no_reagent")
    expect(terminal.locator("main")).to_contain_text("Out of a reagent")


def tap_to_add(page: Page, method: str) -> None:
    page.locator(".more-tests summary").tap()
    page.select_option("#add-test", method)
    page.get_by_role("button", name="Put it on this sheet").tap()
    expect(page.locator(f"#h-{method}")).to_be_visible()


def not_wider_than_the_screen(page: Page) -> None:
    widths = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert widths[0] <= widths[1], widths


SMALL_TARGETS = """() => {
  const small = [];
  for (const e of document.querySelectorAll("a, button, input, select, textarea, summary")) {
    if (e.type === "hidden" || !e.checkVisibility() || e.classList.contains("skip")) continue;
    const box = (e.closest(".choice") || e).getBoundingClientRect();
    if (Math.min(box.width, box.height) < 43.99)
      small.push(`${e.tagName} ${e.id || e.textContent.trim()} ${box.width} x ${box.height}`);
  }
  return small;
}"""


def test_three_tests_by_touch_on_a_phone(works: SimpleNamespace, open_browser: Opener) -> None:
    page = open_browser(works.url, works.token, viewport=PHONE, has_touch=True, is_mobile=True)
    steps.unlock(page, "Tess Tanner")
    page.get_by_role("button", name=re.compile("Draw and test")).first.tap()
    page.locator(".choice", has_text="The meter corrects to 25").tap()
    steps.read(page, "1120")
    tap_to_add(page, "alkalinity")
    page.locator("label.choice", has_text="Drops counted").tap()
    # Typed before the server has answered with the fields of that mode: it must not be lost.
    page.fill("#alkalinity-p_end", "20")
    page.fill("#alkalinity-m_end", "30")
    page.fill("#alkalinity-per_drop_result", "10")
    expect(page.locator("#worked-alkalinity")).to_contain_text("300")
    expect(page.locator("#alkalinity-p_end")).to_have_value("20")
    tap_to_add(page, "gauge_glass")
    for part in ("column", "glass"):
        page.locator(f"#gauge_glass-{part}-field .choice").first.tap()
    steps.saved(page)
    page.locator(".more-tests summary").tap()
    not_wider_than_the_screen(page)
    assert page.evaluate(SMALL_TARGETS) == []
    page.get_by_role("button", name="Finish this sample").tap()
    expect(page).to_have_url(re.compile("/samples/"))
    not_wider_than_the_screen(page)
    expect(page.locator(".outcome")).to_have_text(CHECKS[:2])


COUNT_CHANGES = """() => {
  window.changes = {};
  for (const e of document.querySelectorAll(".test-worked"))
    new MutationObserver(() => { window.changes[e.id] = (window.changes[e.id] || 0) + 1; })
      .observe(e, { childList: true, subtree: true, characterData: true });
}"""


def test_only_the_test_typed_in_is_told_anew(works: SimpleNamespace, terminal: Page) -> None:
    """A screen reader reads a live region that changes: the other tests' must keep quiet."""
    steps.unlock(terminal, "Tess Tanner")
    steps.draw(terminal)
    steps.choose(terminal, "automatic")
    steps.read(terminal, "1120")
    terminal.locator(".more-tests summary").click()
    terminal.select_option("#add-test", "phosphate")
    terminal.get_by_role("button", name="Put it on this sheet").click()
    expect(terminal.locator("#h-phosphate")).to_be_visible()
    terminal.evaluate(COUNT_CHANGES)
    terminal.fill("#phosphate-reading", "32")
    expect(terminal.locator("#worked-phosphate")).to_contain_text("32.0")
    steps.saved(terminal)
    assert list(terminal.evaluate("window.changes")) == ["worked-phosphate"]


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_axe_finds_nothing_on_the_full_sheet(
    works: SimpleNamespace, open_browser: Opener, size: Any
) -> None:
    page = open_browser(works.url, works.token, viewport=size, reduced_motion="reduce")
    steps.unlock(page, "Tess Tanner")
    type_the_round(page)
    steps.saved(page)
    not_wider_than_the_screen(page)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == []


def test_what_a_refused_sheet_lacks_stays_marked_until_it_is_there(
    works: SimpleNamespace, terminal: Page
) -> None:
    steps.unlock(terminal, "Tess Tanner")
    steps.draw(terminal)
    terminal.locator(".more-tests summary").click()
    terminal.select_option("#add-test", "phosphate")
    terminal.get_by_role("button", name="Put it on this sheet").click()
    terminal.fill("#phosphate-dilution", "2")
    steps.choose(terminal, "automatic")
    terminal.fill("#conductivity-temperature", "77")
    terminal.get_by_role("button", name="Finish this sample").click()
    expect(terminal.locator(".wrong")).to_be_visible()
    lacking = terminal.locator(".field-error", has_text="still needed")
    expect(lacking).to_have_count(2)
    terminal.fill("#conductivity-reading", "1120")
    expect(terminal.locator(steps.WORKED)).to_contain_text("1120")
    expect(lacking).to_have_count(1)
    expect(terminal.locator("#phosphate-reading-error")).to_contain_text("still needed")
    terminal.fill("#phosphate-reading", "16")
    expect(lacking).to_have_count(0)
    steps.finish(terminal)


def test_an_unlikely_value_is_asked_about_and_kept_as_confirmed(
    works: SimpleNamespace, terminal: Page
) -> None:
    for number, reading in enumerate(("1100", "1110", "1090", "1105")):
        with clock.clock_at(clock.now() - timedelta(hours=4 * (5 - number))):
            story.draw(works, reading)
    before = Sample.objects.filter(plant=works.plant).count()
    steps.unlock(terminal, "Tess Tanner")
    steps.draw(terminal)
    steps.choose(terminal, "automatic")
    steps.read(terminal, "110")
    box = terminal.get_by_label("I looked again: it is right as it stands")
    expect(box).to_be_visible()
    expect(box).not_to_be_checked()
    steps.saved(terminal)
    terminal.get_by_role("button", name="Finish this sample").click()
    expect(terminal.locator("#conductivity-confirm-error")).to_contain_text("Look again")
    expect(terminal.locator("#conductivity-reading")).to_have_value("110")
    expect(terminal.locator("#conductivity-temperature")).to_have_value("77")
    assert Sample.objects.filter(plant=works.plant).count() == before
    box.check()
    expect(terminal.locator("#conductivity-confirm-error")).to_be_hidden()
    steps.finish(terminal)
    kept = Measurement.objects.filter(sample__plant=works.plant).latest("entered_at")
    assert "decimal_slip" in kept.confirmed
