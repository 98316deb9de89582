"""The stop branch on the record: findings of a sample, what they owe, what they hold back."""

from dataclasses import replace
from datetime import timedelta

import pytest

from records import clock
from records.models import FollowUp, Remedy
from records.selectors.rounds import open_follow_ups
from records.selectors.stopping import stop_findings, stops_open_at
from records.services.actions import Done, action_record
from records.services.corrections import result_correct
from tests import factories
from tests.records import story
from tests.records.bottles import bottle, hardness, limited, look, ph, result_in


@pytest.fixture
def works(works):
    """The plant with limits for a bottle's tests, in force a while ago."""
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        return limited(works)


def codes(sample) -> list[str]:
    return [found.code for found in stop_findings(sample)]


def owed(works) -> set[tuple[str, str]]:
    return {(f.kind, f.why) for f in open_follow_ups(works.plant)}


def conductivity(works, reading: str):
    return factories.conductivity(reading, works.used)


@pytest.mark.parametrize(
    ("test", "found"),
    [
        pytest.param(ph("9.9"), ["low_ph"], id="low pH"),
        pytest.param(ph("11.0"), [], id="pH in range"),
        pytest.param(hardness("4"), ["hardness"], id="hardness"),
        pytest.param(look("oil_film"), ["oil"], id="oil alone, without a number"),
        pytest.param(look("clear"), [], id="clear"),
    ],
)
def test_what_a_sample_shows(works, test, found):
    assert codes(bottle(works, test)) == found


def test_a_finding_owes_an_answer_at_once_and_a_fresh_draw_beside_it(works):
    bottle(works, ph("9.9"))
    assert owed(works) == {("answer", "stop"), ("retest", "confirm")}
    answer = FollowUp.objects.get(why="stop")
    assert answer.due_at == clock.now() + timedelta(minutes=15)
    assert answer.result.analyte == "ph"


def test_oil_hangs_on_a_result_but_is_answered_by_itself(works):
    sample = bottle(works, conductivity(works, "1100"), look("oil_film"))
    assert owed(works) == {("answer", "stop_look")}
    story.act(works, sample, kind="called")  # about the conductivity
    assert ("answer", "stop_look") in owed(works)
    now = clock.now()
    done = Done(
        kind="called", done_at=now, amount="", note="the chemist",
        retest_at=now + timedelta(minutes=30),
    )  # fmt: skip
    action_record(actor=works.tester, sample=sample, result=None, done=done, key=story.key())
    assert ("answer", "stop_look") not in owed(works)


@pytest.mark.parametrize(
    ("first", "then", "owes"),
    [
        pytest.param("oil_film", "clear", set(), id="no oil after all"),
        pytest.param("clear", "oil_film", {("answer", "stop_look")}, id="oil seen only then"),
        pytest.param("oil_film", "oil_film", {("answer", "stop_look")}, id="oil still"),
    ],
)
def test_a_corrected_look_owes_what_it_shows_now(works, first, then, owes):
    sample = bottle(works, conductivity(works, "1100"), look(first))
    seen = sample.measurements.get(method="appearance")
    correction = {"reason": "another bottle", "key": story.key()}
    result_correct(actor=works.tester, measurement=seen, entry=look(then), **correction)
    assert owed(works) == owes


def test_falling_draws_are_found_while_still_in_range(works):
    now = clock.now()
    for hours, reading in ((2, "11.6"), (1, "11.2")):
        assert codes(bottle(works, ph(reading), drawn_at=now - timedelta(hours=hours))) == []
    assert codes(bottle(works, ph("10.8"))) == ["falling_ph"]
    assert {("answer", "stop"), ("retest", "confirm")} <= owed(works)


def test_a_fresh_draw_of_what_was_never_judged_settles_what_was_owed(works):
    """Hardness in feedwater is found without any limit: there is no side that a draw could hold."""
    before = clock.now() - timedelta(minutes=20)
    bottle(works, hardness("4"), point=works.feed, drawn_at=before)
    assert owed(works) == {("answer", "stop"), ("retest", "confirm")}
    bottle(works, hardness("0"), point=works.feed)
    assert owed(works) == {("answer", "stop")}


def test_no_remedy_is_worked_out_beside_a_finding(works):
    before = clock.now() - timedelta(minutes=20)
    bottle(works, conductivity(works, "1500"), drawn_at=before)
    sample = bottle(works, conductivity(works, "1500"), ph("9.9"))
    story.plan(works, sample, result=result_in(sample, "conductivity"))
    assert Remedy.objects.get().refusal == "stop_branch"


def test_an_open_finding_holds_back_what_another_sample_asks_for(works):
    before = clock.now() - timedelta(minutes=20)
    acid = bottle(works, ph("9.9"), conductivity(works, "1500"), drawn_at=before)
    later = bottle(works, conductivity(works, "1500"))
    assert [f.sample for f in stops_open_at(works.boiler, clock.now())] == [acid]
    story.plan(works, later)
    story.act(works, acid, result=result_in(acid, "ph"), kind="called")
    assert stops_open_at(works.boiler, clock.now()) == []
    story.plan(works, later)
    first, then = Remedy.objects.order_by("id")
    assert (first.refusal, then.refusal) == ("stop_branch", "")


def test_a_correction_takes_the_finding_back(works):
    sample = bottle(works, hardness("4"), conductivity(works, "1100"))
    assert ("answer", "stop") in owed(works)
    result_correct(
        actor=works.tester,
        measurement=result_in(sample, "total_hardness").measurement,
        entry=hardness("1"),
        reason="miscounted",
        key=story.key(),
    )
    assert codes(sample) == []
    assert not owed(works) & {("answer", "stop"), ("retest", "confirm")}


def test_a_result_in_doubt_still_stops(works):
    meter = factories.instrument_add(
        actor=factories.founder(works.plant), kind="ph_meter", name="pH meter", in_service=False
    )
    used, why = {"ph_meter": str(meter.pk)}, {"ph_meter": "no other"}
    sample = bottle(works, replace(ph("9.9"), instruments=used, reasons=why))
    assert sample.measurements.get().doubts.exists()
    assert codes(sample) == ["low_ph"]


def asked(works) -> list[str]:
    return sorted(FollowUp.objects.filter(plant=works.plant).values_list("why", flat=True))


def test_draws_that_go_on_showing_it_ask_for_no_end_of_draws(works):
    """The second draw is the one that confirms; the third finds it told and answered for."""
    for minutes in (40, 20, 0):
        bottle(works, ph("9.9"), drawn_at=clock.now() - timedelta(minutes=minutes))
    assert asked(works) == ["confirm", "low", "low", "stop"]


def test_what_shows_again_after_it_was_answered_asks_for_an_answer_again(works):
    first = bottle(works, ph("9.9"), drawn_at=clock.now() - timedelta(minutes=40))
    story.act(works, first, kind="called")
    bottle(works, ph("9.9"))
    assert asked(works).count("stop") == 2


def test_hours_later_a_finding_is_confirmed_anew(works):
    bottle(works, ph("9.9"))
    with story.later(5 * 60):
        bottle(works, ph("9.9"))
    assert asked(works).count("confirm") == 2
