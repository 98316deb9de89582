"""A whole day with two shifts, told as people live it: testers at the terminal, the others away.

The day shift finds a result high, acts and tests again; its sheet comes back, is put right and
signed. The night operator is alone; a supervisor countersigns from elsewhere. In the morning a
signed reading is amended, and a chemist far away signs that.
"""

import re
from collections.abc import Iterator
from datetime import datetime, time
from io import StringIO
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from dashboards.words import for_input
from records.models import LedgerHead, LogSheet, Meaning, Program, Result, Signature
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from records.services.slots import slots_expand
from records.shifts import from_local
from tests import factories
from tests.browser import steps
from tests.browser.conftest import Opener, Wall, hang_up, served_works

SHIFTS = (("Day", time(6)), ("Night", time(18)))
NOTE = "Softener 2 is rinsing; watch the feedwater until midnight."
SLIP = "14:00: the phosphate does not fit the round before. Look at your slip of paper."
# 05:50 of Tuesday, 10 March 2026 at America/Chicago (daylight saving time: UTC-5).
BEGIN = datetime.fromisoformat("2026-03-10T05:50:00-05:00")


@pytest.fixture
def wall(monkeypatch: pytest.MonkeyPatch) -> Wall:
    """A clock on the wall, ten minutes before the day shift begins."""
    return hang_up(monkeypatch, BEGIN)


@pytest.fixture
def plant(live_server: Any, wall: Wall) -> Iterator[SimpleNamespace]:
    """The works with two shifts of twelve hours; two tests of the boiler water every four hours."""
    with served_works(live_server.url, shifts=SHIFTS) as works:
        wall.wait(5)
        _put_in_force(works, wall)
        slots_expand(works.plant)
        works.wall = wall
        yield works


def _put_in_force(works: SimpleNamespace, wall: Wall) -> None:
    """Invented limits, common practice in kind."""
    told: dict[str, Any] = {"point": works.point, "state": "steaming"}
    source = {"source": "Common practice", "confidence": "common practice, no source"}
    daily = "FREQ=DAILY;BYHOUR=2,6,10,14,18,22;BYMINUTE=0;BYSECOND=0"
    version_put_in_force(
        actor=works.chemist,
        program=Program.objects.get(plant=works.plant, boiler=works.boiler),
        in_force_from=wall.at,
        limits=[
            LimitEntry(
                **told, **source, analyte="conductivity", basis="25C|not_neutralized|",
                unit="umho/cm", high="1300", target="1100",
            ),
            LimitEntry(
                **told, **source, analyte="phosphate", basis="any||PO4",
                unit="mg/L", low="20", high="40",
            ),
        ],
        schedule=[
            ScheduleEntry(**told, method=method, recurrence=daily)
            for method in ("conductivity", "phosphate")
        ],
        key=str(uuid4()),
    )  # fmt: skip


def at(plant: SimpleNamespace, clock_text: str, day: int = 10) -> None:
    """Let it become this time of the day in March 2026, on the plant's own clock."""
    wall_time = datetime.combine(datetime(2026, 3, day), time.fromisoformat(clock_text))
    plant.wall.go_to(from_local(plant.plant, wall_time))


def comes_to_the_terminal(page: Page, name: str) -> None:
    """Whoever was there before has left, so that it is locked."""
    page.goto("/")
    expect(page.get_by_role("heading", name="Who is here?")).to_be_visible()
    steps.unlock(page, name)


def round_of(page: Page, due: str, conductivity: str, phosphate: str) -> None:
    """Draw what is due, and test it for both."""
    line = page.locator("li.line", has=page.locator(".line-when", has_text=due))
    line.get_by_role("button", name=re.compile("Draw and test")).first.click()
    steps.choose(page, "automatic")
    steps.read(page, conductivity)
    page.fill("#phosphate-reading", phosphate)
    expect(page.locator(steps.WORKED)).to_contain_text(conductivity)
    expect(page.locator("#worked-phosphate")).to_contain_text(phosphate)
    steps.finish(page)


def again(page: Page, button: str, conductivity: str) -> None:
    """Draw once more, for conductivity alone."""
    page.get_by_role("button", name=re.compile(button)).first.click()
    expect(page.locator("#bench-form")).to_be_visible()
    steps.choose(page, "automatic")
    steps.read(page, conductivity)
    expect(page.locator(steps.WORKED)).to_contain_text(conductivity)
    steps.finish(page)


def test_a_day_with_two_shifts(plant: SimpleNamespace, open_browser: Opener) -> None:
    bench = open_browser(plant.url, plant.token)
    desk, far_away = open_browser(plant.url), open_browser(plant.url)
    steps.sign_in(desk, "sam-larkfield")
    steps.sign_in(far_away, "cleo-larkfield")
    day_shift(plant, bench)
    day_sheet = LogSheet.objects.get(plant=plant.plant)
    returned_put_right_and_signed(plant, bench, desk, day_sheet)
    night_alone(plant, bench, day_sheet)
    night_sheet = LogSheet.objects.exclude(pk=day_sheet.pk).get(plant=plant.plant)
    countersigned_from_elsewhere(plant, desk, night_sheet)
    amended(plant, bench, far_away, day_sheet)
    history_shows_both(far_away)
    marks(day_sheet, night_sheet)
    the_printed_head_is_the_ledgers(plant, desk, day_sheet)


def day_shift(plant: SimpleNamespace, bench: Page) -> None:
    """Three rounds; at ten conductivity is high: confirmed, acted on, tested again."""
    at(plant, "06:05")
    comes_to_the_terminal(bench, "Tess Tanner")
    round_of(bench, "06:00", "1120", "31.0")
    at(plant, "10:05")
    comes_to_the_terminal(bench, "Tess Tanner")
    round_of(bench, "10:00", "1480", "30.0")
    expect(bench.locator("#main")).to_contain_text("First draw a fresh sample")
    plant.wall.wait(1)
    again(bench, "Draw again and test", "1470")
    expect(bench.locator("#main")).to_contain_text("Confirmed: the draw of")
    blown_down(plant, bench)
    at(plant, "10:50")
    comes_to_the_terminal(bench, "Tess Tanner")
    expect(bench.locator("#main")).to_contain_text("Retest: see whether what was done has worked.")
    again(bench, "Draw and test", "1180")
    at(plant, "14:05")
    comes_to_the_terminal(bench, "Tess Tanner")
    expect(bench.locator("#main")).not_to_contain_text("Retest:")
    round_of(bench, "14:00", "1140", "23.0")
    at(plant, "17:50")
    comes_to_the_terminal(bench, "Tess Tanner")
    bench.get_by_role("link", name="Handover").first.click()
    bench.get_by_label("What the next shift has to know").fill(NOTE)
    bench.get_by_role("button", name="Leave this note").click()
    expect(bench.locator(".notes")).to_contain_text(NOTE)
    steps.to_sheet(bench)
    steps.hand_in(bench)


def blown_down(plant: SimpleNamespace, bench: Page) -> None:
    """Work out the blowdown, do it, and write down what was really done."""
    for field, typed in (
        ("steam_flow", "30000"), ("feed_conductivity", "60"), ("makeup_temperature", "60"),
    ):  # fmt: skip
        bench.fill(f"#f-{field}", typed)
    bench.get_by_role("button", name="Work out the blowdown").click()
    expect(bench.locator(".remedy-headline")).to_contain_text("blowdown at")
    bench.fill("#f-amount", "valve at 3 for 30 min")
    retest = from_local(plant.plant, datetime(2026, 3, 10, 10, 45))
    bench.fill("#f-retest_at", for_input(plant.plant, retest))
    bench.get_by_role("button", name="Record what was done").click()
    expect(bench.locator("#done-conductivity")).to_contain_text("valve at 3 for 30 min")


def returned_put_right_and_signed(
    plant: SimpleNamespace, bench: Page, desk: Page, sheet: LogSheet
) -> None:
    """The supervisor sends it back with a comment; the tester corrects it and hands it in again."""
    desk.goto("/")
    desk.get_by_role("link", name=re.compile("Check and sign")).click()
    desk.get_by_text("Return it with a comment").click()
    desk.get_by_label("What has to be put right").fill(SLIP)
    desk.get_by_role("button", name="Return this sheet").click()
    expect(desk.locator(".status").first).to_have_text("Returned")
    expect(desk.get_by_role("button", name="Sign this sheet")).to_have_count(0)
    plant.wall.wait(1)
    steps.to_sheet(bench)
    expect(bench.locator("#main")).to_contain_text(f"Returned by Sam Sutter: {SLIP}")
    row = bench.locator("tr.result-row", has_text="23.0")
    row.get_by_role("link", name=re.compile("^Correct")).click()
    bench.fill("#phosphate-reading", "32.0")
    bench.fill("#f-reason", "two figures changed places")
    expect(bench.locator("#worked-phosphate")).to_contain_text("32.0")
    bench.get_by_role("button", name="Record the correction").click()
    steps.to_sheet(bench)
    steps.hand_in(bench)
    desk.reload()
    row = desk.locator("tr.result-row", has_text="two figures changed places")
    expect(row.locator(".struck")).to_contain_text("23.0")
    expect(row.locator("td .figure-line .value")).to_have_text("32.0")
    steps.press_sign(desk)
    expect(desk.locator(".status").first).to_have_text("Signed")
    assert desk.url.endswith(str(sheet.pk))


def night_alone(plant: SimpleNamespace, bench: Page, before: LogSheet) -> None:
    """Milo reads the note, tests three rounds and hands in as the only one on site."""
    at(plant, "18:05")
    comes_to_the_terminal(bench, "Milo Mate")
    bench.get_by_role("link", name="Handover").first.click()
    expect(bench.get_by_role("heading", name="Shift handover")).to_be_visible()
    expect(bench.locator(".handover")).to_contain_text(NOTE)
    bench.get_by_role("link", name="The shift before").click()
    expect(bench.locator(".notes blockquote")).to_have_text(NOTE)
    expect(bench.locator(".notes p")).to_have_text("Tess Tanner, 17:50")
    expect(bench.locator("[aria-labelledby=h-done]")).to_contain_text("valve at 3 for 30 min")
    bench.get_by_role("link", name="Round", exact=True).click()
    for day, clock_text, reading, phosphate in (
        (10, "", "1150", "32.5"), (10, "22:05", "1160", "31.5"), (11, "02:05", "1130", "30.5"),
    ):  # fmt: skip
        if clock_text:
            at(plant, clock_text, day)
            comes_to_the_terminal(bench, "Milo Mate")
        round_of(bench, f"{clock_text[:3] or '18:'}00", reading, phosphate)
        bench.get_by_role("link", name="Round", exact=True).click()
    at(plant, "05:50", 11)
    comes_to_the_terminal(bench, "Milo Mate")
    steps.to_sheet(bench)
    assert not bench.url.endswith(str(before.pk))
    bench.get_by_label("I was alone on this shift").check()
    steps.hand_in(bench)
    expect(bench.locator(".alone")).to_contain_text("Milo Mate was alone on this shift")


def countersigned_from_elsewhere(plant: SimpleNamespace, desk: Page, sheet: LogSheet) -> None:
    """Not at the terminal: another browser, by password, and the signature says so."""
    at(plant, "07:30", 11)
    desk.goto("/")
    desk.get_by_role("link", name=re.compile("Check and sign")).click()
    expect(desk.get_by_role("heading", name="Countersign")).to_be_visible()
    expect(desk.locator("form.seal")).to_contain_text("from wherever you are")
    steps.press_sign(desk)
    expect(desk.locator(".status").first).to_have_text("Signed")
    last = desk.locator(".seals li").last
    expect(last).to_contain_text("countersigned for Milo Mate, who was alone")
    expect(last).to_contain_text("by password, away from the plant's terminals")
    assert desk.url.endswith(str(sheet.pk))


def amended(plant: SimpleNamespace, bench: Page, far_away: Page, sheet: LogSheet) -> None:
    """Tess amends a reading that is signed; it counts when the chemist has signed it."""
    at(plant, "08:00", 11)
    comes_to_the_terminal(bench, "Tess Tanner")
    bench.goto(f"/plants/{plant.plant.pk}/sheets/{sheet.pk}")
    row = bench.locator("tr.result-row", has_text="1120")
    row.get_by_role("link", name=re.compile("^Amend")).click()
    bench.fill("#conductivity-reading", "1210")
    bench.fill("#f-reason", "copied from the line above")
    expect(bench.locator(steps.WORKED)).to_contain_text("1210")
    bench.get_by_role("button", name="Record the amendment").click()
    expect(bench.locator("#main")).to_contain_text("waits for a second person")
    far_away.goto("/")
    far_away.get_by_role("link", name=re.compile("Check and sign")).click()
    form = far_away.locator(".amendment-form")
    form.get_by_label("Your password").fill(factories.PASSWORD)
    form.get_by_role("button", name="Record this decision").click()
    expect(far_away.locator(".amendment")).to_contain_text("signed by Cleo Carver")


def history_shows_both(page: Page) -> None:
    """The number's history keeps what was typed first, and by whom it was replaced."""
    row = page.locator("tr.result-row", has_text="copied from the line above")
    row.get_by_role("link", name=re.compile("^History")).click()
    first, second = page.locator("section.version").all()
    expect(first.get_by_role("heading", level=2)).to_have_text("As first entered")
    expect(first.locator(".tag").first).to_have_text("Replaced")
    expect(first.locator(".typed").first).to_have_text("1120")
    expect(second.get_by_role("heading", level=2)).to_have_text("Amendment 1")
    expect(second.locator(".tag").first).to_have_text("This one counts")
    expect(second.locator(".typed").first).to_have_text("1210")
    expect(second).to_contain_text("copied from the line above")
    expect(second).to_contain_text("Cleo Carver")
    stored = Result.objects.filter(measurement__method="conductivity", value__in=["1120", "1210"])
    assert set(stored.values_list("value", flat=True)) == {"1120", "1210"}


def marks(day_sheet: LogSheet, night_sheet: LogSheet) -> None:
    """Who signed what, by which proof, and where."""
    told = [
        [
            (mark.meaning, mark.by_name, mark.proof, bool(mark.terminal_name))
            for mark in Signature.objects.filter(sheet=sheet).order_by("sequence")
        ]
        for sheet in (day_sheet, night_sheet)
    ]
    assert told == [
        [
            (Meaning.HANDED_IN, "Tess Tanner", "pin", True),
            (Meaning.RETURNED, "Sam Sutter", "session", False),
            (Meaning.HANDED_IN, "Tess Tanner", "pin", True),
            (Meaning.SIGNED, "Sam Sutter", "password", False),
            (Meaning.AMENDMENT_SIGNED, "Cleo Carver", "password", False),
        ],
        [
            (Meaning.HANDED_IN, "Milo Mate", "pin", True),
            (Meaning.SIGNED, "Sam Sutter", "password", False),
        ],
    ]


def the_printed_head_is_the_ledgers(plant: SimpleNamespace, desk: Page, sheet: LogSheet) -> None:
    """What a print kept elsewhere says is what the command says that verifies the ledger."""
    told = StringIO()
    call_command("verify_ledger", stdout=told)  # raises where anything does not match
    (line,) = told.getvalue().splitlines()
    head = LedgerHead.objects.get(plant=plant.plant)
    assert line.startswith("Larkfield Works: ")
    assert line.endswith(f"{head.sequence} {head.digest}")
    desk.emulate_media(media="print")
    desk.goto(f"/plants/{plant.plant.pk}/sheets/{sheet.pk}")
    foot = desk.locator(".log-foot").inner_text()
    found = re.search(r"Ledger head, entry ([\d,]+)\s+([0-9a-f]{64})", foot)
    assert found is not None, foot
    assert (int(found[1].replace(",", "")), found[2]) == (head.sequence, head.digest)
