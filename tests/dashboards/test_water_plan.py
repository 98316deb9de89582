"""The page of a plan for a whole boiler water, and the way to it from the sample."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Action, Remedy, Sample
from tests.dashboards.conftest import Browser, at_desk, at_terminal
from tests.dashboards.page import Page
from tests.records import story
from tests.records.test_water_plans import TYPED, UNITS, drawn, ranged

SENT = {**TYPED, **{f"{key}.unit": unit for key, unit in UNITS.items()}}


@pytest.fixture
def both(works: SimpleNamespace) -> Sample:
    return drawn(ranged(works))


@pytest.fixture
def bench(works: SimpleNamespace, token: str) -> Browser:
    return at_terminal(token, works.people["tester"])


def url(sample: Sample, name: str = "water-plan") -> str:
    return reverse(name, args=[sample.plant_id, sample.pk])


def worked_out(browser: Browser, sample: Sample, **changed: str) -> Page:
    sent = {**SENT, "key": story.key(), **changed}
    return Page(browser.post(url(sample), sent, follow=True))


def test_the_sample_leads_to_one_plan_for_all_of_it(bench: Browser, both: Sample) -> None:
    page = Page(bench.get(url(both, "sample")))
    assert "A plan for all of it" in page.words
    assert url(both) in [each.get("href") for each in page.named("a")]


def test_a_sample_in_range_offers_none(bench: Browser, works: SimpleNamespace) -> None:
    sample = drawn(ranged(works), conductivity="1000", drops="8")
    assert "A plan for all of it" not in Page(bench.get(url(sample, "sample"))).words
    page = Page(bench.get(url(sample)))
    assert "No plan is worked out yet" in page.words and "in range" in page.words


def test_before_the_second_draw_it_says_so(bench: Browser, works: SimpleNamespace) -> None:
    sample = story.draw(ranged(works), "1500")
    page = Page(bench.get(url(sample)))
    assert "not confirmed by a second draw" in page.words
    assert "steam_flow" not in page.values


def test_it_asks_for_what_it_needs_with_cautions_first(bench: Browser, both: Sample) -> None:
    page = Page(bench.get(url(both)))
    assert "Conductivity: High" in page.words and "Sulfite: Low" in page.words
    assert page.words.index("Before you touch") < page.words.index("Worked out from")
    assert "orders nothing" in page.words and "steam_flow" in page.values


def test_the_plan_says_what_to_do_in_order_and_the_water_to_expect(
    bench: Browser, both: Sample
) -> None:
    page = worked_out(bench, both)
    assert page.status == 200 and "In this order" in page.words
    assert "Continuous blowdown at" in page.words and "Sodium sulfite" in page.words
    assert "expected afterwards" in page.words and "Test again after" in page.words
    assert "lb/h" in page.words and "orders nothing" in page.words
    assert page.values["phosphate_product"] == "tsp_crystals"


def test_a_plan_that_brings_not_all_into_range_says_so(bench: Browser, both: Sample) -> None:
    page = worked_out(bench, both, sulfite_product="none")
    assert "This does not bring everything into range" in page.words
    assert "Sulfite" in page.words and "chemist" in page.words


def test_what_cannot_be_read_stands_beside_its_field(bench: Browser, both: Sample) -> None:
    page = worked_out(bench, both, steam_flow="abc", food="")
    assert page.status == 422 and "is not a number" in page.errors["f-steam_flow"]
    assert page.errors["f-food"] and page.values["steam_flow"] == "abc"
    assert not Remedy.objects.exists()


def test_a_refusal_names_what_is_missing(bench: Browser, both: Sample) -> None:
    page = worked_out(bench, both, feed_conductivity="20", feed_alkalinity="90")
    assert "No plan is given" in page.words and "one water" in page.words


def test_what_was_done_is_recorded_once_for_all(bench: Browser, both: Sample) -> None:
    page = worked_out(bench, both)
    sent = {name: page.values[name] for name in ("done_at", "retest_at")}
    sent |= {"kind": "blowdown", "amount": "valve at 3 for 2 h", "note": "", "key": story.key()}
    answer = bench.post(url(both, "water-plan-done"), sent)
    assert answer.status_code == 302 and Action.objects.count() == 2
    assert "valve at 3 for 2 h" in Page(bench.get(url(both, "sample"))).words


def test_what_is_wrong_with_the_record_is_told_and_stays(bench: Browser, both: Sample) -> None:
    worked_out(bench, both)
    sent = {"kind": "blowdown", "amount": "", "done_at": "2026-03-10T12:00", "retest_at": "x"}
    page = Page(bench.post(url(both, "water-plan-done"), sent))
    assert page.status == 422 and page.errors and not Action.objects.exists()


def test_the_boilers_last_answers_are_offered_again(
    bench: Browser, works: SimpleNamespace, both: Sample
) -> None:
    worked_out(bench, both, sulfite_strength="93")
    with story.later(60):
        again = drawn(works)
        page = Page(at_desk(works.people["tester"]).get(url(again)))
    assert page.values["sulfite_strength"] == "93" and page.values["program"] == "free_caustic"
    assert page.values["steam_flow"] == ""


def test_a_supervisor_sees_the_plan_too(
    works: SimpleNamespace, bench: Browser, both: Sample
) -> None:
    worked_out(bench, both)
    assert "In this order" in Page(at_desk(works.people["supervisor"]).get(url(both))).words
