"""Program versions: never edited, never back-dated over judged draws."""

from datetime import timedelta

import pytest

from records import clock
from records.errors import NotAllowed
from records.limit_library import reference_to, set_of
from records.models import Limit, Program, ProgramVersion, ScheduleLine, Verdict
from records.selectors.programs import limits_at, version_in_force
from tests import factories
from tests.records import story
from tests.records.programs import limit, line, program_of, put


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
        ({"unit": "degC"}, "unit", "wrong_dimension"),
        ({"unit": "furlong"}, "unit", None),
        ({"source": " "}, "source", "missing"),
        ({"source": "x" * 201}, "source", "too_long"),
        ({"note": "x" * 301}, "note", "too_long"),
        ({"state": "dancing"}, "state", "not_a_state"),
        ({"analyte": "phlogiston"}, "analyte", "unknown_analyte"),
        ({}, "analyte", "twice"),
        ({"target": "1100"}, "target", "crossed_limit"),
        ({"guard_band": "-1"}, "guard_band", "guard_band"),
        ({"low": "900", "guard_band": "50"}, "guard_band", "guard_band"),
        ({"high": "", "note": " "}, "note", "note_needed"),
        ({"state": "wet_layup", "confirmed": False}, "confirmed", "unconfirmed"),
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
        # Each of these would keep the laying of slots busy for ever, or stop it with an error.
        "FREQ=DAILY;INTERVAL=0;BYHOUR=6",
        "FREQ=DAILY;INTERVAL=-1;BYHOUR=6",
        "FREQ=DAILY;BYMONTHDAY=32",
        "FREQ=HOURLY;INTERVAL=2;BYHOUR=3",
        "FREQ=MONTHLY;BYDAY=9MO;BYHOUR=3",
        "FREQ=MONTHLY;BYDAY=5MO;BYMONTHDAY=1;BYHOUR=3",
        "FREQ=DAILY;BYHOUR=6;BYHOUR=7",
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
    with story.refused("unknown_method"):
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


def test_all_that_is_wrong_is_told_at_once(works):
    wrong = limit(works, high="lots", source="")
    with pytest.raises(Exception) as raised:
        put(works, limit(works), wrong, schedule=[line(works, "now and then", grace_minutes=-1)])
    told = [(each.row, each.field) for each in raised.value.every]
    assert told == [(1, "high"), (1, "source"), (0, "grace_minutes"), (0, "recurrence")]


@pytest.mark.parametrize(
    ("confidence", "stored"),
    [
        ("from memory", "from memory, confirmed"),
        ("common practice, no source", "common practice, no source, confirmed"),
        ("published", "published"),
        ("decided for this plant", "decided for this plant"),
    ],
)
def test_what_a_chemist_confirmed_says_so(works, confidence, stored):
    put(works, limit(works, confidence=confidence, confirmed=True))
    assert Limit.objects.get(version__number=2).confidence == stored


def test_a_limit_taken_over_as_it_is_needs_no_confirming_again(works):
    same = {"high": "1300", "target": "1100", "confirmed": False}
    put(works, limit(works, **same))
    assert Limit.objects.get(version__number=2).confidence == "common practice, no source"
    with story.refused("unconfirmed"):
        put(works, limit(works, **same | {"high": "1299"}), since=clock.now() + timedelta(days=1))


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"high": "2000"}, None),
        ({"high": "2", "unit": "mS/cm"}, None),
        ({"high": "5000"}, "choose_maximum"),
        ({"high": "", "low": "900"}, "choose_maximum"),
        ({"high": "2000", "low": "100"}, "not_the_sets"),
        ({"high": "5000", "confidence": "decided for this plant"}, None),
    ],
)
def test_a_limit_that_claims_to_be_published_is_as_published(works, change, code):
    """800 to 3800 µS/cm at 451-600 psi: ASME CRTD-Vol. 34 (1994), Table 1, as the set reads it."""
    chosen = set_of("crtd34_watertube_superheater")
    reference = reference_to(chosen, chosen.limit_at("conductivity", "boiler_water", 600.0))
    entry = limit(
        works, proposed=reference, **{"confidence": "published", "unit": "uS/cm"} | change
    )
    if code is None:
        put(works, entry)
        chosen_here = change.get("confidence") or "chosen within a published span"
        assert Limit.objects.get(version__number=2).confidence == chosen_here
        return
    with story.refused(code):
        put(works, entry)


def test_a_guard_band_of_a_temperature_is_a_width(works):
    """1 °F is 5/9 K: NIST SP 811 (2008), Appendix B."""
    feed = {"point": works.feed, "analyte": "deaerator_temperature", "basis": "any||"}
    hot = limit(works, **feed, unit="degF", high="", low="212", guard_band="9")
    put(works, hot, program=Program.objects.get(boiler=None))
    with story.later(61):
        found = limits_at(works.feed, "", clock.now())["deaerator_temperature"]
    assert found.limit.low == pytest.approx(100.0) and found.guard_band == pytest.approx(5.0)
