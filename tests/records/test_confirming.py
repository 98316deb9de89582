"""A result out of range is confirmed by a fresh draw, or acted on with a reason."""

from datetime import timedelta

import pytest

from records import clock
from records.models import Action, FollowUp, FollowUpSettlement
from records.selectors.confirming import confirmation_of
from records.selectors.follow_ups import actions_by_result
from records.selectors.rounds import open_follow_ups
from records.services.confirming import confirm_waive, confirming_draft_open
from records.services.drafts import draft_open
from tests import factories
from tests.records import story
from tests.records.bottles import bottle, limited, phosphate, result_in


def owed(works) -> list[tuple[str, str]]:
    return [(f.kind, f.why) for f in open_follow_ups(works.plant)]


def second(works, reading: str, minutes: float):
    with story.later(minutes):
        return story.draw(works, reading)


@pytest.mark.parametrize(
    ("reading", "minutes", "confirmed"),
    [
        pytest.param("1480", 5, True, id="high again"),
        pytest.param("1480", 240, True, id="within four hours"),
        pytest.param("1480", 241, False, id="too long ago: rule of our own"),
        pytest.param("1100", 5, False, id="in range"),
    ],
)
def test_a_draw_is_confirmed_by_the_one_before(works, reading, minutes, confirmed):
    story.draw(works, "1500")
    found = confirmation_of(story.result_of(second(works, reading, minutes)))
    assert found.confirmed is confirmed


def test_a_fresh_draw_in_range_settles_and_nothing_is_treated(works):
    first = story.draw(works, "1500")
    fine = second(works, "1100", 5)
    settled = FollowUpSettlement.objects.get()
    assert (settled.note, settled.sample) == ("not_confirmed", fine)
    assert confirmation_of(story.result_of(first)).later == fine
    assert owed(works) == []


def test_a_fresh_draw_out_of_range_again_owes_the_answer(works):
    story.draw(works, "1500")
    second(works, "1480", 5)
    assert FollowUpSettlement.objects.get().note == "confirmed"
    assert owed(works) == [("answer", "high")]


def test_a_draw_before_the_first_confirms_nothing_of_it(works):
    first = story.draw(works, "1500")
    story.draw(works, "1100", drawn_at=clock.now() - timedelta(minutes=30))
    assert confirmation_of(story.result_of(first)).owed is not None


def test_a_draw_in_doubt_or_corrected_confirms_nothing(works):
    shelf = {**works.used, "meter": story.out_of_service(works)}
    test = factories.conductivity("1500", shelf, reasons={"meter": "no other"})
    factories.sample(works.tester, works.point, test)
    assert not confirmation_of(story.result_of(second(works, "1480", 5))).confirmed


def test_a_correction_takes_the_confirmation_back(works):
    first = story.draw(works, "1500")
    again = story.result_of(second(works, "1480", 5))
    with story.later(10):
        story.correct(works, first.measurements.get(), "1150")
        assert not confirmation_of(again).confirmed


def test_a_reason_settles_the_fresh_draw_and_owes_the_answer(works):
    result = story.result_of(story.draw(works, "1500"))
    key = story.key()
    for _ in range(2):  # sent twice, stored once
        confirm_waive(actor=works.tester, result=result, reason="it was the repeat", key=key)
    assert confirmation_of(result).without == "it was the repeat"
    assert owed(works) == [("answer", "high")]


@pytest.mark.parametrize(
    ("reading", "reason", "code"),
    [
        ("1500", " ", "reason_needed"),
        ("1500", "x" * 201, "too_long"),
        ("1100", "so", "not_out_of_range"),
    ],
)
def test_a_reason_that_says_nothing_is_refused(works, reading, reason, code):
    result = story.result_of(story.draw(works, reading))
    with story.refused(code):
        confirm_waive(actor=works.tester, result=result, reason=reason, key=story.key())


def test_acting_without_confirming_keeps_its_reason(works):
    sample = story.draw(works, "1500")
    with story.refused("why_unconfirmed"):
        story.act(works, sample, note="")
    story.act(works, sample, note="the chemist said so")
    assert confirmation_of(story.result_of(sample)).without == "the chemist said so"
    assert owed(works) == [("retest", "after_action")]


@pytest.mark.parametrize("kind", ["called", "nothing"])
def test_what_treats_nothing_leaves_the_fresh_draw_owed(works, kind):
    story.act(works, story.draw(works, "1500"), kind=kind)
    assert ("retest", "confirm") in owed(works)


def test_one_sheet_holds_all_that_is_to_be_confirmed(works):
    limited(works)
    with story.later(5):
        high = factories.conductivity("1500", works.used)
        sample = bottle(works, high, phosphate("10"))
        draft = confirming_draft_open(actor=works.tester, sample=sample)
    assert set(draft.method_versions) == {"conductivity", "phosphate"}
    assert draft.slot.follow_up.sample == sample


def test_tests_are_added_to_a_sheet_that_is_open(works):
    draft = draft_open(actor=works.tester, point=works.point, method_keys=["ph"])
    sample = story.draw(works, "1500")
    assert confirming_draft_open(actor=works.tester, sample=sample).pk == draft.pk
    draft.refresh_from_db()
    assert set(draft.method_versions) == {"ph", "conductivity"}


def test_no_sheet_is_opened_for_nothing(works):
    with story.refused("nothing_owed"):
        confirming_draft_open(actor=works.tester, sample=story.draw(works, "1100"))


def test_each_action_is_told_by_its_result(works):
    limited(works)
    with story.later(5):
        sample = bottle(works, factories.conductivity("1500", works.used), phosphate("10"))
        water, salt = result_in(sample, "conductivity"), result_in(sample, "phosphate")
        for result, kind in ((salt, "dose"), (water, "blowdown"), (salt, "called")):
            story.act(works, sample, result=result, kind=kind)
    told = {k: [a.kind for a in v] for k, v in actions_by_result(sample).items()}
    assert told == {salt.pk: ["dose", "called"], water.pk: ["blowdown"]}
    assert Action.objects.count() == FollowUp.objects.filter(why="after_action").count() == 3
