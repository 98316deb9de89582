"""What a failed check reaches, and what a chemist decides about it."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from records import clock
from records.doubted import doubted_among, doubted_at
from records.errors import Moved, RecordError
from records.models import Disposition, LookBack, Measurement
from records.selectors.doubts import doubts_of_each
from records.selectors.ledger import mismatches
from records.selectors.look_backs import (
    decisions_of,
    open_look_backs,
    reached_by,
    supposed,
    undecided,
)
from records.selectors.results import results_of_sample, results_on_sheet
from records.selectors.sheets import stand_of
from records.services.corrections import result_correct
from records.services.dispositions import look_back_dispose, result_dispose
from tests import factories
from tests.records import story
from tests.records.checking import check, kcl, run


@pytest.fixture
def reached(works):
    """A meter that passed at 6, three draws until noon, one before the pass, and a check at one
    that finds it a seventh too high."""
    bottle = kcl(works)
    noon = factories.NOON
    with clock.clock_at(noon - timedelta(hours=6)):
        story.draw(works, "1240", drawn_at=clock.now() - timedelta(hours=1))
        check(works, run("1400"), lot=bottle)
    works.draws = []
    for hours, reading in ((4, "1310"), (2, "1240"), (0, "1350")):
        with clock.clock_at(noon - timedelta(hours=hours)):
            works.draws.append(story.draw(works, reading))
    with clock.clock_at(noon + timedelta(hours=1)):
        check(works, run("1600"), lot=bottle)
        works.back = LookBack.objects.get(plant=works.plant)
        yield works


def decide(works, sample=None, outcome="stands", reason="seen on the other meter", **options):
    by, key = options.get("by", works.chemist), options.get("key", story.key())
    said = {"actor": by, "outcome": outcome, "reason": reason, "key": key}
    if sample is None:
        return look_back_dispose(look_back=works.back, **said)
    measurement = sample.measurements.order_by("entered_at").last()
    return result_dispose(measurement=measurement, look_back=works.back, **said)


def in_doubt(sample) -> bool:
    return any(stand.doubts for stand in results_of_sample(sample) if stand.current)


def test_it_reaches_what_was_drawn_since_the_last_pass_and_nothing_else(reached):
    rows = reached_by(reached.back)
    assert [row.value for row in rows] == ["1350", "1240", "1310"]
    assert [in_doubt(sample) for sample in reached.draws] == [True] * 3
    before = Measurement.objects.exclude(sample__in=reached.draws).get(plant=reached.plant)
    assert not doubts_of_each([before])
    assert doubted_at(reached.plant.pk) == {row.measurement for row in rows}
    assert (
        "failed its check of 2026-03-10" in results_of_sample(reached.draws[0])[0].doubts[0].detail
    )


def test_a_sample_that_is_entered_late_is_reached_as_well(reached):
    with pytest.raises(RecordError):  # the meter is out of service by now
        story.draw(reached, "1300", drawn_at=factories.NOON - timedelta(minutes=30))
    late = story.draw(
        reached, "1300", drawn_at=factories.NOON - timedelta(minutes=30),
        reasons={"meter": "drawn before the check", "cell": "the same"},
    )  # fmt: skip
    causes = {each.cause for each in results_of_sample(late)[0].doubts}
    assert causes == {"check_failed", "meter_out_of_service"}
    decide(reached, late)
    assert [d.cause for d in results_of_sample(late)[0].doubts] == ["meter_out_of_service"]


def test_the_what_if_names_the_verdicts_that_would_change(reached):
    (found,) = supposed(reached.back, reached_by(reached.back))
    # The limit is 1300, the error a factor of 8/7 at the failed check and 1 at the pass. Even drift
    # over seven hours, by hand: 1350 / (1 + 6/49), 1240 / (1 + 4/49), 1310 / (1 + 2/49).
    drift, after, before = found.what_ifs
    by_hand = [1350 / (1 + 6 / 49), 1240 / (1 + 4 / 49), 1310 / (1 + 2 / 49)]
    assert list(drift.values) == pytest.approx(by_hand, rel=1e-6)
    assert list(drift.changed) == [True, False, True]
    assert list(after.changed) == [True, False, True] and not before.changed.any()
    assert found.changed == [0, 2]


def test_nothing_signed_is_touched_and_the_ledger_verifies(reached):
    sheet = reached.draws[0].sheet
    digest = stand_of(sheet).digest
    decide(reached, reached.draws[0])
    decide(reached)
    assert stand_of(sheet).digest == digest
    assert list(mismatches(reached.plant)) == []


def test_a_decision_about_one_ends_its_doubt_and_one_about_all_the_rest(reached):
    decide(reached, reached.draws[0])
    assert [in_doubt(sample) for sample in reached.draws] == [False, True, True]
    assert len(undecided(reached.back)) == 2 and open_look_backs(reached.plant)
    decide(reached, reason="the drum's other cell agreed all day")
    assert not any(in_doubt(sample) for sample in reached.draws)
    assert not open_look_backs(reached.plant) and not doubted_at(reached.plant.pk)
    assert [p.outcome for p in decisions_of(reached.back)] == ["stands", "stands"]


def test_void_stays_marked_and_is_left_out(reached):
    decide(reached, reached.draws[1], outcome="void", reason="the bottle was swapped")
    decide(reached)
    (stand,) = results_of_sample(reached.draws[1])
    assert [(d.cause, d.detail) for d in stand.doubts] == [("void", "void: the bottle was swapped")]
    key = reached.draws[1].measurements.get().pk
    assert doubted_among(reached.plant.pk, [key]) == {key}
    assert doubted_at(reached.plant.pk) == {key}


def test_a_late_entry_is_not_covered_by_what_was_decided_before_it(reached):
    decide(reached)
    with story.later(5):
        late = story.draw(
            reached, "1300", drawn_at=factories.NOON - timedelta(minutes=30),
            reasons={"meter": "drawn before the check", "cell": "the same"},
        )  # fmt: skip
        assert "check_failed" in {d.cause for d in results_of_sample(late)[0].doubts}
        assert late.measurements.get().pk in doubted_at(reached.plant.pk)


def test_amended_takes_an_amendment_first(reached):
    sample = reached.draws[2]
    with story.refused("amend_first") as raised:
        decide(reached, sample, outcome="amended")
    assert raised.value.field == "outcome"
    with story.refused("amend_each"):
        decide(reached, outcome="amended")
    amended = result_correct_by(reached, sample)
    assert in_doubt(sample)
    decide(reached, sample, outcome="amended", reason="the cell was fouled: divided by 8/7")
    assert not in_doubt(sample)
    assert Disposition.objects.filter(plant=reached.plant).last().measurement == amended


def result_correct_by(works, sample):
    """Amend a result by the chemist; the meter being out of service now is a doubt of its own,
    which is decided about here."""
    why = {"meter": "the reading stands as it was", "cell": "the same"}
    pk = result_correct(
        actor=works.chemist, measurement=sample.measurements.get(),
        entry=factories.conductivity("1180", works.used, reasons=why), reason="divided by 8/7",
        key=story.key(),
    )  # fmt: skip
    found = Measurement.objects.get(plant=works.plant, pk=pk)
    result_dispose(
        actor=works.chemist, measurement=found, outcome="stands", reason="as the amendment says",
        key=story.key(),
    )  # fmt: skip
    return found


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ({"outcome": "forgotten"}, "not_an_outcome"),
        ({"reason": " "}, "reason_needed"),
        ({"reason": "x" * 301}, "too_long"),
    ],
)
def test_a_decision_that_can_not_be_kept_is_refused(reached, options, code):
    for sample in (None, reached.draws[0]):
        with story.refused(code):
            decide(reached, sample, **options)
    assert not Disposition.objects.exists()


def test_only_a_chemist_of_this_plant_decides_and_only_once(reached, elsewhere):
    for by in (reached.tester, reached.supervisor, elsewhere.chemist):
        for sample in (None, reached.draws[0]):
            with pytest.raises(RecordError):
                decide(reached, sample, by=by)
    key = story.key()
    assert decide(reached, key=key) == decide(reached, key=key)
    for sample in (None, reached.draws[0]):
        with story.refused("not_in_doubt", Moved):
            decide(reached, sample)


def test_a_doubt_from_entry_is_decided_about_too(works):
    shelf = {**works.used, "meter": story.out_of_service(works)}
    draw = factories.conductivity("900", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.mate, works.point, draw)
    measurement = Measurement.objects.get(plant=works.plant)
    assert doubted_at(works.plant.pk) == {measurement.pk}
    result_dispose(
        actor=works.chemist, measurement=measurement, outcome="stands", reason="checked since",
        key=story.key(),
    )  # fmt: skip
    assert not doubted_at(works.plant.pk)
    assert not results_of_sample(measurement.sample)[0].doubts


def test_the_reads_do_not_grow_with_the_results(reached):
    sheet = reached.draws[0].sheet
    with CaptureQueriesContext(connection) as few:
        results_on_sheet(sheet)
        undecided(reached.back)
    with clock.clock_at(factories.NOON):
        for number in range(5):
            story.draw(reached, "1240", drawn_at=factories.NOON - timedelta(minutes=10 * number),
                       reasons={"meter": "drawn before", "cell": "drawn before"})  # fmt: skip
    with CaptureQueriesContext(connection) as many:
        results_on_sheet(sheet)
        assert len(undecided(reached.back)) == 8
    assert len(many) <= len(few)
