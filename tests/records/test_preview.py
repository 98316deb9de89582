"""Look first: what other limits would have judged of stored results, which stay as they are."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from chemistry.verdict import Side
from records import clock
from records.models import Program, Verdict
from records.selectors.preview import preview
from records.selectors.program_entry import limits_read
from records.selectors.programs import limits_of, newest_version
from tests import factories
from tests.records import story
from tests.records.programs import limit, program_of

LOW, HIGH, IN, NOT = Side.LOW, Side.HIGH, Side.IN_RANGE, Side.NOT_JUDGED


def look(works, *limits, program=None, days=90):
    rows, refused = limits_read(limits)
    assert not refused
    since = clock.now() - timedelta(days=days)
    return preview(program or program_of(works), rows, since=since)


def changed(found):
    return {k: n for tally in found.tallies.values() for k, n in tally.changed.items()}


def test_the_limits_in_force_would_have_judged_just_as_they_did(works):
    for reading in ("900", "1295", "1500"):
        story.draw(works, reading)
    held = limits_of(newest_version(program_of(works)))
    found = preview(program_of(works), held, since=clock.now() - timedelta(days=90))
    assert (found.otherwise, changed(found)) == ([], {})
    assert [tally.results for tally in found.tallies.values()] == [3]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"high": "1000"}, {(IN, HIGH): 1}),
        ({"high": "2000"}, {(HIGH, IN): 1}),
        ({"high": "1300", "guard_band": "250"}, {(IN, HIGH): 1}),
        ({"low": "950", "high": "1000"}, {(IN, LOW): 1, (IN, HIGH): 1}),
        ({"high": "2", "unit": "mS/cm"}, {(HIGH, IN): 1}),
        ({"basis": "25C|neutralized|"}, {(IN, NOT): 2, (HIGH, NOT): 1}),
        ({"state": "wet_layup"}, {(IN, NOT): 2, (HIGH, NOT): 1}),
        ({"high": "", "note": "none is known"}, {(IN, NOT): 2, (HIGH, NOT): 1}),
    ],
)
def test_each_result_is_judged_by_the_new_limit(works, change, expected):
    """Readings of 900, 1100 and 1500 against at most 1300; rule: simple acceptance (ILAC-G8)."""
    for reading in ("900", "1100", "1500"):
        story.draw(works, reading)
    found = look(works, limit(works, **change))
    assert changed(found) == expected
    assert len(found.otherwise) == sum(expected.values())


def test_nothing_stored_changes(works):
    story.draw(works, "1100")
    before = list(Verdict.objects.values())
    look(works, limit(works, high="1000"))
    assert list(Verdict.objects.values()) == before


def test_only_what_counts_is_looked_at(works):
    """A corrected reading counts as corrected; a result in doubt is left out and counted."""
    sample = story.draw(works, "1100")
    story.correct(works, sample.measurements.get(), "1200")
    shelf = {**works.used, "meter": story.out_of_service(works)}
    doubtful = factories.conductivity("1100", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.tester, works.point, doubtful)
    found = look(works, limit(works, high="1150"))
    assert changed(found) == {(IN, HIGH): 1} and found.in_doubt == 1
    assert [each.value for each in found.otherwise] == ["1200"]


def test_only_the_days_and_the_points_asked_for_are_looked_at(works):
    story.draw(works, "1100")
    factories.sample(works.tester, works.feed, factories.conductivity("60", works.used))
    with story.later(60 * 24 * 3):
        assert look(works, limit(works), days=2).tallies == {}
        assert len(look(works, limit(works)).otherwise) == 1
    shared = Program.objects.get(plant=works.plant, boiler=None)
    found = look(works, limit(works, point=works.feed, high="50"), program=shared)
    assert changed(found) == {(NOT, HIGH): 1}


def test_more_results_cost_no_more_queries(works):
    counts = []
    for _round in range(2):
        for minute in range(5):
            with story.later(minute + 10 * len(counts)):
                story.draw(works, "1100")
        with story.later(60), CaptureQueriesContext(connection) as asked:
            look(works, limit(works))
        counts.append(len(asked))
    assert counts[0] == counts[1] < 12
