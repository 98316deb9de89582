"""Correcting a result before its sheet is signed, amending it afterwards."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Amendment, Measurement
from tests import factories
from tests.dashboards.conftest import Browser, at_desk
from tests.dashboards.forms import bench_form
from tests.dashboards.page import Page
from tests.records import story


@pytest.fixture
def first(works: SimpleNamespace) -> Measurement:
    measurement: Measurement = story.draw(works, "1140").measurements.get()
    return measurement


def url_of(measurement: Measurement) -> str:
    return reverse("result-correct", args=[measurement.plant_id, measurement.pk])


def sheet_of(measurement: Measurement) -> str:
    return reverse("sheet", args=[measurement.plant_id, measurement.sheet_id])


def test_the_old_readings_stand_beside_the_new_ones(first: Measurement, tess: Browser) -> None:
    page = Page(tess.get(url_of(first)))
    assert page.values["conductivity.reading"] == "1140"
    assert "Until now: 1140 µmho/cm" in page.words and "Correct a result" in page.words


def test_a_preview_stores_nothing(
    works: SimpleNamespace, first: Measurement, tess: Browser
) -> None:
    sent = bench_form(works, "1410") | {"preview": "1"}
    part = Page(tess.post(url_of(first), sent, headers={"HX-Request": "true"}))
    assert part.status == 200 and "1410" in part.words and "High" in part.words
    assert Measurement.objects.filter(plant=works.plant).count() == 1


def test_a_correction_is_a_row_of_its_own_with_its_reason(
    works: SimpleNamespace, first: Measurement, tess: Browser
) -> None:
    sent = bench_form(works, "1410") | {"reason": "misread the dial", "key": "c1"}
    assert tess.post(url_of(first), sent)["Location"] == sheet_of(first)
    new = Measurement.objects.get(plant=works.plant, corrects=first)
    assert new.reason == "misread the dial"
    page = Page(tess.get(sheet_of(first)))
    assert "1140 µmho/cm corrected by Tess Tanner, 12:00: misread the dial" in page.words


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"reason": ""}, "f-reason", "Say why it is corrected."),
        ({"reason": "x" * 301}, "f-reason", "too long"),
        ({"reason": "a\0b"}, "f-reason", "can't be stored"),
        ({"conductivity.reading": "abc"}, "conductivity-reading", "is not a number"),
        ({"conductivity.temperature": "212"}, "conductivity-temperature", "scald"),
    ],
)
def test_bad_input_is_told_beside_its_field(
    works: SimpleNamespace,
    first: Measurement,
    tess: Browser,
    changed: dict[str, str],
    where: str,
    told: str,
) -> None:
    sent = bench_form(works, "1410") | {"reason": "misread", "key": "c1"} | changed
    page = Page(tess.post(url_of(first), sent))
    assert page.status == 422 and told in page.told()[where], page.told()
    for name in ("conductivity.reading", "reason"):
        assert page.values[name] == sent[name]
    assert Measurement.objects.filter(plant=works.plant).count() == 1


def test_a_result_corrected_meanwhile_is_not_corrected_again(
    works: SimpleNamespace, first: Measurement, tess: Browser
) -> None:
    story.correct(works, first, "1150")
    sent = bench_form(works, "1410") | {"reason": "misread", "key": "c1"}
    page = Page(tess.post(url_of(first), sent))
    assert page.status == 422 and "corrected meanwhile" in page.alerts
    assert Measurement.objects.filter(plant=works.plant).count() == 2


def test_on_a_signed_sheet_it_is_an_amendment_for_a_second_person(
    works: SimpleNamespace, first: Measurement, tess: Browser, sam: Browser
) -> None:
    story.signed(works, first.sheet)
    assert "Amend a signed result" in Page(tess.get(url_of(first))).words
    sent = bench_form(works, "1410") | {"reason": "misread the dial", "key": "c1"}
    assert tess.post(url_of(first), sent).status_code == 302
    amendment = Amendment.objects.get(plant=works.plant)
    decide = reverse("amendment-sign", args=[works.plant.pk, amendment.pk])
    own = Page(tess.get(sheet_of(first)))
    assert decide not in own.forms() and "waits for a second person" in own.words
    assert decide in Page(sam.get(sheet_of(first))).forms()
    assert "Amendment" in Page(sam.get(reverse("plant", args=[works.plant.pk]))).words


def test_who_proposed_an_amendment_is_told_that_another_signs(
    works: SimpleNamespace, first: Measurement
) -> None:
    story.signed(works, first.sheet)
    story.correct(works, first, "1410", by=works.chemist)
    page = Page(at_desk(works.people["chemist"]).get(sheet_of(first)))
    assert "You proposed this amendment, so another person must sign it." in page.words


def check_form(outcome: str, **changed: str) -> dict[str, str]:
    """Return the form that corrects a check of the gauge glass."""
    typed = {"glass": outcome, "remark": "slow", "witness": "Milo"}
    sent = {f"gauge_glass.{key}": text for key, text in typed.items()}
    mode = {"gauge_glass:mode": "glass", "reason": "looked at the wrong boiler", "key": "c1"}
    return {**sent, **mode, **changed}


@pytest.fixture
def check(works: SimpleNamespace) -> Measurement:
    key = factories.sample(works.tester, works.point, story.gauge_glass("worked"))
    measurement: Measurement = Measurement.objects.get(sample=key)
    return measurement


def sample_of(check: Measurement) -> str:
    return reverse("sample", args=[check.plant_id, check.sample_id])


def test_a_check_is_corrected_and_what_it_said_stays_readable(
    check: Measurement, tess: Browser
) -> None:
    for page in (Page(tess.get(sample_of(check))), Page(tess.get(sheet_of(check)))):
        assert url_of(check) in {link.get("href") for link in page.named("a")}
    page = Page(tess.get(url_of(check)))
    assert "Correct a check" in page.words and "Gauge glass: Worked" in page.words
    assert page.values["gauge_glass.glass"] == "worked"
    assert tess.post(url_of(check), check_form("did_not_work"))["Location"] == sheet_of(check)
    for page in (Page(tess.get(sample_of(check))), Page(tess.get(sheet_of(check)))):
        for told in (
            "Gauge glass: Did not work",
            "Gauge glass: Worked · clear and quick",
            "corrected by Tess Tanner, 12:00: looked at the wrong boiler",
        ):
            assert told in page.words, told
        hrefs = {link.get("href") for link in page.named("a")}
        assert url_of(check.corrections.get()) in hrefs and url_of(check) not in hrefs


def test_a_corrected_check_stands_among_what_a_signer_must_see_first(
    check: Measurement, tess: Browser
) -> None:
    tess.post(url_of(check), check_form("did_not_work"))
    page = Page(tess.get(sheet_of(check)))
    first, table = page.words.index("Exceptions"), page.words.index("No results in this shift")
    seen = page.words[first:table]
    assert "This comes before everything else" in seen
    assert "Gauge glass: Worked · clear and quick → Gauge glass: Did not work · slow" in seen
    assert "looked at the wrong boiler" in seen


@pytest.mark.parametrize("page", ["sample", "sheet"])
def test_a_check_leads_to_its_history_with_every_version(
    check: Measurement, tess: Browser, page: str
) -> None:
    tess.post(url_of(check), check_form("did_not_work"))
    history = reverse("result-history", args=[check.plant_id, check.corrections.get().pk])
    shown = Page(tess.get({"sample": sample_of, "sheet": sheet_of}[page](check)))
    assert history in {link.get("href") for link in shown.named("a")}
    told = Page(tess.get(history)).words
    assert told.index("As first entered Replaced") < told.index("Correction 1 This one counts")


def test_a_part_of_a_check_that_is_no_more_stays_readable(
    works: SimpleNamespace, tess: Browser
) -> None:
    both = replace(story.gauge_glass("worked", column="did_not_work"), mode="glass_and_column")
    key = factories.sample(works.tester, works.point, both)
    check = Measurement.objects.get(sample=key)
    assert tess.post(url_of(check), check_form("worked")).status_code == 302
    words = Page(tess.get(sample_of(check))).words
    assert words.count("corrected by Tess Tanner") == 2
    assert "Water column: Did not work" in words


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"reason": ""}, "f-reason", "Say why it is corrected."),
        ({"gauge_glass.glass": ""}, "gauge_glass-glass", "still needed"),
        ({"gauge_glass.glass": "sang"}, "gauge_glass-glass", "Pick one"),
        ({"gauge_glass.remark": "x" * 300}, "gauge_glass-remark", "too long"),
    ],
)
def test_a_check_that_cannot_be_used_is_told_beside_its_field(
    check: Measurement, tess: Browser, changed: dict[str, str], where: str, told: str
) -> None:
    page = Page(tess.post(url_of(check), check_form("did_not_work", **changed)))
    assert page.status == 422 and told in page.told()[where], page.told()
    assert Measurement.objects.count() == 1


def test_a_signed_check_is_amended_by_two(
    works: SimpleNamespace, check: Measurement, tess: Browser, sam: Browser
) -> None:
    story.signed(works, check.sheet)
    assert "Amend a signed check" in Page(tess.get(url_of(check))).words
    assert tess.post(url_of(check), check_form("did_not_work")).status_code == 302
    told = "Gauge glass: Worked · clear and quick → Gauge glass: Did not work · slow"
    waiting = Page(sam.get(sheet_of(check))).words
    assert told in waiting and waiting.count("Gauge glass: Did not work") == 1
    assert told in Page(sam.get(reverse("plant", args=[works.plant.pk]))).words
    story.decide(works, Amendment.objects.get())
    assert "amended by Tess Tanner" in Page(tess.get(sheet_of(check))).words
