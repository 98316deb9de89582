"""What is owed after a result: an answer, a repeat, a retest; each settled once."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from records import clock
from records.models import Action, DueSlot, FollowUp, FollowUpSettlement
from records.selectors.rounds import Due, open_follow_ups, slots_for_round
from records.services.follow_ups import follow_up_settle
from tests import factories
from tests.records import story


def slot_stands(works) -> dict[object, Due]:
    now = clock.now()
    day = timedelta(days=1)
    stands = slots_for_round(works.plant, now=now, early=now, since=now - day, until=now + day)
    return {stand.slot.follow_up_id: stand.due for stand in stands}


def test_a_result_out_of_range_owes_a_fresh_draw_first(works):
    story.draw(works, "1500")
    follow_up = FollowUp.objects.get()
    assert (follow_up.kind, follow_up.why) == ("retest", "confirm")
    assert follow_up.due_at == clock.now() + timedelta(minutes=30)
    assert DueSlot.objects.get().follow_up == follow_up


def test_a_confirmed_result_owes_an_answer_within_the_hour(works):
    sample = story.confirmed(works, "1500")
    follow_up = FollowUp.objects.get(sample=sample)
    assert (follow_up.kind, follow_up.why) == ("answer", "high")
    assert follow_up.due_at == clock.now() + timedelta(hours=1)
    assert FollowUpSettlement.objects.get().note == "confirmed"


def test_a_result_near_the_limit_owes_a_repeat_on_the_due_list(works):
    story.draw(works, "1295")
    follow_up = FollowUp.objects.get()
    assert (follow_up.kind, follow_up.why) == ("retest", "near_limit")
    assert DueSlot.objects.get().follow_up == follow_up


def test_a_result_in_range_owes_nothing(works):
    story.draw(works, "1000")
    assert not FollowUp.objects.exists()


def test_an_action_settles_the_answer_and_owes_a_retest(works):
    story.act(works, story.confirmed(works, "1500"))
    assert {s.note for s in FollowUpSettlement.objects.all()} == {"confirmed", "blowdown"}
    assert [f.kind for f in open_follow_ups(works.plant)] == ["retest"]


def test_the_retest_is_answered_by_the_same_test_at_the_same_point(works):
    story.act(works, story.draw(works, "1500"))
    retest = FollowUp.objects.get(why="after_action")
    with story.later(14):
        story.draw(works, "1450")  # sixteen minutes early
        assert retest in open_follow_ups(works.plant)
    with story.later(16):
        story.draw(works, "60", point=works.feed)
        assert retest in open_follow_ups(works.plant)
        sample = story.draw(works, "1000")
        assert FollowUpSettlement.objects.get(follow_up=retest).sample == sample
        assert slot_stands(works)[retest.pk] is Due.DONE


def test_a_measurement_in_doubt_answers_nothing(works):
    story.act(works, story.draw(works, "1500"))
    shelf = {**works.used, "meter": story.out_of_service(works)}
    with story.later(40):
        test = factories.conductivity("1000", shelf, reasons={"meter": "no other"})
        factories.sample(works.tester, works.point, test)
        assert "retest" in {f.kind for f in open_follow_ups(works.plant)}


def test_a_follow_up_is_settled_once(works):
    sample = story.confirmed(works, "1500")
    story.act(works, sample)
    settled = FollowUp.objects.get(kind="answer")
    with pytest.raises(IntegrityError), transaction.atomic():
        follow_up_settle(works.tester, settled, sheet=sample.sheet, note="again")
    story.act(works, sample)
    assert FollowUpSettlement.objects.count() == 2  # the fresh draw and the answer
    assert Action.objects.count() == 2


def test_a_follow_up_comes_on_a_sheet_that_still_takes_it(works):
    sample = story.draw(works, "1500")
    story.signed(works, sample.sheet)
    story.act(works, sample)
    assert Action.objects.get().sheet.shift_name == "Evening"


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"kind": "dance"}, "kind_needed"),
        ({"kind": "nothing", "note": " "}, "note_needed"),
        ({"kind": "called", "note": ""}, "note_needed"),
        ({"kind": "dose", "amount": " "}, "amount_needed"),
        ({"note": ""}, "why_unconfirmed"),
        ({"note": "x" * 301}, "too_long"),
    ],
)
def test_it_refuses_an_action_that_says_nothing(works, change, code):
    with story.refused(code):
        story.act(works, story.draw(works, "1500"), **change)
    assert not Action.objects.exists()


def test_it_refuses_an_action_about_another_samples_result(works, elsewhere):
    one, two = story.draw(works, "1500"), story.draw(works, "1600")
    with story.refused("not_here"):
        story.act(works, one, result=story.result_of(two))
    with factories.scope(plant=elsewhere.plant):
        foreign = story.draw(elsewhere, "1500")
        result = story.result_of(foreign)
    with story.refused("not_here"):
        story.act(works, foreign, result=result)
