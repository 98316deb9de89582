"""The draws that a chemist lets events ask for: what can't be used is told by its field."""

from dataclasses import replace

import pytest
from django.db import IntegrityError, transaction

from records.models import EventDraw, ProgramVersion
from records.selectors.event_draws import event_entries_of
from tests.records import story


@pytest.mark.parametrize(
    ("changed", "code", "field"),
    [
        ({"event": "full_moon"}, "not_an_event", "event"),
        ({"event": "dose"}, "nothing_watched", "event"),
        ({"state": "asleep"}, "not_a_state", "state"),
        ({"minutes_after": -1}, "bad_minutes", "minutes_after"),
        ({"minutes_after": 1441}, "bad_minutes", "minutes_after"),
        ({"grace_minutes": 10081}, "bad_grace", "grace_minutes"),
        ({"source": " "}, "source_needed", "source"),
        ({"source": "x" * 201}, "too_long", "source"),
        ({"trigger_value": ""}, "watched_needed", "trigger_value"),
        ({"watched_point": None}, "watched_needed", "trigger_value"),
        ({"watched_analyte": "phlogiston"}, "watched_needed", "trigger_value"),
        ({"trigger_value": "many"}, "not_a_number", "trigger_value"),
        ({"trigger_unit": "degC"}, "wrong_dimension", "trigger_unit"),
        ({"method": "alchemy"}, "unknown_method", "method"),
        ({"event": "light_off"}, "not_of_shared_water", "event"),
    ],
    ids=lambda value: str(value)[:30],
)
def test_what_cannot_be_used_is_told_by_its_field(works, changed, code, field):
    with story.refused(code) as raised:
        story.events(works, replace(story.hardness_above(works), **changed), point=works.feed)
    assert raised.value.field == field
    assert not EventDraw.objects.exists()


def test_all_that_is_wrong_is_told_at_once_by_its_line(works):
    good = story.hardness_above(works)
    bad = [replace(good, source=""), replace(good, trigger_value="many", grace_minutes=-1)]
    with story.refused("source_needed") as raised:
        story.events(works, good, *bad, point=works.feed)
    told = [(each.row, each.field) for each in raised.value.every]
    assert told == [(1, "source"), (2, "grace_minutes"), (2, "trigger_value")]


def test_the_same_draw_twice_is_refused_and_two_times_after_one_event_are_not(works):
    dose = story.after(works, "dose")
    with story.refused("twice"):
        story.events(works, dose, dose)
    story.events(works, dose, replace(dose, minutes_after=60))
    assert [row.minutes_after for row in EventDraw.objects.order_by("id")] == [30, 60]


@pytest.mark.parametrize("part", ["point", "watched_point"])
def test_another_plants_point_does_not_exist(works, elsewhere, part):
    entry = replace(story.hardness_above(works), **{part: elsewhere.feed})
    with story.refused("not_here"):
        story.events(works, entry, point=works.feed)


def test_a_boilers_program_asks_at_its_own_points(works):
    with story.refused("not_here"):
        story.events(works, story.hardness_above(works), point=works.point)


def test_what_a_version_asks_for_is_read_as_it_was_given(works):
    asked = story.hardness_above(works, trigger="35,5")
    story.events(works, asked, point=works.feed)
    version = ProgramVersion.objects.latest("recorded_at")
    assert event_entries_of(version) == [replace(asked, trigger_value="35.5")]
    assert event_entries_of(None) == []


def test_the_database_refuses_a_trigger_without_a_result(works):
    story.events(works, story.hardness_above(works), point=works.feed)
    values = EventDraw.objects.values().get()
    del values["id"]
    with pytest.raises(IntegrityError), transaction.atomic():
        EventDraw.objects.create(**{**values, "event": "dose"})
