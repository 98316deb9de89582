"""A wrong result is corrected by a new one: freely before signing, by an amendment afterwards."""

import pytest

from records import clock
from records.errors import Moved, NotAllowed
from records.models import (
    Amendment,
    FollowUp,
    FollowUpSettlement,
    Measurement,
    Result,
    Role,
    Signature,
)
from records.selectors.ledger import mismatches
from records.selectors.results import results_of_sample
from records.selectors.sheets import SheetStatus, stand_of
from records.services.corrections import result_correct
from records.services.sheets import amendment_decide
from tests import factories
from tests.records import story


@pytest.fixture
def first(works) -> Measurement:
    return story.draw(works, "1240").measurements.get()


@pytest.fixture
def sealed(works, first) -> Measurement:
    story.signed(works, first.sheet)
    return first


def current(measurement) -> list[str]:
    stands = results_of_sample(measurement.sample)
    return [stand.result.value for stand in stands if stand.current]


def amendment_of(measurement) -> Amendment:
    return Amendment.objects.get(measurement=measurement)


def test_before_signing_the_new_one_counts_and_the_old_one_stays(works, first):
    new = story.correct(works, first, "1250")
    assert new.corrects == first and current(first) == ["1250"]
    assert Result.objects.count() == 2
    assert not Amendment.objects.exists()


def test_it_wants_a_reason_that_fits(works, first):
    with story.refused("reason_needed"):
        story.correct(works, first, "1250", reason=" ")
    with story.refused("too_long"):
        story.correct(works, first, "1250", reason="x" * 301)


def test_one_measurement_is_corrected_once(works, first):
    new = story.correct(works, first, "1250")
    with story.refused("corrected_meanwhile", Moved):
        story.correct(works, first, "1260", by=works.mate)
    story.correct(works, new, "1260", by=works.mate)
    assert current(first) == ["1260"]


def test_a_correction_sent_twice_is_stored_once(works, first):
    key = story.key()
    new = story.correct(works, first, "1250", key=key)
    assert story.correct(works, first, "1250", key=key) == new
    assert Measurement.objects.count() == 2


def test_a_bad_reading_corrects_nothing(works, first):
    with story.refused("tests_refused", Exception):
        story.correct(works, first, "many")
    assert Measurement.objects.count() == 1


def test_it_is_judged_by_the_rules_of_the_day_of_the_draw(works, first):
    with story.later(60):
        factories.program(works.plant, works.point, high="1000", target="900", since=clock.now())
    with story.later(120):
        new = story.correct(works, first, "1250")
    assert new.results.get().verdicts.get().side == "in_range"


def test_a_handed_in_sheet_is_handed_in_again_after_a_correction(works, first):
    story.hand_in(works, first.sheet)
    story.correct(works, first, "1250")
    assert stand_of(first.sheet).status is SheetStatus.CHANGED


def test_a_correction_back_into_range_settles_what_was_owed(works):
    high = story.draw(works, "1500").measurements.get()
    assert FollowUp.objects.get().why == "confirm"
    story.correct(works, high, "1150")
    assert FollowUpSettlement.objects.get().note == "corrected"
    assert FollowUp.objects.count() == 1


def test_a_correction_that_is_still_high_owes_one_fresh_draw(works):
    high = story.draw(works, "1500").measurements.get()
    story.correct(works, high, "1550")
    assert FollowUp.objects.filter(settlements__isnull=True).count() == 1


def test_an_amendment_counts_once_a_second_person_signs(works, sealed):
    new = story.correct(works, sealed, "1250")
    assert current(sealed) == ["1240"]
    story.decide(works, amendment_of(new))
    assert current(sealed) == ["1250"]
    assert list(mismatches(works.plant)) == []
    assert stand_of(sealed.sheet).status is SheetStatus.SIGNED


def test_an_amendment_out_of_range_owes_a_fresh_draw_when_it_is_signed(works, sealed):
    new = story.correct(works, sealed, "1500")
    assert not FollowUp.objects.exists()
    story.decide(works, amendment_of(new))
    follow_up = FollowUp.objects.get()
    assert follow_up.why == "confirm" and follow_up.sheet != sealed.sheet
    assert list(mismatches(works.plant)) == []


def test_a_refused_amendment_never_counts_and_can_be_followed_by_another(works, sealed):
    refused = story.correct(works, sealed, "9000")
    with story.refused("comment_needed"):
        amendment_decide(
            actor=works.supervisor,
            amendment=amendment_of(refused),
            seen="",
            key=story.key(),
            accept=False,
        )
    story.decide(works, amendment_of(refused), accept=False)
    assert current(sealed) == ["1240"]
    with story.refused("corrected_meanwhile", Moved):
        story.correct(works, sealed, "1250")
    again = story.correct(works, refused, "1250")
    assert current(sealed) == ["1240"]
    story.decide(works, amendment_of(again))
    assert current(sealed) == ["1250"]
    assert list(mismatches(works.plant)) == []


@pytest.mark.parametrize("order", ["first then second", "second then first", "second alone"])
def test_an_amendment_of_one_that_still_waits(works, sealed, order):
    one = story.correct(works, sealed, "1250")
    two = story.correct(works, one, "1260", by=works.mate)
    if order == "first then second":
        story.decide(works, amendment_of(one))
        assert current(sealed) == ["1250"]
    story.decide(works, amendment_of(two))
    assert current(sealed) == ["1260"]
    if order == "second then first":
        story.decide(works, amendment_of(one))
        assert current(sealed) == ["1260"]


def test_nobody_signs_their_own_amendment(works, sealed):
    new = story.correct(works, sealed, "1250", by=works.supervisor)
    with story.refused("own_amendment"):
        story.decide(works, amendment_of(new))
    story.decide(works, amendment_of(new), by=works.chemist)


def test_nobody_signs_the_amendment_of_their_own_test_however_far_back(works):
    mine = story.draw(works, "1240", by=works.chemist).measurements.get()
    story.hand_in(works, mine.sheet)
    story.sign(works, mine.sheet)
    refused = story.correct(works, mine, "9000")
    story.decide(works, amendment_of(refused), accept=False)
    again = story.correct(works, refused, "1250")
    with story.refused("own_amended_test"):
        story.decide(works, amendment_of(again), by=works.chemist)


def test_an_amendment_is_decided_once(works, sealed):
    new = story.correct(works, sealed, "1250")
    story.decide(works, amendment_of(new))
    with story.refused("amendment_settled", Moved):
        story.decide(works, amendment_of(new), accept=False, by=works.chemist)
    assert Signature.objects.filter(amendment__isnull=False).count() == 1


def test_an_amendment_is_signed_as_it_was_seen_by_who_may(works, sealed):
    new = story.correct(works, sealed, "1250")
    sent = {"amendment": amendment_of(new), "key": story.key(), "accept": True}
    with story.refused("sheet_moved", Moved):
        amendment_decide(actor=works.supervisor, seen="0" * 64, **sent)
    with pytest.raises(NotAllowed):
        amendment_decide(actor=works.mate, seen="0" * 64, **sent)


def test_another_plant_and_another_method_are_refused(works, elsewhere, first):
    with story.refused("not_here"):
        story.correct(works, first, "1250", by=elsewhere.tester)
    entry = factories.conductivity("1250", works.used)
    other = factories.TestEntry(**{**entry.__dict__, "method": "ph"})
    with story.refused("other_method"):
        result_correct(
            actor=works.tester, measurement=first, entry=other, reason="x", key=story.key()
        )
    keeper = factories.person(works.plant, "ada", "Ada Admin", Role.ADMINISTRATOR)
    with pytest.raises(NotAllowed):
        story.correct(works, first, "1250", by=factories.actor(keeper, works.plant))
