"""A finished sample: its verdict, the remedy with its cautions, what was done, the retest."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.urls import reverse

from records import clock
from records.models import Action, Draft, FollowUp, Remedy, Sample
from tests import factories
from tests.dashboards.conftest import Browser, at_terminal, begun
from tests.dashboards.forms import bench_form, bench_urls
from tests.dashboards.page import Page
from tests.records import bottles, story

UNITS = {f"{name}.unit": unit for name, unit in story.REMEDY_UNITS.items()}
DONE = {
    "kind": "blowdown",
    "amount": "valve at 3 for 2 h",
    "note": "",
    "done_at": "2026-03-10T12:00",
    "retest_at": "2026-03-10T12:30",
    "key": "done-1",
}


def urls_of(sample: Sample) -> SimpleNamespace:
    """The addresses of a sample's page and of its forms."""
    keys = [sample.plant_id, sample.pk]
    return SimpleNamespace(
        sample=sample,
        page=reverse("sample", args=keys),
        confirm=reverse("sample-confirm", args=keys),
        without=reverse("confirm-waive", args=keys),
        plan=reverse("remedy-plan", args=keys),
        act=reverse("action-record", args=keys),
    )


@pytest.fixture
def first(works: SimpleNamespace) -> SimpleNamespace:
    """The addresses of a sample that is high, the first of its kind."""
    return urls_of(story.draw(works, "1500"))


@pytest.fixture
def urls(works: SimpleNamespace) -> SimpleNamespace:
    """The addresses of a sample that is high, as the draw before it was."""
    return urls_of(story.confirmed(works, "1500"))


def test_a_high_sample_asks_for_a_fresh_draw_and_offers_no_remedy_yet(
    first: SimpleNamespace, tess: Browser
) -> None:
    page = Page(tess.get(first.page))
    assert page.status == 200
    for told in ("1500", "High", "First draw a fresh sample", "once a second draw has confirmed"):
        assert told in page.words, told
    assert {first.confirm, first.without, first.act} <= set(page.forms())
    assert first.plan not in page.forms()


def test_the_fresh_draw_opens_a_bench_sheet_with_just_its_tests(
    works: SimpleNamespace, first: SimpleNamespace, tess: Browser
) -> None:
    sent = tess.post(first.confirm)
    draft = Draft.objects.get(plant=works.plant)
    assert sent["Location"] == reverse("bench", args=[works.plant.pk, draft.pk])
    assert set(draft.method_versions) == {"conductivity"}
    assert draft.slot.follow_up.why == "confirm"


@pytest.mark.parametrize(
    ("second", "told"),
    [("1480", "Confirmed by the draw of"), ("1100", "Not confirmed by the draw of")],
)
def test_the_first_sample_says_what_the_second_showed(
    works: SimpleNamespace, tess: Browser, second: str, told: str
) -> None:
    before = clock.now() - timedelta(minutes=20)
    first = urls_of(story.draw(works, "1500", drawn_at=before))
    story.draw(works, second)
    page = Page(tess.get(first.page))
    assert told in page.words
    assert {first.plan, first.confirm, first.without}.isdisjoint(page.forms())


def test_a_reason_stands_for_the_second_draw(
    works: SimpleNamespace, first: SimpleNamespace, tess: Browser
) -> None:
    refused = Page(tess.post(first.without, {"reason": " ", "key": "why-1"}))
    assert refused.status == 422 and "without a second draw" in refused.told()["f-reason"]
    assert tess.post(first.without, {"reason": "this was the repeat", "key": "why-1"})
    page = Page(tess.get(first.page))
    assert "Acted on without a second draw: this was the repeat" in page.words
    assert first.plan in page.forms()
    owed = FollowUp.objects.filter(plant=works.plant, settlements=None)
    assert [f.kind for f in owed] == ["answer"]


def test_a_confirmed_sample_shows_cautions_before_any_figure(
    urls: SimpleNamespace, tess: Browser
) -> None:
    page = Page(tess.get(urls.page))
    for told in ("Confirmed: the draw of", "Before you touch a valve", "It orders nothing"):
        assert told in page.words, told
    assert {urls.plan, urls.act} <= set(page.forms())


def test_a_sample_in_range_offers_no_remedy(works: SimpleNamespace, tess: Browser) -> None:
    sample = story.draw(works, "1100")
    page = Page(tess.get(reverse("sample", args=[works.plant.pk, sample.pk])))
    assert "In range" in page.words
    plan = reverse("remedy-plan", args=[works.plant.pk, sample.pk])
    assert plan not in page.forms()
    assert tess.post(plan, story.REMEDY_TYPED)["Location"].endswith(f"/samples/{sample.pk}")
    assert not Remedy.objects.filter(plant=works.plant).exists()


def test_the_remedy_is_worked_out_and_kept_as_shown(
    works: SimpleNamespace, urls: SimpleNamespace, tess: Browser
) -> None:
    sent = tess.post(urls.plan, {**story.REMEDY_TYPED, **UNITS, "key": "plan-1"})
    assert sent["Location"] == f"{urls.page}#advice-conductivity"
    page = Page(tess.get(urls.page))
    for told in ("blowdown at", "lb/h", "Expected afterwards", "Test again after", "advice"):
        assert told in page.words, told
    assert page.values["steam_flow"] == "30000"
    assert Remedy.objects.get(plant=works.plant).refusal == ""


def test_what_cannot_be_computed_safely_is_refused_with_its_reason(
    works: SimpleNamespace, tess: Browser
) -> None:
    works.boiler.continuous_blowdown_max_kg_h = works.boiler.water_mass_kg = None
    works.boiler.save(update_fields=["continuous_blowdown_max_kg_h", "water_mass_kg"])
    keys = [works.plant.pk, story.confirmed(works, "1500").pk]
    sent = {**story.REMEDY_TYPED, **UNITS, "key": "plan-1"}
    assert tess.post(reverse("remedy-plan", args=keys), sent).status_code == 302
    page = Page(tess.get(reverse("sample", args=keys)))
    assert "No figure is given" in page.words and "Missing for one" in page.words
    assert "the chemist, extension 100" in page.words
    assert Remedy.objects.get(plant=works.plant).refusal


def test_what_was_done_owes_a_retest_that_shows_as_due(
    works: SimpleNamespace, urls: SimpleNamespace, tess: Browser, token: str
) -> None:
    assert tess.post(urls.act, DONE)["Location"] == f"{urls.page}#done-conductivity"
    action = Action.objects.get(plant=works.plant)
    assert (action.kind, action.amount) == ("blowdown", "valve at 3 for 2 h")
    page = Page(tess.get(urls.page))
    assert "Blew down" in page.words and "valve at 3 for 2 h" in page.words
    owed = FollowUp.objects.filter(plant=works.plant, kind="retest", settlements=None)
    assert [f.why for f in owed] == ["after_action"]
    with clock.clock_at(owed[0].due_at):
        back = at_terminal(token, works.people["tester"])
        due = Page(back.get(reverse("round", args=[works.plant.pk])))
    assert "12:30" in due.words and "Retest: see whether what was done has worked." in due.words


def test_sent_twice_it_is_recorded_once_and_other_content_is_a_conflict(
    works: SimpleNamespace, urls: SimpleNamespace, tess: Browser
) -> None:
    tess.post(urls.act, DONE)
    assert tess.post(urls.act, DONE).status_code == 302
    assert Action.objects.filter(plant=works.plant).count() == 1
    other = Page(tess.post(urls.act, {**DONE, "amount": "five turns"}))
    assert other.status == 422 and "already sent with other content" in other.alerts
    assert other.values["amount"] == "five turns"
    assert Action.objects.filter(plant=works.plant).count() == 1


def test_a_retest_settles_what_was_owed(
    works: SimpleNamespace, urls: SimpleNamespace, tess: Browser
) -> None:
    tess.post(urls.act, {**DONE, "retest_at": "2026-03-10T12:10"})
    with story.later(1):
        assert (
            "Retest: see whether" in Page(tess.get(reverse("round", args=[works.plant.pk]))).words
        )
        draft = begun(works)
        sent = bench_form(works, "1100", drawn_at="2026-03-10T12:01")
        assert tess.post(bench_urls(draft).finish, sent).status_code == 302
    assert not FollowUp.objects.filter(plant=works.plant, settlements=None).exists()


@pytest.fixture
def limits(works: SimpleNamespace) -> SimpleNamespace:
    """The plant with limits for all that a bottle is tested for."""
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        return bottles.limited(works)


def test_a_finding_stands_above_all_and_instead_of_any_remedy(
    limits: SimpleNamespace, tess: Browser
) -> None:
    acid = (bottles.ph("9.9"), factories.conductivity("1500", limits.used))
    urls = urls_of(bottles.bottle(limits, *acid, bottles.look("oil_film")))
    page = Page(tess.get(urls.page))
    before, after = page.words.split("This comes first")
    assert "1500" not in before
    for told in ("Boiler pH below its limit", "Oil in the water", "the chemist, extension 100"):
        assert told in page.alerts, told
    assert "No ordinary remedy is offered" in after and urls.plan not in page.forms()
    assert page.forms().count(urls.confirm) == 2 and page.forms().count(urls.act) == 3


def test_what_was_done_about_oil_needs_no_result(limits: SimpleNamespace, tess: Browser) -> None:
    urls = urls_of(bottles.bottle(limits, bottles.look("oil_film")))
    called = {**DONE, "kind": "called", "note": "the chemist", "result": "look"}
    assert tess.post(urls.act, called)["Location"] == f"{urls.page}#done-look"
    assert "Called somebody" in Page(tess.get(urls.page)).words
    assert not FollowUp.objects.filter(plant=limits.plant).exists()


def test_another_samples_open_finding_is_named(limits: SimpleNamespace, tess: Browser) -> None:
    before = clock.now() - timedelta(minutes=20)
    acid = bottles.bottle(limits, bottles.ph("9.9"), drawn_at=before)
    page = Page(tess.get(urls_of(story.draw(limits, "1500")).page))
    assert "a finding that comes before everything else is unanswered" in page.words
    assert urls_of(acid).page in {link.get("href") for link in page.named("a")}


def test_each_result_out_of_range_has_a_way_of_its_own(
    limits: SimpleNamespace, tess: Browser
) -> None:
    tests = (factories.conductivity("1500", limits.used), bottles.phosphate("10"))
    bottles.bottle(limits, *tests, drawn_at=clock.now() - timedelta(minutes=20))
    urls = urls_of(bottles.bottle(limits, *tests))
    page = Page(tess.get(urls.page))
    assert page.forms().count(urls.plan) == 2
    ids = [attrs["id"] for _tag, attrs in page.elements if "id" in attrs]
    assert len(ids) == len(set(ids))
    salt = str(bottles.result_in(urls.sample, "phosphate").pk)
    refused = Page(tess.post(urls.plan, {"result": salt, "strength": "x", "key": "k"}))
    assert refused.status == 422 and "w1-f-strength" in refused.told()
    assert not any(key.startswith("f-") for key in refused.told())
    done = {**DONE, "kind": "dose", "amount": "1 lb trisodium phosphate", "result": salt}
    assert tess.post(urls.act, done)["Location"].endswith("#done-phosphate")
    owed = FollowUp.objects.get(plant=limits.plant, why="after_action")
    assert str(owed.result_id) == salt


def test_a_result_of_another_sample_is_not_acted_on(
    works: SimpleNamespace, urls: SimpleNamespace, tess: Browser
) -> None:
    other = str(story.result_of(story.draw(works, "1600")).pk)
    for where in (urls.plan, urls.act, urls.without):
        sent = tess.post(where, {**DONE, "result": other})
        assert (sent.status_code, sent["Location"]) == (302, urls.page)
    assert not Action.objects.filter(plant=works.plant).exists()
