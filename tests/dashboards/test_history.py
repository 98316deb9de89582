"""The history of one number: from the typed text to the signature."""

from types import SimpleNamespace

import pytest
from django.db import connection
from django.urls import reverse

from records import guards
from records.models import Amendment, Measurement
from records.selectors.history import seals_of, versions_of
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story


@pytest.fixture
def first(works: SimpleNamespace) -> Measurement:
    sample = story.draw(works, "1500", typed={"temperature": "25.0"})
    found: Measurement = sample.measurements.get()
    return found


def read(works: SimpleNamespace, browser: Browser, measurement: Measurement) -> str:
    url = reverse("result-history", args=[works.plant.pk, measurement.pk])
    return Page(browser.get(url)).words


def test_it_goes_from_the_typed_text_to_the_limit_of_its_day(
    works: SimpleNamespace, tess: Browser, first: Measurement
) -> None:
    words = read(works, tess, first)
    for told in (
        "As first entered This one counts by Tess Tanner",
        "Temperature of the sample 25.0 25.0 °C",
        ", version 1: The meter corrects to 25 °C by itself",
        "meter A In order",
        "Uncertainty budget",
        "Program of that day Boiler 1",
        "Limit of that day at most 1300 µmho/cm, target 1100",
        "Source of the limit Common practice (common practice, no source)",
        "simple acceptance, version 1 (ILAC-G8:09/2019)",
        "not sealed yet: no signature covers it",
        "Not handed in yet.",
    ):
        assert told in words, told


def test_every_version_stays_readable_and_says_whether_it_counts(
    works: SimpleNamespace, tess: Browser, first: Measurement
) -> None:
    second = story.correct(works, first, "1510")
    story.signed(works, first.sheet)
    third = story.correct(works, second, "1520", reason="read the other dial")
    assert [v.pk for v in versions_of(second)] == [first.pk, second.pk, third.pk]
    waiting = read(works, tess, first)
    told = ("As first entered Replaced", "Correction 1 This one counts")
    assert waiting.index(told[0]) < waiting.index(told[1])
    assert "Amendment 2 Waits for a second person" in waiting
    story.decide(works, Amendment.objects.get(plant=works.plant), accept=False)
    refused = read(works, tess, third)
    assert "Amendment 2 Refused: it never counted" in refused
    assert "Amendment refused: Sam Sutter" in refused and "not convincing" in refused
    assert "read the other dial" in refused


def test_each_row_shows_its_digest_and_the_entry_that_sealed_it(
    works: SimpleNamespace, tess: Browser, first: Measurement
) -> None:
    story.signed(works, first.sheet)
    seals = seals_of(works.plant, first)
    assert {seal.table for seal in seals} == {
        "sample", "measurement", "reading", "instrumentuse", "result", "verdict",
    }  # fmt: skip
    words = read(works, tess, first)
    assert all(seal.holds and seal.digest in words for seal in seals)
    assert "as sealed" in words and "CHANGED" not in words


def test_a_row_changed_behind_the_seal_is_told(
    works: SimpleNamespace, tess: Browser, first: Measurement
) -> None:
    story.signed(works, first.sheet)
    guards.lift(connection)
    with connection.cursor() as cursor:
        cursor.execute("UPDATE records_reading SET typed = '1200' WHERE field = 'reading'")
    guards.lay(connection)
    assert "CHANGED since" in read(works, tess, first)


def test_a_check_without_a_number_has_a_history_too(works: SimpleNamespace, tess: Browser) -> None:
    factories.sample(works.mate, works.point, story.gauge_glass("worked"))
    words = read(works, tess, Measurement.objects.get(plant=works.plant))
    assert "Milo" in words and "clear and quick" in words


def test_a_doubt_and_its_instrument_are_told(works: SimpleNamespace, tess: Browser) -> None:
    shelf = {**works.used, "meter": story.out_of_service(works)}
    test = factories.conductivity("900", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.tester, works.point, test)
    words = read(works, tess, Measurement.objects.get(plant=works.plant))
    assert "Meter on the shelf Out of service the other one broke" in words
    assert "In doubt" in words
