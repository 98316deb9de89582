"""The draws that a chemist lets events ask for: what can't be used is told by its field."""

from dataclasses import replace

import pytest
from django.db import IntegrityError, transaction

from chemistry.errors import EntryError
from records.models import EventDraw, ProgramVersion
from records.services.event_draws import event_entries_of
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
        ({"trigger_unit": "degC"}, "wrong_dimension", "trigger_value"),
    ],
    ids=lambda value: str(value)[:30],
)
def test_what_cannot_be_used_is_told_by_its_field(works, changed, code, field):
    with story.refused(code) as raised:
        story.events(works, replace(story.hardness_above(works), **changed), point=works.feed)
    assert raised.value.field == field
    assert not EventDraw.objects.exists()


def test_an_unknown_test_is_refused(works):
    entry = replace(story.hardness_above(works), method="alchemy")
    with pytest.raises(EntryError):
        story.events(works, entry, point=works.feed)


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
