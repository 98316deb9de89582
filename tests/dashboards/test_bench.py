"""The bench sheet: kept as typed at every pause, shown worked, its tester's alone."""

import json
from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.urls import reverse

from records import clock
from records.models import (
    BoilerState,
    Draft,
    DueSlot,
    Measurement,
    Sample,
    SamplePoint,
    Verdict,
)
from records.selectors.programs import state_at
from records.services.plants import boiler_state_set
from records.services.slots import slots_expand
from tests import factories
from tests.dashboards.conftest import Browser, at_terminal, begun
from tests.dashboards.forms import bench_form, bench_urls
from tests.dashboards.page import Page
from tests.records import story

HTMX = {"HX-Request": "true"}


@pytest.fixture
def draft(works: SimpleNamespace) -> Draft:
    return begun(works)


def test_a_due_test_is_begun_from_the_round_and_once(works: SimpleNamespace, tess: Browser) -> None:
    slots_expand(works.plant)
    come = DueSlot.objects.filter(plant=works.plant, due_at__lte=clock.now())
    slot = come.order_by("due_at").last()
    assert slot is not None
    page = Page(tess.get(reverse("round", args=[works.plant.pk])))
    start = reverse("sample-start", args=[works.plant.pk, works.point.pk])
    # The two slots before are missed and stay so: one line for a point, and none for later slots.
    assert page.forms().count(start) == 2 and come.count() > 1
    assert page.values["slot"] == str(slot.pk)
    sent = {"slot": str(slot.pk), "method": "conductivity"}
    first, second = tess.post(start, sent), tess.post(start, sent)
    own = Draft.objects.get(plant=works.plant)
    assert first["Location"] == second["Location"] == bench_urls(own).page
    assert own.slot_id == slot.pk


@pytest.mark.parametrize("changed", [{"method": "alchemy"}, {"slot": "x"}, {"method": ""}])
def test_a_start_that_names_nothing_known_is_not_found(
    works: SimpleNamespace, tess: Browser, changed: dict[str, str]
) -> None:
    start = reverse("sample-start", args=[works.plant.pk, works.point.pk])
    assert tess.post(start, {"method": "conductivity"} | changed).status_code == 404
    assert not Draft.objects.filter(plant=works.plant).exists()


def test_a_slot_of_another_point_is_not_found(works: SimpleNamespace, tess: Browser) -> None:
    slots_expand(works.plant)
    slot = DueSlot.objects.filter(plant=works.plant, sample_point=works.point).first()
    start = reverse("sample-start", args=[works.plant.pk, works.feed.pk])
    sent = {"method": "conductivity", "slot": str(slot.pk)}  # type: ignore[union-attr]
    assert tess.post(start, sent).status_code == 404


def test_what_is_typed_is_kept_and_answered_with_its_result(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    reply = tess.post(bench_urls(draft).work, bench_form(works, "1420"), headers=HTMX)
    assert reply.status_code == 200
    assert json.loads(reply["HX-Trigger"]) == {"draft-saved": {"revision": 1}}
    words = Page(reply).words
    assert "1420" in words and "High" in words and "at most 1300 µmho/cm" in words.lower()
    draft.refresh_from_db()
    assert draft.typed["conductivity.reading"] == "1420" and draft.revision == 1
    again = Page(tess.get(bench_urls(draft).page))
    assert again.values["conductivity.reading"] == "1420"
    assert not Measurement.objects.filter(plant=works.plant).exists()


def test_a_half_typed_sheet_says_what_is_still_to_be_read(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    sent = bench_form(works, "1420", temperature="")
    reply = Page(tess.post(bench_urls(draft).work, sent, headers=HTMX))
    assert "Still to be read: Temperature of the sample" in reply.words
    assert reply.told() == {}


def test_the_same_text_sent_again_changes_no_revision(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    sent = bench_form(works)
    for _again in range(2):
        reply = tess.post(bench_urls(draft).work, sent, headers=HTMX)
        assert json.loads(reply["HX-Trigger"]) == {"draft-saved": {"revision": 1}}


def test_an_older_window_is_told_and_overwrites_nothing(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    tess.post(bench_urls(draft).work, bench_form(works, "1100"), headers=HTMX)
    older = tess.post(bench_urls(draft).work, bench_form(works, "900"), headers=HTMX)
    assert older.status_code == 409
    assert "changed in another window" in older.content.decode()
    draft.refresh_from_db()
    assert draft.typed["conductivity.reading"] == "1100"
    plain = Page(tess.post(bench_urls(draft).finish, bench_form(works, "900")))
    assert plain.status == 422 and "changed in another window" in plain.alerts
    assert plain.values["conductivity.reading"] == "900"  # what was typed stays to be seen
    assert not Sample.objects.filter(plant=works.plant).exists()


def test_without_scripts_the_sheet_comes_back_whole(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    page = Page(tess.post(bench_urls(draft).work, bench_form(works, "1420")))
    assert page.status == 200 and page.values["conductivity.reading"] == "1420"
    assert "High" in page.words and page.values["revision"] == "1"


def test_another_testers_sheet_does_not_exist(
    works: SimpleNamespace, token: str, draft: Draft
) -> None:
    other = at_terminal(token, works.people["mate"])
    urls = bench_urls(draft)
    assert other.get(urls.page).status_code == 404
    for url in (urls.work, urls.finish, urls.discard):
        assert other.post(url, bench_form(works) | {"confirm": "yes"}).status_code == 404
    draft.refresh_from_db()
    assert draft.revision == 0 and draft.closed_at is None


def test_a_sheet_is_thrown_away_only_when_asked_twice(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    urls = bench_urls(draft)
    assert tess.post(urls.discard)["Location"] == urls.page
    assert tess.post(urls.discard, {"confirm": "yes"})["Location"] == urls.round
    assert tess.get(urls.page)["Location"] == urls.round
    assert tess.post(urls.work, bench_form(works), headers=HTMX).status_code == 409
    # The back button and a press on "Finish": the sample counts as not drawn.
    assert tess.post(urls.finish, bench_form(works))["Location"] == urls.round
    assert not Sample.objects.filter(plant=works.plant).exists()


def test_finishing_registers_the_sample_as_typed(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    sent = tess.post(bench_urls(draft).finish, bench_form(works, "1 420"))
    sample = Sample.objects.get(plant=works.plant)
    assert sent["Location"] == reverse("sample", args=[works.plant.pk, sample.pk])
    assert sample.by == works.people["tester"] and sample.terminal_name == "Bench"
    reading = sample.measurements.get().readings.get(field="reading")
    assert (reading.typed, reading.normalized, reading.unit) == ("1 420", "1420", "umho/cm")
    draft.refresh_from_db()
    assert draft.closed_at is not None


def test_finishing_twice_leads_to_the_one_sample(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    first = tess.post(bench_urls(draft).finish, bench_form(works))
    second = tess.post(bench_urls(draft).finish, bench_form(works))
    assert first["Location"] == second["Location"]
    assert Sample.objects.filter(plant=works.plant).count() == 1


def test_an_instrument_out_of_order_asks_for_a_reason(
    works: SimpleNamespace, tess: Browser, draft: Draft
) -> None:
    shelf = story.out_of_service(works)
    sent = bench_form(works, meter=shelf)
    page = Page(tess.post(bench_urls(draft).finish, sent))
    assert page.status == 422
    assert "say why you use it" in page.told()["conductivity-why-meter"]
    assert not Sample.objects.filter(plant=works.plant).exists()
    sent = bench_form(works, meter=shelf, meter_reason="the other one broke", revision="1")
    assert tess.post(bench_urls(draft).finish, sent).status_code == 302
    doubt = Measurement.objects.get(plant=works.plant).doubts.get()
    assert doubt.detail == "the other one broke"


def banked(works: SimpleNamespace) -> None:
    """Let the boiler be banked, a state for which its program has no limit."""
    since = clock.now() - timedelta(hours=1)
    boiler_state_set(actor=works.supervisor, boiler=works.boiler, state="banked", since=since)


def test_a_state_that_does_not_fit_is_offered_to_be_changed(
    works: SimpleNamespace, tess: Browser
) -> None:
    banked(works)
    draft = begun(works)
    page = Page(tess.get(bench_urls(draft).page))
    change = reverse("boiler-state", args=[works.plant.pk, works.boiler.pk])
    assert change in page.forms()
    assert "Boiler 1 is recorded as “Banked”, and its program has no limits for that." in page.words
    sent = tess.post(change, {"state": "steaming", "draft": str(draft.pk)})
    assert sent["Location"] == bench_urls(draft).page
    assert state_at(works.boiler, clock.now()) == "steaming"
    assert change not in Page(tess.get(bench_urls(draft).page)).forms()


def test_a_sample_that_does_not_fit_the_state_is_kept_all_the_same(
    works: SimpleNamespace, tess: Browser
) -> None:
    banked(works)
    draft = begun(works)
    sent = bench_form(works, "1420")
    assert tess.post(bench_urls(draft).finish, sent).status_code == 302
    sample = Sample.objects.get(plant=works.plant)
    assert sample.boiler_state == "banked"
    assert Verdict.objects.get(plant=works.plant).side == "not_judged"


@pytest.mark.parametrize("state", ["", "exploded", "x" * 300, "\0"])
def test_a_state_that_is_none_is_refused_in_words(
    works: SimpleNamespace, tess: Browser, draft: Draft, state: str
) -> None:
    change = reverse("boiler-state", args=[works.plant.pk, works.boiler.pk])
    before = BoilerState.objects.filter(plant=works.plant).count()
    page = Page(tess.post(change, {"state": state, "draft": str(draft.pk)}))
    assert page.status == 422 and "Pick one of the states given." in page.alerts
    assert "Pick one of the states given." in Page(tess.post(change, {"state": state})).words
    assert tess.post(change, {"state": "steaming", "draft": "not-a-key"}).status_code == 404
    assert BoilerState.objects.filter(plant=works.plant).count() == before


def test_a_draw_that_no_limit_is_known_for_is_kept_not_judged(
    works: SimpleNamespace, tess: Browser
) -> None:
    """At 900 psig no limit is known (common practice, no source): not judged, never guessed."""
    boiler = factories.boiler(works.plant, "Boiler 9", rated_psig=900.0, working_psig=860.0)
    point = SamplePoint.objects.get(plant=works.plant, boiler=boiler)
    draft = begun(works, point=point)
    assert tess.post(bench_urls(draft).finish, bench_form(works)).status_code == 302
    sample = Sample.objects.get(plant=works.plant)
    assert Verdict.objects.get(plant=works.plant).side == "not_judged"
    words = Page(tess.get(reverse("sample", args=[works.plant.pk, sample.pk]))).words
    assert "Not judged" in words
