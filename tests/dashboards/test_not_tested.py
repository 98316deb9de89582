"""Saying why a due test could not be done: from the round, the bench sheet, the sheet, the desk."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Draft, DueSlot, SlotAnswer
from records.services.slots import slots_expand
from tests import factories
from tests.dashboards.conftest import Browser, begun
from tests.dashboards.page import Page
from tests.records import story


@pytest.fixture
def slot(works: SimpleNamespace) -> DueSlot:
    """The boiler's draw of ten o'clock: missed by noon."""
    slots_expand(works.plant)
    ten = factories.NOON - timedelta(hours=2)
    return DueSlot.objects.get(plant=works.plant, sample_point=works.point, due_at=ten)


def url(slot: DueSlot) -> str:
    return reverse("not-tested", args=[slot.plant_id, slot.pk])


def filled(page: Page, slot: DueSlot, **changed: str) -> dict[str, object]:
    sent = {"key": page.values["key"], "back": page.values["back"], "slots": [str(slot.pk)]}
    return {**sent, "reason": "unsafe", "words": "", **changed}


def test_the_round_offers_it_and_shows_it_as_what_it_is(
    works: SimpleNamespace, tess: Browser, slot: DueSlot
) -> None:
    the_round = reverse("round", args=[works.plant.pk])
    with story.later(-110):
        assert f"{url(slot)}?back=round" in Page(tess.get(the_round)).html
        page = Page(tess.get(f"{url(slot)}?back=round"))
        assert "Could not test" in page.words and "is not in range" in page.words
        sent = tess.post(url(slot), filled(page, slot, words="hot spray at the valve"))
        assert (sent.status_code, sent["Location"]) == (302, the_round)
        shown = Page(tess.get(the_round))
    assert "Could not test" in shown.words
    assert "Not safe to draw: hot spray at the valve" in shown.words
    assert f"{url(slot)}?back=round" not in shown.html


@pytest.mark.parametrize(
    ("changed", "field", "message"),
    [
        ({"reason": ""}, "f-reason", "Say why: pick one of the reasons."),
        ({"reason": "other"}, "f-words", "Say the reason in a few words."),
        ({"slots": []}, "f-slots", "Pick the tests that this is about."),
    ],
)
def test_what_is_lacking_is_told_and_what_was_typed_stays(
    tess: Browser, slot: DueSlot, changed: dict[str, str], field: str, message: str
) -> None:
    page = Page(tess.get(url(slot)))
    words = "" if changed.get("reason") == "other" else "the tap leaks"
    answer = Page(tess.post(url(slot), filled(page, slot, words=words) | changed))
    assert (answer.status, answer.told()[field]) == (422, message)
    assert answer.values["words"] == words and answer.values["key"] == page.values["key"]
    assert answer.values.get("slots") == (None if field == "f-slots" else str(slot.pk))
    assert not SlotAnswer.objects.filter(plant=slot.plant).exists()


def test_a_missed_round_is_on_the_desk_with_who_was_there_and_can_be_explained(
    works: SimpleNamespace, sam: Browser, slot: DueSlot
) -> None:
    story.draw(works, "60", point=works.feed)
    desk = reverse("plant", args=[works.plant.pk])
    shown = Page(sam.get(desk))
    assert "On shift: Tess Tanner" in shown.words
    page = Page(sam.get(f"{url(slot)}?back=plant"))
    assert "Why it was missed" in page.words and "It stays missed" in page.words
    sent = sam.post(url(slot), filled(page, slot, reason="other", words="fire drill"))
    assert (sent.status_code, sent["Location"]) == (302, desk)
    again = Page(sam.get(desk))
    assert "Another reason: fire drill · Sam Sutter, 12:00" in again.words
    assert f"{url(slot)}?back=plant" not in again.html


def test_the_sheet_tells_missed_from_could_not_test(
    works: SimpleNamespace, sam: Browser, tess: Browser, slot: DueSlot
) -> None:
    sheet = story.draw(works, "60", point=works.feed).sheet
    page = reverse("sheet", args=[works.plant.pk, sheet.pk])
    before = Page(sam.get(page))
    assert f"{url(slot)}?back=sheet" in before.html
    assert before.words.count("Missed") == 2  # six o'clock's draw too
    with story.later(-110):
        form = Page(tess.get(f"{url(slot)}?back=sheet"))
        sent = tess.post(url(slot), filled(form, slot))
    assert sent["Location"] == page
    after = Page(sam.get(page))
    assert "Not safe to draw · Tess Tanner, 10:10" in after.words
    assert after.words.count("Missed") == after.words.count("Could not test") == 1


def test_the_sheet_says_that_a_test_was_late(
    works: SimpleNamespace, sam: Browser, slot: DueSlot
) -> None:
    sheet = story.draw(works, "1100", slot=slot).sheet
    shown = Page(sam.get(reverse("sheet", args=[works.plant.pk, sheet.pk])))
    assert "Tested late Drawn at 12:00 · Tess Tanner, 12:00" in shown.words


def test_from_the_bench_sheet_one_goes_back_to_it(
    works: SimpleNamespace, tess: Browser, slot: DueSlot
) -> None:
    draft = begun(works)
    Draft.objects.filter(plant=works.plant).update(slot=slot)
    bench = reverse("bench", args=[works.plant.pk, draft.pk])
    assert f"{url(slot)}?back=bench" in Page(tess.get(bench)).html
    page = Page(tess.get(f"{url(slot)}?back=bench"))
    assert tess.post(url(slot), filled(page, slot))["Location"] == bench


def test_what_was_answered_meanwhile_is_shown_as_closed(
    works: SimpleNamespace, tess: Browser, slot: DueSlot
) -> None:
    page = Page(tess.get(url(slot)))
    story.draw(works, "1100", slot=slot)
    late = Page(tess.post(url(slot), filled(page, slot)))
    assert late.status == 422 and "entered or explained meanwhile" in late.words
    assert url(slot) not in late.forms()
    assert SlotAnswer.objects.get(plant=works.plant).sample is not None


def test_a_reason_sent_twice_is_kept_once(tess: Browser, slot: DueSlot) -> None:
    sent = filled(Page(tess.get(url(slot))), slot)
    assert [tess.post(url(slot), sent).status_code for _again in range(2)] == [302, 302]
    assert SlotAnswer.objects.filter(plant=slot.plant).count() == 1


def test_the_round_says_why_an_event_asks_and_how_much_to_draw(
    works: SimpleNamespace, tess: Browser
) -> None:
    """100 mL for hardness and a fifth more: common practice, no source."""
    story.events(works, story.hardness_above(works), point=works.feed)
    story.draw(works, "40", point=works.feed)
    shown = Page(tess.get(reverse("round", args=[works.plant.pk])))
    assert "Conductivity of Feedwater was above 35 µmho/cm at 12:00." in shown.words
    assert "draw at least 120 mL" in shown.words


@pytest.mark.parametrize(
    ("event", "said"),
    [
        ("dose", "30 min after the dose at 12:00."),
        ("blowdown", "30 min after the blowdown at 12:00."),
    ],
)
def test_the_round_lists_a_draw_after_a_deed_for_later(
    works: SimpleNamespace, tess: Browser, event: str, said: str
) -> None:
    story.events(works, story.after(works, event))
    story.act(works, story.draw(works, "1500"), kind=event)
    assert said in Page(tess.get(reverse("round", args=[works.plant.pk]))).words
