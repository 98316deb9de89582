"""What was planted in the demo is found where its README says."""

from datetime import datetime, timedelta
from statistics import median
from typing import Any

import pytest
from django.db.models import QuerySet

from records.demo import plants
from records.models import (
    Action,
    Amendment,
    Doubt,
    DueSlot,
    HandoverNote,
    Instrument,
    InstrumentCheck,
    InstrumentUse,
    LookBack,
    Meaning,
    Measurement,
    Plant,
    ProgramVersion,
    Reading,
    Result,
    Sample,
    Signature,
    SlotAnswer,
)
from records.selectors.look_backs import decisions_of, reached_by, undecided
from tests.records.demo.store import NOW, Store, since

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def sides(
    plant: Plant, boiler: str, analyte: str, start: datetime, end: datetime
) -> list[tuple[str, Any]]:
    """Return side and sample of an analyte's results at a boiler, in the order of their draws."""
    found = Result.objects.filter(
        plant=plant,
        analyte=analyte,
        measurement__sample__sample_point__boiler__name=boiler,
        measurement__sample__drawn_at__range=(start, end),
    ).order_by("measurement__sample__drawn_at")
    return [(each.verdicts.get().side, each.measurement.sample_id) for each in found]


def acted(plant: Plant, samples: list[Any]) -> QuerySet[Action]:
    return Action.objects.filter(plant=plant, sample__in=samples).select_related("remedy")


def test_too_little_blowdown_shows_is_confirmed_blown_down_and_back_in_range(demo: Store):
    told_of = [each for each in demo.planted("valve") if not each[1].get("left")]
    assert {key for key, _told in told_of} >= {"mill", "hospital"}
    for key, told in told_of:
        with demo.at(key) as plant:
            start = since(told)
            seen = sides(plant, told["boiler"], "conductivity", start, start + 4 * DAY)
            high = [sample for side, sample in seen if side == "high"]
            assert len(high) >= 2, told
            (first, *_more) = acted(plant, high)
            assert first.kind in ("blowdown", "called") and first.remedy is not None
            assert seen[-1][0] == "in_range", told


def test_a_treatment_that_ran_out_is_found_low_dosed_and_retested(demo: Store):
    told_of = demo.planted("chemical_out")
    assert told_of
    for key, told in told_of:
        with demo.at(key) as plant:
            start = since(told)
            seen = sides(plant, told["boiler"], told["analyte"], start, start + 4 * DAY)
            low = [sample for side, sample in seen if side == "low"]
            assert len(low) >= 2, told
            assert "dose" in {each.kind for each in acted(plant, low)}, told
            assert seen[-1][0] == "in_range", told


def test_a_slip_is_corrected_with_its_reason_before_the_sheet_is_signed(demo: Store):
    told_of = demo.planted("slip")
    assert {key for key, _told in told_of} >= {"mill", "hospital"}
    for key, told in told_of:
        with demo.at(key) as plant:
            right = Measurement.objects.get(plant=plant, reason=told["reason"])
            assert right.corrects is not None and not right.amendments.exists()
            values = [float(m.results.get().value) for m in (right, right.corrects)]
            assert 8.0 < values[0] / values[1] < 12.0
            assert right.corrects.confirmed  # the program had asked whether that can be right
            signed = Signature.objects.get(
                plant=plant, sheet=right.sheet_id, meaning=Meaning.SIGNED
            )
            assert right.entered_at < signed.at


def test_an_amendment_is_signed_by_a_second_person_or_waits(demo: Store):
    told_of = demo.planted("amended")
    assert {told["decided"] for _key, told in told_of} == {True, False}
    for key, told in told_of:
        with demo.at(key) as plant:
            amendment = Amendment.objects.get(plant=plant, measurement__reason=told["reason"])
            marks = list(amendment.signatures.all())
            assert [m.meaning for m in marks] == [Meaning.AMENDMENT_SIGNED] * told["decided"]
            assert all(m.by_id != amendment.by_id for m in marks)


def test_a_missed_round_is_missed_and_explained_only_where_somebody_wrote_why(demo: Store):
    told_of = demo.planted("missed")
    assert told_of
    for key, told in told_of:
        with demo.at(key) as plant:
            slots = DueSlot.objects.filter(
                plant=plant, line__isnull=False, due_at__range=(since(told), since(told) + 3 * DAY)
            )
            if "words" not in told:
                assert slots.filter(answers__isnull=True).exists()
                continue
            why = SlotAnswer.objects.filter(plant=plant, reason__endswith=told["words"])
            assert why.exists()
            assert all(each.slot.due_at < each.at and each.slot in slots for each in why)


def test_what_could_not_be_tested_says_why_in_time(demo: Store):
    for key, told in demo.planted("untested"):
        with demo.at(key) as plant:
            answers = SlotAnswer.objects.filter(plant=plant, reason__endswith=told["words"])
            (answer,) = answers
            assert answer.reason.startswith(told["reason"]) and answer.sample_id is None
            assert answer.slot.sample_point.name == told["point"]
            assert answer.at < answer.slot.missed_after


def test_a_returned_sheet_is_completed_handed_in_again_and_signed(demo: Store):
    told_of = demo.planted("returned")
    assert {key for key, _told in told_of} >= {"hospital", "dairy"}
    for key, told in told_of:
        with demo.at(key) as plant:
            back = Signature.objects.get(plant=plant, comment=told["comment"])
            marks = Signature.objects.filter(plant=plant, sheet=back.sheet_id).order_by("sequence")
            assert [m.meaning for m in marks] == ["handed_in", "returned", "handed_in", "signed"]
            note = HandoverNote.objects.get(plant=plant, sheet=back.sheet_id)
            assert note.text == told["answer"]


def test_a_drifting_meter_reads_high_and_is_not_used_once_its_check_failed(demo: Store):
    told_of = demo.planted("drift")
    assert told_of
    for key, told in told_of:
        with demo.at(key) as plant:
            meter = Instrument.objects.get(plant=plant, name=told["instrument"])
            failed = InstrumentCheck.objects.get(plant=plant, ending="out_of_service")
            assert failed.instrument == meter and meter.check_failed and not meter.in_service
            after = Measurement.objects.filter(plant=plant, entered_at__gt=failed.done_at)
            assert not InstrumentUse.objects.filter(instrument=meter, measurement__in=after)
            before = against_alkalinity(plant, key, failed.done_at - 4 * DAY, failed.done_at)
            afterwards = against_alkalinity(plant, key, failed.done_at, failed.done_at + 4 * DAY)
            assert 1.05 < median(before) / median(afterwards) < 1.2


def against_alkalinity(plant: Plant, key: str, start: datetime, end: datetime) -> list[float]:
    """Return conductivity over M alkalinity in the same samples, each over what its boiler usually
    holds: the feedwater's own wandering falls out."""
    holds = {each["name"]: each["holds"] for each in plants()[key]["boilers"]}
    found = []
    for sample in Sample.objects.filter(
        plant=plant, drawn_at__range=(start, end), sample_point__boiler__isnull=False
    ).select_related("sample_point__boiler"):
        results = Result.objects.filter(plant=plant, measurement__sample=sample)
        seen = {each.analyte: float(each.value) for each in results}
        if {"conductivity", "m_alkalinity"} <= set(seen):
            usual = holds[sample.sample_point.boiler.name]
            ratio = seen["conductivity"] / seen["m_alkalinity"]
            found.append(ratio / (usual["conductivity"] / usual["m_alkalinity"]))
    return found


def test_a_sloppy_tester_copies_and_rounds(demo: Store):
    told_of = demo.planted("sloppy")
    assert told_of
    for key, told in told_of:
        with demo.at(key) as plant:
            end = NOW - told["until"] * DAY
            typed = [
                float(each.typed)
                for each in Reading.objects.filter(
                    plant=plant,
                    field="reading",
                    measurement__method="conductivity",
                    measurement__by__username=told["who"],
                    measurement__sample__point_name=told["point"],
                    measurement__sample__drawn_at__range=(since(told), end),
                ).order_by("measurement__sample__drawn_at")
                if float(each.typed) > 200
            ]
            assert len(typed) >= 4
            coarse = sum(value % 50 == 0 for value in typed) / len(typed)
            assert coarse > 0.6  # of honest readings of four figures about a tenth would


def test_the_spare_cell_was_used_once_and_its_result_stays_in_doubt(demo: Store):
    for key, told in demo.planted("spare"):
        with demo.at(key) as plant:
            (doubt,) = Doubt.objects.filter(plant=plant)
            assert doubt.detail == told["reason"] and doubt.cause == "cell_overdue"
            assert doubt.at >= since(told)


def test_a_leak_into_the_condensate_asks_for_hardness_which_is_found(demo: Store):
    told_of = [each for each in demo.planted("leak") if not each[1].get("left")]
    assert told_of
    for key, told in told_of:
        with demo.at(key) as plant:
            start = since(told)
            asked = DueSlot.objects.filter(
                plant=plant,
                event_draw__isnull=False,
                method="hardness_total",
                due_at__range=(start, start + DAY),
            )
            (slot,) = asked
            sample = slot.answers.get().sample
            hard = Result.objects.get(measurement__sample=sample, analyte="total_hardness")
            assert float(hard.value) >= 2


def test_a_new_version_is_in_force_from_its_day(demo: Store):
    for key, told in demo.planted("version"):
        with demo.at(key) as plant:
            second = ProgramVersion.objects.filter(plant=plant, number=2)
            assert second.count() == len(told["points"])
            assert all(abs(each.in_force_from - since(told)) < DAY / 24 for each in second)


def test_notes_tell_the_next_shift(demo: Store):
    for key, told in demo.planted("note", "check_failed"):
        with demo.at(key) as plant:
            text = told.get("text") or told["note"]
            assert HandoverNote.objects.filter(plant=plant, text=text).count() == 1


def test_a_failed_check_reaches_back_and_the_chemist_has_decided_about_half_of_it(demo: Store):
    told_of = demo.planted("check_failed")
    assert told_of
    for key, told in told_of:
        with demo.at(key) as plant:
            back = LookBack.objects.get(plant=plant, instrument__name=told["instrument"])
            assert back.since is not None and DAY < back.until - back.since < 16 * DAY
            reached, waiting = reached_by(back), undecided(back)
            assert len(reached) > 5 and waiting
            if "decided" not in told:
                assert len(waiting) == len(reached)
                continue
            decided = [each for each in reached if each not in waiting]
            assert len(reached) / 3 < len(decided) <= len(reached) / 2
            assert max(e.drawn_at for e in decided) < max(e.drawn_at for e in waiting)
            assert {d.outcome for d in decisions_of(back)} == {"stands"}


def test_the_meters_in_use_are_checked_in_time(demo: Store):
    for key in plants():
        with demo.at(key) as plant:
            used = Instrument.objects.filter(
                plant=plant, kind__startswith="conductivity", in_service=True, checks__isnull=False
            )
            assert used.exists()
            assert all(each.check_due_on >= NOW.date() for each in used)
