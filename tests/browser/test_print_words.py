"""The words of a signed sheet on paper, held against the records: nothing is left out, nothing
is told by color alone."""

import re
from collections.abc import Callable
from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import LedgerHead, LogSheet, Signature
from records.selectors.results import ResultStand, results_on_sheet
from records.selectors.sheets import stand_of
from records.shifts import local
from tests.browser import screens, steps
from tests.browser.conftest import Opener
from tests.browser.paper import SIZES, Print

Printer = Callable[..., Print]
sizes = pytest.mark.parametrize("size", SIZES)
VERDICTS = {"in_range": "In range", "low": "Low", "high": "High", "not_judged": "Not judged"}
MEANINGS = {"handed_in": "Handed in", "signed": "Signed", "amendment_signed": "Amendment signed"}
# print.css: the margins left and right of the paper.
MARGIN_MM = 12


@pytest.fixture
def sheet(dated_works: SimpleNamespace) -> LogSheet:
    """A signed sheet with a high result, one in doubt and one that was amended."""
    told: LogSheet = screens.tell(dated_works).signed
    return told


@pytest.fixture
def printer(dated_works: SimpleNamespace, open_browser: Opener, sheet: LogSheet) -> Printer:
    """The supervisor, at the sheet, presses Print."""
    page = open_browser(dated_works.url)
    steps.sign_in(page, "sam-larkfield")
    page.goto(reverse("sheet", args=[dated_works.plant.pk, sheet.pk]))
    return lambda size, **options: Print(page, size, **options)


def rows_of(text: str) -> list[str]:
    """Return the rows of the table of results: each begins with a time and a tester."""
    table = text.split(" Drawn Test Result Range Verdict ", 1)[1].split(" Boiler checks ")[0]
    return re.split(r"(?=\b\d\d:\d\d (?:Tess Tanner|Milo Mate) )", table)[1:]


def said_by(row: str) -> set[str]:
    """Return the verdicts that a row says."""
    return {word for word in VERDICTS.values() if re.search(rf"\b{word}\b", row)}


def must_say(stand: ResultStand, row: str) -> None:
    """A row says when, who, what, how much, with what uncertainty, and what it comes to."""
    result, measurement = stand.result, stand.measurement
    drawn = local(measurement.plant, measurement.sample.drawn_at).strftime("%H:%M")
    assert row.startswith(f"{drawn} {measurement.by_name} Conductivity "), row
    assert re.search(rf" {re.escape(result.value)} ± \d+ µmho/cm ", row), row
    verdict = "not_judged" if stand.doubts else stand.verdict.side
    assert said_by(row) == {VERDICTS[verdict]}, row
    assert ("In doubt" in row) == bool(stand.doubts), row


@sizes
def test_every_result_is_on_paper_with_its_verdict_in_words(
    printer: Printer, sheet: LogSheet, size: str
) -> None:
    rows = rows_of(printer(size).text)
    stands = [stand for stand in results_on_sheet(sheet) if stand.current]
    assert {VERDICTS[s.verdict.side] for s in stands if not s.doubts} == {"High", "In range"}
    assert sum(bool(s.doubts) for s in stands) == 1
    assert len(rows) == len(stands) == 3
    for stand in stands:
        (row,) = [row for row in rows if f" {stand.result.value} ± " in row]
        must_say(stand, row)


@sizes
def test_what_was_amended_stays_on_paper_with_the_reason(printer: Printer, size: str) -> None:
    text = printer(size).text
    assert "1100 µmho/cm → 1110 µmho/cm amended by Tess Tanner, 11:30: misread the dial" in text
    assert "1110 µmho/cm → 1120 µmho/cm misread the dial" in text
    assert text.count("waits for a second person") == 1


@sizes
def test_every_signature_and_the_ledgers_head_are_on_paper(
    printer: Printer, sheet: LogSheet, size: str
) -> None:
    text = printer(size).text
    marks = Signature.objects.filter(plant=sheet.plant_id, sheet=sheet).order_by("sequence")
    assert [mark.meaning for mark in marks] == list(MEANINGS)
    seals = text.split(" Signatures ", 1)[1]
    for mark in marks:
        told = local(sheet.plant, mark.at)
        at = f"{told:%a} {told.day} {told:%b %Y, %H:%M}"
        said = rf"{MEANINGS[mark.meaning]} {mark.by_name} \w+ {at} .{{0,80}}? {mark.digest[:12]}"
        assert re.search(said, seals), (said, seals)
    head = LedgerHead.objects.get(plant=sheet.plant_id)
    assert f"Digest of this sheet {stand_of(sheet).digest} " in seals
    assert f"Ledger head, entry {head.sequence} {head.digest} " in seals
    assert "Tester, by hand Supervisor, by hand" in seals
    assert "Printed Tue 10 Mar 2026, 12:00 by Sam Sutter" in seals


@sizes
def test_every_page_is_numbered_and_nothing_reaches_over_its_margin(
    printer: Printer, size: str
) -> None:
    printed = printer(size)
    count, wide = len(printed.texts), SIZES[size][0]
    assert count == 2
    for number, text in enumerate(printed.texts, 1):
        assert f"Waterside {number} / {count}" in " ".join(text.split())
    for points, millimeters in zip(printed.sizes[0], SIZES[size], strict=True):
        assert points * 25.4 / 72 == pytest.approx(millimeters, abs=0.5)
    for left, right in printed.edges:
        assert left >= MARGIN_MM - 0.5 and right <= wide - MARGIN_MM + 0.5


@sizes
def test_black_and_white_tells_all_that_color_does(printer: Printer, size: str) -> None:
    """A printer that leaves backgrounds out prints the same words, and nothing is in color."""
    bare, full = printer(size), printer(size, background=True)
    assert bare.texts == full.texts
    assert bare.colored() == full.colored() == 0
