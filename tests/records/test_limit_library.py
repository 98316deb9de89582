"""The limit sets that come with the program: what they say can be kept in a program."""

import pytest

from records.limit_library import limit_sets
from records.models import BoilerKind, Limit, SampleKind, State

LINES = [(each, line) for each in limit_sets() for line in each.lines]


def test_they_speak_of_the_waters_states_and_boilers_that_are_recorded():
    assert len(limit_sets()) == 8
    assert {line.sample_kind for _, line in LINES} <= set(SampleKind.values)
    assert {line.state for _, line in LINES} == {State.STEAMING, State.WET_LAYUP}
    assert {each.boiler_kind for each in limit_sets()} == {"any", *BoilerKind.values}


@pytest.mark.parametrize("field", ["source", "note", "unit", "analyte"])
def test_no_text_is_longer_than_a_limit_keeps(field):
    longest = max(len(getattr(line, field)) for _, line in LINES)
    assert 0 < longest <= Limit._meta.get_field(field).max_length


def test_how_sure_a_line_is_and_where_it_stands_can_be_kept():
    kept = {name: Limit._meta.get_field(name).max_length for name in ("confidence", "source")}
    assert all(len(line.kind) <= kept["confidence"] for _, line in LINES)
    assert all(len(each.source) <= kept["source"] for each in limit_sets())
