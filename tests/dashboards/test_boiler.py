"""The page of one boiler."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from records import clock
from records.models import Remedy
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story
from tests.records.test_drum_logs import drawn


def url(works: SimpleNamespace) -> str:
    return reverse("boiler", args=[works.plant.pk, works.boiler.pk])


@pytest.fixture
def fed(works: SimpleNamespace) -> SimpleNamespace:
    drawn(works, ["50"], works.feed)
    return works


def test_a_steady_water_stays(fed: SimpleNamespace, sam: Browser) -> None:
    drawn(fed, ["700"] * 9)
    page = Page(sam.get(url(fed)))
    assert page.status == 200 and "Steaming" in page.words
    assert "it stays in its range for 72 hours" in page.words
    assert "Cycles of concentration" in page.words and "orders nothing" in page.words


def test_a_rising_water_says_when_it_leaves(fed: SimpleNamespace, sam: Browser) -> None:
    drawn(fed, ["1050"] * 6 + ["1100", "1150", "1200", "1250"])
    assert "it goes above its range about" in Page(sam.get(url(fed))).words


def test_what_is_outside_is_said_to_be(fed: SimpleNamespace, sam: Browser) -> None:
    drawn(fed, ["1050"] * 6 + ["1150", "1250", "1350", "1450"])
    assert "It is outside its range" in Page(sam.get(url(fed))).words


def test_a_refusal_says_what_to_record(works: SimpleNamespace, sam: Browser) -> None:
    drawn(works, ["1050"] * 4)
    page = Page(sam.get(url(works)))
    assert "Nothing is foretold" in page.words
    assert "Test the feedwater's conductivity" in page.words


def test_a_lone_rise_asks_for_another_test(fed: SimpleNamespace, sam: Browser) -> None:
    drawn(fed, ["1000", "1010", "990", "1000", "1290"])
    page = Page(sam.get(url(fed)))
    assert "What may explain the change" in page.words and "usually 1000" in page.words
    assert "test conductivity, and P alkalinity or pH" in page.words


def test_a_boiler_not_tested_says_so(works: SimpleNamespace, tess: Browser) -> None:
    page = Page(tess.get(url(works)))
    assert page.status == 200 and "Not tested in the last two weeks" in page.words


def test_desk_and_sample_lead_to_it(works: SimpleNamespace, sam: Browser) -> None:
    sample = story.draw(works, "1500")
    for name, keys in (("plant", []), ("sample", [sample.pk])):
        page = Page(sam.get(reverse(name, args=[works.plant.pk, *keys])))
        assert url(works) in [each.get("href") for each in page.named("a")]


def test_another_plants_boiler_does_not_exist(
    works: SimpleNamespace, dairy: SimpleNamespace, sam: Browser
) -> None:
    own, other = works.plant.pk, dairy.boiler.pk
    assert sam.get(reverse("boiler", args=[own, other])).status_code == 404
    assert sam.get(url(dairy)).status_code == 404


def test_more_results_cost_no_more_queries(fed: SimpleNamespace, sam: Browser) -> None:
    drawn(fed, ["1050"] * 4)
    sam.get(url(fed))
    with CaptureQueriesContext(connection) as few:
        sam.get(url(fed))
    with clock.clock_at(clock.now() - timedelta(days=3)):
        drawn(fed, ["1040"] * 8)
    with CaptureQueriesContext(connection) as more:
        sam.get(url(fed))
    assert len(more) <= len(few) < 60


def test_a_blowdown_is_held_against_the_next_water_not_the_one_it_answered(
    fed: SimpleNamespace, sam: Browser
) -> None:
    now = clock.now()
    with clock.clock_at(now - timedelta(hours=20)):
        drawn(fed, ["1050"] * 9)
        story.draw(fed, "1480")
        again = story.draw(fed, "1480", by=fed.mate)
        remedy = Remedy.objects.get(pk=story.plan(fed, again))
        assert remedy.refusal == ""
        story.act(fed, again, remedy=remedy)
    drawn(fed, ["1180"])
    page = Page(sam.get(url(fed)))
    assert "Did it do what it must have done?" in page.words
    assert "1180 µmho/cm; foretold" in page.words and "Not reckoned with" not in page.words
