"""Correcting a result before its sheet is signed, amending it afterwards."""

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
        ({"reason": ""}, "f-reason", "Say why the result is corrected."),
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


def test_a_check_alone_has_no_number_to_correct(works):
    key = factories.sample(works.tester, works.point, story.gauge_glass("worked"))
    check = Measurement.objects.get(sample=key)
    url = reverse("result-correct", args=[works.plant.pk, check.pk])
    assert at_desk(works.people["tester"]).get(url).status_code == 404
