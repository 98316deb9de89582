"""Due slots and shifts on the plant's clock, over days when that clock is set."""

from datetime import UTC, datetime, timedelta

import pytest

from records import clock
from records.models import DueSlot, Sample, Shift
from records.selectors.rounds import Due, overdue_count, slots_for_round
from records.services.plants import boiler_state_set
from records.services.programs import ScheduleEntry, version_put_in_force
from records.services.slots import slots_expand
from records.shifts import drawn_from_local, from_local, local, shift_at, utc_offset
from tests import factories
from tests.records import story

HOUR = timedelta(hours=1)
# America/Chicago, 2026: forward on March 8, back on November 1, at 02:00 (IANA tz database).
SPRING = datetime(2026, 3, 8, 6, tzinfo=UTC)  # midnight before the clock is set forward
FALL = datetime(2026, 11, 1, 5, tzinfo=UTC)  # midnight before it is set back


def scheduled(works, recurrence: str, since: datetime, days: int = 1) -> list[datetime]:
    """Put a schedule in force at a midnight and return the instants of its slots."""
    with clock.clock_at(since):
        version_put_in_force(
            actor=works.chemist,
            program=factories.Program.objects.get(boiler=None),
            in_force_from=since,
            limits=[],
            schedule=[
                ScheduleEntry(
                    point=works.feed,
                    state="steaming",
                    method="conductivity",
                    recurrence=recurrence,
                )
            ],
            key=story.key(),
        )
        slots_expand(works.plant, until=since + timedelta(days=days))
    found = DueSlot.objects.filter(sample_point=works.feed).order_by("due_at")
    return list(found.values_list("due_at", flat=True))


def walls(works, instants) -> list[str]:
    return [local(works.plant, instant).strftime("%H:%M%z") for instant in instants]


def test_slots_follow_the_wall_clock_when_it_is_set_forward(works):
    laid = scheduled(works, "FREQ=DAILY;BYHOUR=1,2,3,6", SPRING)
    # 02:00 did not exist and is read as 03:00 (RFC 5545, 3.3.5); both are one slot.
    assert walls(works, laid) == ["01:00-0600", "03:00-0500", "06:00-0500"]


def test_slots_follow_the_wall_clock_when_it_is_set_back(works):
    laid = scheduled(works, "FREQ=DAILY;BYHOUR=0,1,2,6", FALL)
    assert walls(works, laid) == ["00:00-0500", "01:00-0500", "02:00-0600", "06:00-0600"]


@pytest.mark.parametrize("midnight", [SPRING, FALL])
def test_laying_slots_bit_by_bit_loses_none_and_doubles_none(works, midnight):
    rule = "FREQ=DAILY;BYHOUR=0,1,2,3,4;BYMINUTE=0,30"
    at_once = scheduled(works, rule, midnight)
    DueSlot.objects.filter(sample_point=works.feed).delete()
    for quarter in range(100):
        slots_expand(works.plant, until=midnight + quarter * HOUR / 4)
    bit_by_bit = DueSlot.objects.filter(sample_point=works.feed, due_at__lt=midnight + 24 * HOUR)
    assert list(bit_by_bit.order_by("due_at").values_list("due_at", flat=True)) == [
        due for due in at_once if due < midnight + 24 * HOUR
    ]


# What a calendar says, in the terms of RFC 5545; each from midnight of Tuesday, March 3, 2026, on.
TUESDAY = datetime(2026, 3, 3, 6, tzinfo=UTC)
CALENDARS = [
    pytest.param("FREQ=WEEKLY;BYDAY=MO,TH;BYHOUR=8", "05 09 12 16", "08:00", id="two days a week"),
    pytest.param("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU;BYHOUR=6", "03 17", "06:00", id="second week"),
    pytest.param("FREQ=DAILY;INTERVAL=3;BYHOUR=10", "03 06 09 12 15", "10:00", id="third day"),
    pytest.param("FREQ=MONTHLY;BYMONTHDAY=15;BYHOUR=9", "15 15", "09:00", id="day of the month"),
    pytest.param("FREQ=MONTHLY;BYMONTHDAY=31;BYHOUR=9", "31", "09:00", id="April has no 31st"),
    pytest.param("FREQ=MONTHLY;BYDAY=1MO;BYHOUR=7", "06 04", "07:00", id="first Monday"),
    pytest.param("FREQ=WEEKLY", "03 10 17", "00:00", id="weekly from the day it begins"),
]


@pytest.mark.parametrize(("recurrence", "days", "wall"), CALENDARS)
def test_a_calendar_keeps_its_days_and_hour_when_the_clock_is_set(works, recurrence, days, wall):
    wanted = days.split()
    laid = scheduled(works, recurrence, TUESDAY, days=63)
    here = [local(works.plant, instant) for instant in laid][: len(wanted)]
    assert [f"{each:%d}" for each in here] == wanted
    assert {f"{each:%H:%M}" for each in here} == {wall}


def test_days_counted_by_threes_stay_in_step_however_slots_are_laid(works):
    rule = "FREQ=DAILY;INTERVAL=3;BYHOUR=10"
    at_once = scheduled(works, rule, TUESDAY, days=20)
    DueSlot.objects.filter(sample_point=works.feed).delete()
    for day in range(1, 21):
        slots_expand(works.plant, until=TUESDAY + timedelta(days=day))
    found = DueSlot.objects.filter(sample_point=works.feed, due_at__lt=TUESDAY + 20 * 24 * HOUR)
    assert list(found.order_by("due_at").values_list("due_at", flat=True)) == at_once


def test_a_weekly_test_stays_due_until_its_days_of_grace_are_over(works):
    """Due Monday at eight with two days of grace: still there on Tuesday, missed on Wednesday."""
    with clock.clock_at(TUESDAY):
        version_put_in_force(
            actor=works.chemist,
            program=factories.Program.objects.get(boiler=None),
            in_force_from=TUESDAY,
            limits=[],
            schedule=[
                ScheduleEntry(
                    point=works.feed,
                    state="steaming",
                    method="silica",
                    recurrence="FREQ=WEEKLY;BYDAY=MO;BYHOUR=8",
                    grace_minutes=2 * 24 * 60,
                )
            ],
            key=story.key(),
        )
        slots_expand(works.plant, until=TUESDAY + timedelta(days=8))
    monday = from_local(works.plant, datetime(2026, 3, 9, 8))

    def stands(now: datetime) -> list[Due]:
        found = slots_for_round(
            works.plant, now=now, early=now, since=now - 6 * HOUR, until=now, in_grace=True
        )
        return [each.due for each in found if each.slot.method == "silica"]

    assert stands(monday + 30 * HOUR) == [Due.OVERDUE]
    assert stands(monday + 49 * HOUR) == [Due.MISSED]
    assert stands(monday + 55 * HOUR) == []


def test_laying_twice_changes_nothing(works):
    assert slots_expand(works.plant) > 0
    assert slots_expand(works.plant) == 0


def test_slots_end_where_the_next_version_begins(works):
    since = clock.now() + 3 * HOUR
    factories.program(works.plant, works.point, since=clock.now())
    with clock.clock_at(clock.now() + timedelta(seconds=1)):
        slots_expand(works.plant)
        laid_before = DueSlot.objects.filter(sample_point=works.point).count()
        factories.program(works.plant, works.point, since=since)
    with clock.clock_at(since):
        slots_expand(works.plant, until=since + 24 * HOUR)
        now = clock.now()
        stands = slots_for_round(
            works.plant, now=now, early=now, since=now - 12 * HOUR, until=now + 24 * HOUR
        )
    due = [stand.slot.due_at for stand in stands]
    assert len(due) == len(set(due)), "one version's slots count at a time"
    assert DueSlot.objects.filter(sample_point=works.point).count() > laid_before
    for stand in stands:
        version = stand.slot.line.version
        assert version.in_force_from <= stand.slot.due_at


def test_nobody_owed_a_test_before_the_version_was_written_down(works):
    with clock.clock_at(clock.now() - timedelta(days=10)):
        since = clock.now()
    entry = ScheduleEntry(
        point=works.feed, state="steaming", method="conductivity", recurrence="FREQ=HOURLY"
    )
    version_put_in_force(
        actor=works.chemist,
        program=factories.Program.objects.get(boiler=None),
        in_force_from=since,
        limits=[],
        schedule=[entry],
        key=story.key(),
    )
    slots_expand(works.plant)
    assert DueSlot.objects.filter(sample_point=works.feed, due_at__lt=clock.now()).count() == 0
    assert DueSlot.objects.filter(sample_point=works.feed).count() == 36


def test_a_slot_goes_from_later_to_missed_or_done(works):
    slots_expand(works.plant)
    slot = DueSlot.objects.filter(due_at__gt=clock.now()).earliest("due_at")

    def stands_at(instant, early=timedelta(0)):
        found = slots_for_round(
            works.plant,
            now=instant,
            early=instant + early,
            since=slot.due_at,
            until=slot.due_at + timedelta(seconds=1),
        )
        return [stand.due for stand in found]

    assert stands_at(slot.due_at - HOUR) == [Due.LATER]
    assert stands_at(slot.due_at - HOUR, early=HOUR) == [Due.NOW]
    assert stands_at(slot.due_at + HOUR) == [Due.OVERDUE]
    assert stands_at(slot.missed_after + HOUR) == [Due.MISSED]
    with clock.clock_at(slot.due_at):
        story.draw(works, "1240", slot=slot)
    assert stands_at(slot.missed_after + HOUR) == [Due.DONE]


def test_what_is_due_follows_the_boilers_state(works):
    slots_expand(works.plant)
    later = clock.now() + 12 * HOUR
    steaming = overdue_count(works.plant, now=later, since=clock.now())
    assert steaming == 3
    boiler_state_set(actor=works.tester, boiler=works.boiler, state="wet_layup", since=clock.now())
    assert overdue_count(works.plant, now=later, since=clock.now()) == 0


# shifts


def test_a_shift_lasts_until_the_next_one_begins(works):
    day = shift_at(works.plant, factories.NOON)
    assert (day.name, day.day.isoformat()) == ("Day", "2026-03-10")
    assert day.ends_at - day.starts_at == 8 * HOUR
    night = shift_at(works.plant, from_local(works.plant, datetime(2026, 3, 10, 3)))
    assert (night.name, night.day.isoformat()) == ("Night", "2026-03-09")


@pytest.mark.parametrize(("midnight", "hours"), [(SPRING, 7), (FALL, 9)])
def test_the_night_is_an_hour_shorter_or_longer(works, midnight, hours):
    night = shift_at(works.plant, midnight)
    assert night.ends_at - night.starts_at == hours * HOUR
    for minutes in range(0, 60 * 30, 30):
        instant = midnight + timedelta(minutes=minutes)
        shift = shift_at(works.plant, instant)
        assert shift.starts_at <= instant < shift.ends_at


def test_shifts_that_begin_within_the_missing_hour_stay_in_order(works):
    Shift.objects.create(plant=works.plant, name="Early", starts_at="02:30")
    Shift.objects.create(plant=works.plant, name="Dawn", starts_at="03:00")
    for minutes in range(0, 600, 10):
        instant = SPRING + timedelta(minutes=minutes)
        shift = shift_at(works.plant, instant)
        assert shift.starts_at <= instant < shift.ends_at


def test_a_plant_without_shifts_has_one_the_day(works):
    Shift.objects.all().delete()
    shift = shift_at(works.plant, factories.NOON)
    assert (shift.name, shift.ends_at - shift.starts_at) == ("Day", 24 * HOUR)


def test_a_draw_typed_in_the_repeated_hour_is_the_last_pass_before_now(works):
    wall = datetime(2026, 11, 1, 1, 30)
    first, second = FALL + HOUR * 1.5, FALL + HOUR * 2.5
    assert drawn_from_local(works.plant, wall, now=first + HOUR / 4) == first
    assert drawn_from_local(works.plant, wall, now=second + HOUR / 4) == second
    assert utc_offset(works.plant, first) == "-05:00"
    assert utc_offset(works.plant, second) == "-06:00"


def test_a_draw_typed_in_the_missing_hour_is_refused(works):
    with story.refused("no_such_time"):
        drawn_from_local(works.plant, datetime(2026, 3, 8, 2, 30), now=SPRING + 12 * HOUR)
    assert drawn_from_local(works.plant, datetime(2026, 3, 8, 3), now=SPRING + 12 * HOUR)


def test_a_draw_keeps_the_plants_offset_of_its_time(works):
    with clock.clock_at(FALL + 3 * HOUR):
        story.draw(works, "60", point=works.feed, drawn_at=FALL + HOUR * 1.5)
        story.draw(works, "60", point=works.feed, drawn_at=FALL + HOUR * 2.5)
    offsets = Sample.objects.order_by("drawn_at").values_list("utc_offset", flat=True)
    assert list(offsets) == ["-05:00", "-06:00"]
