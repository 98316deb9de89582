"""Setting a plant up, boilers' states over time, and the clock that only demo and tests may set."""

from datetime import UTC, datetime, timedelta

import pytest

from records import clock
from records.errors import NotAllowed
from records.models import AuditEvent, Boiler, BoilerState, Plant, Program, SamplePoint
from records.selectors.programs import state_at
from records.selectors.rounds import StateHistory
from records.services.plants import boiler_state_set, point_add
from tests import factories
from tests.records import story


def set_state(works, state, ago=0.0, by=None, **options):
    since = clock.now() - timedelta(hours=ago)
    return boiler_state_set(
        actor=by or works.tester, boiler=works.boiler, state=state, since=since, **options
    )


def test_a_boiler_comes_with_its_program_its_point_and_its_state(works):
    assert Program.objects.get(boiler=works.boiler)
    assert SamplePoint.objects.get(boiler=works.boiler).name == "Boiler 1 water"
    assert state_at(works.boiler, clock.now()) == "steaming"
    assert AuditEvent.objects.filter(verb="boiler added", subject="Boiler 1").exists()


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"name": "Boiler 1"}, "name"),
        ({"name": "x" * 81}, "name"),
        ({"rated_psig": -1.0}, "rated_psig"),
        ({"rated_psig": float("nan")}, "rated_psig"),
        ({"water_mass_kg": 0.0}, "water_mass_kg"),
        ({"steam_kg_h": float("inf")}, "steam_kg_h"),
        ({"kind": "kettle"}, "kind"),
        ({"rated_psig": None}, "rated_psig"),
    ],
)
def test_it_refuses_a_boiler_that_cannot_be(works, figures, field):
    with pytest.raises(Exception) as raised:
        factories.boiler(works.plant, **{"name": "Boiler 9", **figures})
    assert raised.value.field == field and str(raised.value)
    assert Boiler.objects.count() == Program.objects.filter(boiler__isnull=False).count() == 1


def test_set_up_is_the_administrators_and_stays_within_the_plant(works, elsewhere):
    with pytest.raises(NotAllowed):
        point_add(actor=works.chemist, name="X", kind=factories.SampleKind.MAKEUP)
    with story.refused("not_here"):
        point_add(
            actor=factories.founder(works.plant),
            name="X",
            kind=factories.SampleKind.BOILER_WATER,
            boiler=elsewhere.boiler,
        )
    with story.refused("name_taken"):
        point_add(
            actor=factories.founder(works.plant),
            name=" Feedwater ",
            kind=factories.SampleKind.FEEDWATER,
        )


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ({"timezone": "Mars/Olympus"}, "unknown_zone"),
        ({"timezone": "../../etc/passwd"}, "unknown_zone"),
        ({"timezone": ""}, "unknown_zone"),
        ({"organization": " "}, "name_needed"),
    ],
)
def test_it_refuses_a_plant_that_cannot_be(db, options, code):
    with story.refused(code):
        factories.plant("Nowhere", **options)
    assert not Plant.objects.exists()


def test_it_refuses_a_second_plant_of_one_name(works):
    with story.refused("plant_taken"):
        factories.plant("Larkfield Works")
    assert factories.plant("Larkfield Works", organization="Other Mills")


# states


def test_the_newest_entry_for_an_instant_counts_and_earlier_ones_stay(works):
    set_state(works, "banked", ago=2)
    set_state(works, "steaming", ago=2, note="it never was banked")
    assert state_at(works.boiler, clock.now()) == "steaming"
    assert BoilerState.objects.count() == 3
    history = StateHistory(works.plant)
    for hours in range(6):
        instant = clock.now() - timedelta(hours=hours)
        assert history.at(works.boiler, instant) == state_at(works.boiler, instant)


def test_a_state_recorded_twice_is_one_entry(works):
    assert set_state(works, "banked", ago=1) == set_state(works, "banked", ago=1)
    assert BoilerState.objects.filter(state="banked").count() == 1


def test_a_state_back_in_time_does_not_undo_a_later_one(works):
    set_state(works, "banked", ago=1)
    set_state(works, "raising_steam", ago=3)
    assert state_at(works.boiler, clock.now()) == "banked"
    assert state_at(works.boiler, clock.now() - timedelta(hours=2)) == "raising_steam"


def test_it_refuses_a_state_that_cannot_be(works, elsewhere):
    with story.refused("not_a_state"):
        set_state(works, "dancing")
    with story.refused("state_in_future"):
        set_state(works, "banked", ago=-0.1)
    with story.refused("too_long"):
        set_state(works, "banked", note="x" * 201)
    with story.refused("not_here"):
        set_state(works, "banked", by=elsewhere.tester)
    keeper = factories.person(works.plant, "ada", "Ada Admin", factories.Role.ADMINISTRATOR)
    with pytest.raises(NotAllowed):
        set_state(works, "banked", by=factories.actor(keeper, works.plant))


# the clock


def test_the_clock_can_be_set_in_demo_and_tests_only(settings):
    set_to = datetime(2026, 1, 1, tzinfo=UTC)
    with clock.clock_at(set_to):
        assert clock.now() == set_to
    assert clock.now() > set_to
    del settings.CLOCK_MAY_BE_SET
    settings.DEMO = False
    with pytest.raises(RuntimeError), clock.clock_at(set_to):
        pass
    settings.DEMO = True
    with clock.clock_at(set_to):
        assert clock.now() == set_to
