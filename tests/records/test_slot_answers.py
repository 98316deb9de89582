"""How a due test ends: by a sample that holds it, or by the reason why it could not be done."""

from datetime import timedelta

import pytest

from records import clock
from records.models import DueSlot, SlotAnswer
from records.selectors.rounds import Due, SlotStand, line_of, overdue_count, slots_for_round
from records.selectors.sheet_pages import missed_in, people_by_shift, untested_on
from records.selectors.sheets import rows_of, stand_of
from records.services.programs import ScheduleEntry, version_put_in_force
from records.services.slot_answers import REASONS, reason_parts, reason_text, slots_excuse
from records.services.slots import slots_expand
from tests import factories
from tests.records import story

MORNING = "FREQ=DAILY;BYHOUR=6,10,14;BYMINUTE=0"
TO_TEN = -110  # from noon to ten past ten, when the draw of ten is due


@pytest.fixture
def morning(works):
    """The works with three tests of the feedwater due at ten."""
    with story.later(-24 * 60):
        version_put_in_force(
            actor=works.chemist,
            program=factories.Program.objects.get(boiler=None),
            in_force_from=clock.now(),
            limits=[],
            schedule=[
                ScheduleEntry(point=works.feed, state="steaming", method=method, recurrence=MORNING)
                for method in ("conductivity", "ph", "hardness_total")
            ],
            key=story.key(),
        )
        slots_expand(works.plant, until=clock.now() + timedelta(days=2))
    return works


def at_ten(works) -> list[DueSlot]:
    """Return the feedwater's slots of ten o'clock, in the order of their tests."""
    ten = factories.NOON - timedelta(hours=2)
    found = DueSlot.objects.filter(sample_point=works.feed, due_at=ten)
    return list(found.order_by("method"))


def excuse(works, slots, reason="no_reagent", words="", **options):
    return slots_excuse(
        actor=options.get("by", works.tester),
        slots=slots,
        reason=reason,
        words=words,
        key=options.get("key") or story.key(),
    )


def stand(slot: DueSlot) -> SlotStand:
    found = line_of(slot, now=clock.now(), early=clock.now())
    return next(each for each in found if each.slot == slot)


def test_a_reason_given_in_time_is_no_miss(morning):
    conductivity, hardness, ph = at_ten(morning)
    with story.later(TO_TEN):
        before = overdue_count(morning.plant, now=clock.now(), since=clock.now())
        excuse(morning, [hardness, ph], words="the last ampoule broke")
        assert overdue_count(morning.plant, now=clock.now(), since=clock.now()) == before - 2
    assert [stand(s).due for s in (conductivity, hardness, ph)] == [
        Due.MISSED,
        Due.NOT_TESTED,
        Due.NOT_TESTED,
    ]
    answer = SlotAnswer.objects.get(slot=ph)
    assert (answer.by_name, answer.sample) == ("Tess Tanner", None)
    assert reason_parts(answer.reason) == (REASONS["no_reagent"], "the last ampoule broke")
    assert answer in rows_of(answer.sheet), "its reason is signed with the sheet"
    assert answer.sheet.shift_name == "Day"
    assert {each.slot for each in missed_in(answer.sheet)} & {hardness, ph} == set()
    assert {hardness, ph, conductivity} <= {each.slot for each in untested_on(answer.sheet)}


def test_a_reason_given_afterwards_leaves_it_missed_and_says_why(morning):
    slots = at_ten(morning)
    before = overdue_count(morning.plant, now=clock.now(), since=clock.now() - timedelta(hours=1))
    excuse(morning, slots, by=morning.supervisor, reason="other", words="all at the fire drill")
    told = [stand(slot) for slot in slots]
    assert [(each.due, each.open) for each in told] == [(Due.MISSED, False)] * 3
    assert {each.slot for each in missed_in(told[0].answer.sheet)} >= set(slots)
    after = overdue_count(morning.plant, now=clock.now(), since=clock.now() - timedelta(hours=1))
    assert before - after == 3, "what is explained waits for nobody"


@pytest.mark.parametrize(
    ("pick", "reason", "words", "code", "field"),
    [
        pytest.param(slice(1), "", "", "reason_needed", "reason", id="no reason"),
        pytest.param(slice(1), "lazy", "", "reason_needed", "reason", id="a reason of no list"),
        pytest.param(slice(1), "other", " ", "words_needed", "words", id="other, without words"),
        pytest.param(slice(1), "unsafe", "x" * 241, "too_long", "words", id="too many words"),
        pytest.param(slice(1), "unsafe", "\0", "not_text", "words", id="signs that are no text"),
        pytest.param(slice(0), "unsafe", "", "tests_needed", "slots", id="no test"),
    ],
)
def test_what_is_lacking_is_told_by_its_field(morning, pick, reason, words, code, field):
    with story.refused(code) as raised:
        excuse(morning, at_ten(morning)[pick], reason, words)
    assert raised.value.field == field
    assert not SlotAnswer.objects.exists()


def test_a_test_that_is_not_due_has_no_reason_yet(morning):
    later = DueSlot.objects.filter(due_at__gt=clock.now() + timedelta(hours=1)).first()
    with story.refused("not_due_yet"):
        excuse(morning, [later])


def test_it_is_recorded_once(morning):
    slots, same = at_ten(morning), story.key()
    assert excuse(morning, slots, key=same) == excuse(morning, slots, key=same)
    with story.refused("answered"):
        excuse(morning, slots[:1])
    assert SlotAnswer.objects.count() == 3


def test_another_plants_slot_does_not_exist(morning, elsewhere):
    with story.refused("not_here"):
        excuse(elsewhere, at_ten(morning))


def test_what_is_handed_in_stays_as_it_was_seen(morning):
    with story.later(TO_TEN):
        sheet = story.draw(morning, "60", point=morning.feed).sheet
        story.hand_in(morning, sheet)
    seen = stand_of(sheet).digest
    with story.later(180):  # the evening's shift has begun
        slots = [slot for slot in at_ten(morning) if slot.method != "conductivity"]
        excuse(morning, slots, by=morning.mate)
        answer = SlotAnswer.objects.get(slot=slots[0])
        assert (answer.sheet.shift_name, stand_of(sheet).digest) == ("Evening", seen)
        for page in (sheet, answer.sheet):  # where it was due, and where it is written
            assert set(slots) <= {each.slot for each in untested_on(page)}


def test_a_shift_that_wrote_nothing_gets_its_sheet_with_the_reason(morning):
    excuse(morning, at_ten(morning), by=morning.supervisor, reason="unsafe")
    sheet = SlotAnswer.objects.first().sheet
    assert (sheet.shift_name, sheet.starts_at) == ("Day", factories.NOON - timedelta(hours=6))


def test_a_sample_after_all_is_one_more_sample(morning):
    with story.later(TO_TEN):
        conductivity = at_ten(morning)[0]
        excuse(morning, [conductivity])
        sample = story.draw(morning, "60", point=morning.feed, slot=conductivity)
    assert SlotAnswer.objects.get(slot=conductivity).sample is None
    assert not sample.slot_answers.exists()


def test_a_sample_answers_only_the_tests_that_it_holds(morning):
    """Begun for the pH, which then could not be read: the pH is still owed."""
    conductivity, _hardness, ph = at_ten(morning)
    with story.later(TO_TEN):
        story.draw(morning, "60", point=morning.feed, slot=ph)
        assert [stand(conductivity).due, stand(ph).due] == [Due.DONE, Due.OVERDUE]


def test_a_late_entry_of_an_early_draw_answers_and_says_so(morning):
    conductivity = at_ten(morning)[0]
    with story.later(150):
        assert stand(conductivity).due is Due.MISSED
        ten = factories.NOON - timedelta(hours=2)
        sample = story.draw(morning, "60", point=morning.feed, drawn_at=ten)
        assert (stand(conductivity).due, sample.late) == (Due.DONE, True)


def test_a_draw_after_the_grace_counts_for_it_and_is_told_as_late(morning):
    """Ten o'clock's, missed at half past eleven, drawn at noon by who picks it from the list."""
    conductivity = at_ten(morning)[0]
    sample = story.draw(morning, "60", point=morning.feed, slot=conductivity)
    told = stand(conductivity)
    assert (told.due, told.late) == (Due.DONE, True)
    assert conductivity in {each.slot for each in untested_on(sample.sheet)}
    assert conductivity not in {each.slot for each in missed_in(sample.sheet)}


def test_who_was_on_shift_is_known_by_what_they_wrote(morning):
    sheet = story.draw(morning, "60", point=morning.feed, by=morning.mate).sheet
    story.hand_in(morning, sheet)
    people = people_by_shift(morning.plant, factories.NOON - timedelta(hours=12))
    assert people == {(sheet.shift_date, "Day"): {"Milo Mate", "Tess Tanner"}}


@pytest.mark.parametrize("reason", REASONS)
def test_a_reason_is_read_as_it_was_kept(reason):
    assert reason_parts(reason_text(reason, "a: b")) == (REASONS[reason], "a: b")


def test_a_reason_of_an_earlier_list_is_shown_as_it_stands():
    assert reason_parts("the tap leaks") == ("", "the tap leaks")


# A state holds from its hour on


def owed(works, since: timedelta, until: timedelta) -> list[tuple[str, str]]:
    """Return method and state of the slots that count between two times of the noon's day."""
    noon = factories.NOON
    stands = slots_for_round(
        works.plant, now=noon + until, early=noon, since=noon + since, until=noon + until
    )
    own = [each.slot for each in stands if each.slot.sample_point_id == works.point.pk]
    return [(slot.method, slot.line.state) for slot in own]


def test_a_boiler_banked_at_noon_owes_no_steaming_tests_after(works):
    slots_expand(works.plant)
    hours = (timedelta(hours=-3), timedelta(hours=11))
    assert len(owed(works, *hours)) == 4  # 10, 14, 18 and 22 o'clock
    story.set_state(works, "banked")
    assert owed(works, *hours) == [("conductivity", "steaming")], "ten o'clock's stays owed"
    with story.later(5 * 60):
        story.set_state(works, "steaming")
    assert len(owed(works, *hours)) == 3, "and 18 and 22 o'clock's are again"


def test_wet_layup_has_a_schedule_of_its_own(works):
    with story.later(-60):
        story.layup_schedule(works)
    slots_expand(works.plant)
    day = (timedelta(hours=0), timedelta(hours=24))
    assert {state for _method, state in owed(works, *day)} == {"steaming"}
    story.set_state(works, "wet_layup")
    assert owed(works, *day) == [("ph", "wet_layup"), ("sulfite", "wet_layup")]
