"""Program versions: never edited, never back-dated over judged draws."""

from datetime import timedelta

import pytest

from chemistry.errors import EntryError
from records import clock
from records.errors import NotAllowed
from records.models import Limit, Program, ProgramVersion, ScheduleLine, Verdict
from records.selectors.programs import limits_at, version_in_force
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from tests import factories
from tests.records import story


def program_of(works) -> Program:
    return Program.objects.get(boiler=works.boiler)


def limit(works, **changes) -> LimitEntry:
    values = {
        "point": works.point,
        "state": "steaming",
        "analyte": "conductivity",
        "basis": "25C|not_neutralized|",
        "unit": "umho/cm",
        "high": "1000",
        "source": "Common practice",
        "confidence": "common practice, no source",
        **changes,
    }
    return LimitEntry(**values)


def line(works, recurrence="FREQ=DAILY;BYHOUR=6", **changes) -> ScheduleEntry:
    values = {"point": works.point, "state": "steaming", "method": "conductivity", **changes}
    return ScheduleEntry(recurrence=recurrence, **values)


def put(works, *limits, schedule=(), since=None, **options):
    return version_put_in_force(
        actor=options.get("actor", works.chemist),
        program=options.get("program") or program_of(works),
        in_force_from=since or clock.now() + timedelta(hours=1),
        limits=limits,
        schedule=schedule,
        key=options.get("key") or story.key(),
        note=options.get("note", ""),
    )


def test_a_new_version_holds_from_its_date_and_the_old_one_before(works):
    new = put(works, limit(works))
    program = program_of(works)
    assert version_in_force(program, clock.now()).number == 1
    with story.later(60):
        assert version_in_force(program, clock.now()).pk == new
        story.draw(works, "1150")
    story.draw(works, "1150")
    sides = set(Verdict.objects.values_list("program_version__number", "side"))
    assert sides == {(1, "in_range"), (2, "high")}


def test_it_is_not_back_dated_over_a_judged_draw(works):
    story.draw(works, "1150")
    with story.refused("back_dated"):
        put(works, limit(works), since=clock.now())
    put(works, limit(works), since=clock.now() + timedelta(seconds=1))


def test_it_is_not_back_dated_over_a_draw_that_was_found_without_limit(works):
    """“Not judged” was a verdict too."""
    with clock.clock_at(clock.now() - timedelta(days=3)):
        factories.sample(works.tester, works.feed, factories.conductivity("60", works.used))
    shared = Program.objects.get(boiler=None)
    feed = limit(works, point=works.feed)
    with story.refused("back_dated"):
        put(works, feed, program=shared, since=clock.now() - timedelta(days=4))
    put(works, feed, program=shared, since=clock.now() - timedelta(days=2))


def test_it_does_not_begin_before_the_version_it_follows(works):
    put(works, limit(works), since=clock.now() + timedelta(days=2))
    with story.refused("back_dated"):
        put(works, limit(works), since=clock.now() + timedelta(days=1))


@pytest.mark.parametrize(
    ("change", "field", "code"),
    [
        ({"high": "lots"}, "high", "not_a_number"),
        ({"high": "1,300"}, "high", "ambiguous_comma"),
        ({"low": "2000"}, "high", None),
        ({"unit": "degC"}, "high", None),
        ({"source": " "}, "source", "missing"),
        ({"source": "x" * 201}, "source", "too_long"),
        ({"note": "x" * 301}, "note", "too_long"),
        ({"state": "dancing"}, "state", "not_a_state"),
        ({"analyte": "phlogiston"}, "analyte", "unknown_analyte"),
    ],
)
def test_it_refuses_a_limit_that_cannot_be(works, change, field, code):
    with pytest.raises(Exception) as raised:
        put(works, limit(works), limit(works, **change))
    assert (raised.value.row, raised.value.field) == (1, field)
    assert code in (None, raised.value.code) and str(raised.value)
    assert ProgramVersion.objects.count() == 1


@pytest.mark.parametrize(
    "recurrence",
    [
        "",
        "every day",
        "FREQ=SECONDLY",
        "FREQ=MINUTELY",
        "FREQ=DAILY;COUNT=3",
        "FREQ=DAILY;UNTIL=20260101T000000Z",
        "DTSTART:20260101T000000\nRRULE:FREQ=DAILY",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;BYHOUR=25",
    ],
)
def test_it_refuses_a_schedule_that_cannot_be_laid(works, recurrence):
    with story.refused("bad_recurrence"):
        put(works, schedule=[line(works, recurrence)])


def test_it_refuses_other_trouble_of_a_schedule(works):
    with story.refused("not_a_state"):
        put(works, schedule=[line(works, state="x")])
    with story.refused("bad_grace"):
        put(works, schedule=[line(works, grace_minutes=-1)])
    with story.refused("unknown_method", EntryError):
        put(works, schedule=[line(works, method="alchemy")])
    with story.refused("no_lines"):
        put(works)


def test_it_refuses_points_of_another_boiler_or_plant_and_who_may_not(works, elsewhere):
    for point in (works.feed, elsewhere.point):
        with story.refused("not_here"):
            put(works, limit(works, point=point))
        with story.refused("not_here"):
            put(works, schedule=[line(works, point=point)])
    with story.refused("not_here"):
        put(works, limit(works), actor=elsewhere.chemist)
    with pytest.raises(NotAllowed):
        put(works, limit(works), actor=works.supervisor)


def test_it_is_put_in_force_once(works):
    key, since = story.key(), clock.now() + timedelta(hours=1)
    first = put(works, limit(works), schedule=[line(works)], key=key, since=since)
    assert put(works, limit(works), schedule=[line(works)], key=key, since=since) == first
    with story.refused("key_conflict", Exception):
        put(works, limit(works, target="900"), schedule=[line(works)], key=key, since=since)
    assert (Limit.objects.count(), ScheduleLine.objects.count()) == (2, 2)


def test_no_limit_known_is_a_limit_row_that_says_why(works):
    put(works, limit(works, high="", note="between 600 and 1200 psi none is known"))
    with story.later(61):
        found = limits_at(works.point, "steaming", clock.now())["conductivity"]
    assert found is not None and found.limit is None and found.row.note
