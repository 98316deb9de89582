"""Schedules as RFC 5545 rules: what a form can show, written and read back."""

from datetime import datetime, time, timedelta

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from records import clock
from records.recurrence import (
    LAST_DAY,
    WEEKDAYS,
    Recurrence,
    next_times,
    recurrence_of,
    refuse_recurrence,
    times_of,
)
from records.shifts import local
from tests.records import story

TIMES = st.sets(st.times().map(lambda at: time(at.hour, at.minute)), min_size=1, max_size=8)
DAYS = st.one_of(
    st.just({}),
    st.sets(st.sampled_from(WEEKDAYS), min_size=1).map(
        lambda days: {"weekdays": tuple(day for day in WEEKDAYS if day in days)}
    ),
    st.integers(2, 366).map(lambda every: {"every": every}),
    st.sampled_from((*range(1, 29), LAST_DAY)).map(lambda day: {"month_day": day}),
)


@given(times=TIMES, days=DAYS)
def test_a_rule_is_read_back_as_it_was_meant(times, days):
    rule = Recurrence(times=tuple(sorted(times)), **days)
    assert recurrence_of(rule.text) == rule
    refuse_recurrence(rule.text)


@given(times=TIMES)
def test_its_times_are_those_that_the_calendar_standard_finds(times):
    """Held against dateutil's reading of RFC 5545, BYSETPOS included."""
    begin = datetime(2026, 3, 10)
    text = Recurrence(times=tuple(sorted(times))).text
    found = rrulestr(text, dtstart=begin).between(
        begin, begin + timedelta(days=1, minutes=-1), inc=True
    )
    assert [at.time() for at in found] == sorted(times)


@pytest.mark.parametrize(
    ("typed", "times"),
    [
        ("6", ["06:00"]),
        ("02 06 10", ["02:00", "06:00", "10:00"]),
        ("22:15, 06:00;0600", ["06:00", "22:15"]),
    ],
)
def test_times_are_read_as_people_write_them(typed, times):
    assert [f"{at:%H:%M}" for at in times_of(typed)] == times


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("25:00", "not_times"),
        ("6:60", "not_times"),
        ("noon", "not_times"),
        ("-1", "not_times"),
        ("", "times_needed"),
        (" ,", "times_needed"),
        (" ".join(f"0:{minute:02d}" for minute in range(25)), "too_many"),
    ],
)
def test_what_is_no_time_of_day_is_refused(typed, code):
    with story.refused(code):
        times_of(typed)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "FREQ=DAILY",
        "FREQ=HOURLY;BYHOUR=6",
        "FREQ=DAILY;BYHOUR=6;BYSECOND=30",
        "FREQ=MONTHLY;BYDAY=1MO;BYHOUR=9",
        "FREQ=MONTHLY;BYMONTHDAY=31;BYHOUR=9",
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO;BYHOUR=9",
        "FREQ=DAILY;BYHOUR=6,14;BYMINUTE=0,30;BYSETPOS=9",
        "FREQ=DAILY;BYHOUR=25",
    ],
)
def test_a_rule_that_the_form_cant_show_stays_text(text):
    assert recurrence_of(text) is None


def test_the_same_days_of_the_week_are_one_rule_however_written():
    weekly, daily = "FREQ=WEEKLY;BYDAY=MO,TH;BYHOUR=9", "FREQ=DAILY;BYHOUR=9;BYDAY=MO,TH"
    assert recurrence_of(weekly) == recurrence_of(daily)


@pytest.mark.parametrize("text", ["FREQ=DAILY;BYHOUR=6;BYSETPOS=9", "FREQ=YEARLY;BYSETPOS=1"])
def test_a_place_that_is_never_reached_is_refused(text):
    with story.refused("bad_recurrence"):
        refuse_recurrence(text)


def test_the_next_times_begin_with_the_version_on_the_plants_clock(works):
    """Clocks in Chicago went forward on 2026-03-08 (from memory): 06:00 there stays 06:00."""
    with clock.clock_at(datetime.fromisoformat("2026-03-07T12:00:00+00:00")):  # 06:00 there
        found = next_times(works.plant, "FREQ=DAILY;BYHOUR=6", clock.now(), 3)
    assert [f"{local(works.plant, at):%d %H:%M %z}" for at in found] == [
        "07 06:00 -0600",
        "08 06:00 -0500",
        "09 06:00 -0500",
    ]
