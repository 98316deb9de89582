"""What happens asks for a draw: once for each cause, at its time, while the boiler's state fits."""

from datetime import timedelta

import pytest

from records import clock
from records.models import DueSlot, EventDraw, Program, ProgramVersion, SlotAnswer
from records.selectors import rounds
from records.selectors.bench import TestEntry
from records.selectors.event_draws import EventEntry
from records.selectors.rounds import Due, line_of, overdue_count, slots_for_round
from records.services.samples import SampleEntry, samples_register
from tests import factories
from tests.records import story

HALF_HOUR = timedelta(minutes=30)


def opened() -> list[DueSlot]:
    return list(DueSlot.objects.filter(event_draw__isnull=False).order_by("due_at"))


def due(slot: DueSlot, early: timedelta = timedelta(0)) -> list[Due]:
    """Return where a slot stands now; nothing where it does not apply."""
    now = clock.now()
    return [each.due for each in line_of(slot, now=now, early=now + early) if each.slot == slot]


# The boiler's state


@pytest.mark.parametrize(
    ("states", "events"),
    [
        pytest.param(["wet_layup", "raising_steam"], ["light_off"], id="lit off from lay-up"),
        pytest.param(["out_of_service", "steaming"], ["light_off"], id="steaming, told at once"),
        pytest.param(
            ["filling", "raising_steam", "steaming"], ["light_off"], id="once a light-off"
        ),
        pytest.param(["banked", "steaming"], [], id="banked is not cold"),
        pytest.param(["wet_layup", "wet_layup"], [], id="no change"),
        pytest.param(["cleaning", "filling"], [], id="cold to cold"),
    ],
)
def test_a_cold_boiler_that_is_fired_is_a_light_off(works, states, events):
    story.events(works, story.after(works, "light_off"))
    for minutes, state in enumerate(states, start=1):
        with story.later(minutes):
            story.set_state(works, state)
    assert [slot.event_draw.event for slot in opened()] == events


def test_each_change_of_state_asks_and_the_same_state_does_not(works):
    story.events(works, story.after(works, "state_change"))
    for minutes, state in enumerate(["banked", "banked", "steaming", "steaming"], start=1):
        with story.later(minutes):
            story.set_state(works, state)
    assert len(opened()) == 2


def test_a_change_told_again_with_an_earlier_hour_is_the_same_change(works):
    story.events(works, story.after(works, "light_off"))
    with story.later(60):
        story.set_state(works, "wet_layup", since=factories.NOON + timedelta(minutes=5))
        story.set_state(works, "raising_steam", since=clock.now() - timedelta(minutes=10))
        story.set_state(works, "raising_steam", since=clock.now() - timedelta(minutes=20))
    assert len(opened()) == 1


def test_the_first_state_of_a_new_boiler_is_no_event(works):
    factories.boiler(works.plant, "Boiler 2")
    assert opened() == []


# What was done


@pytest.mark.parametrize(
    ("kind", "count"), [("dose", 1), ("blowdown", 0), ("valve_set", 0), ("nothing", 0)]
)
def test_a_dose_asks_for_its_draw_half_an_hour_later_and_once(works, kind, count):
    story.events(works, story.after(works, "dose"))
    sample, same = story.draw(works, "1500"), story.key()
    for _again in range(2):
        story.act(works, sample, kind=kind, key=same, note="said")
    assert [(s.happened_at, s.due_at) for s in opened()] == [
        (factories.NOON, factories.NOON + HALF_HOUR)
    ] * count


def test_two_doses_ask_twice(works):
    story.events(works, story.after(works, "dose"))
    sample = story.draw(works, "1500")
    for minutes in (0, 10):
        with story.later(minutes):
            story.act(works, sample, kind="dose")
    assert len(opened()) == 2


def test_only_a_sample_drawn_after_the_event_and_about_its_time_answers(works):
    story.events(works, story.after(works, "blowdown"))
    story.act(works, story.draw(works, "1500"), kind="blowdown")
    slot = opened()[0]
    assert due(slot, early=timedelta(hours=1)) == [Due.LATER], "the water has not changed yet"
    with story.later(10):
        story.draw(works, "1480")
        assert due(slot) == [Due.LATER]
    with story.later(20):
        assert due(slot, early=timedelta(hours=1)) == [Due.NOW]
        soon = clock.now() + timedelta(minutes=45)
        assert rounds.tests_due(works.point, now=clock.now(), early=soon) == ["conductivity"]
        story.draw(works, "1200")
        assert due(slot) == [Due.DONE]


def test_it_is_missed_when_its_grace_passes(works):
    story.events(works, story.after(works, "blowdown", grace_minutes=20))
    story.act(works, story.draw(works, "1500"), kind="blowdown")
    slot = opened()[0]
    for minutes, expected in ((35, Due.OVERDUE), (51, Due.MISSED)):
        with story.later(minutes):
            assert due(slot) == [expected]
            assert overdue_count(works.plant, now=clock.now(), since=factories.NOON) >= 1


def test_what_is_told_late_gets_its_grace_from_then(works):
    story.events(works, story.after(works, "light_off"))
    with story.later(4 * 60):
        story.set_state(works, "out_of_service", since=factories.NOON + timedelta(minutes=1))
        lit = factories.NOON + timedelta(minutes=30)
        story.set_state(works, "steaming", since=lit)
        slot = opened()[0]
        assert (slot.due_at, due(slot)) == (lit + HALF_HOUR, [Due.OVERDUE])
        assert slot.missed_after == clock.now() + timedelta(minutes=90)


def test_a_sample_that_was_drawn_already_answers_what_is_told_late(works):
    story.events(works, story.after(works, "light_off"))
    with story.later(1):
        story.set_state(works, "out_of_service")
    lit = factories.NOON + timedelta(minutes=30)
    for minutes in (20, 55):
        with story.later(minutes):
            drawn = story.draw(works, "900")
    with story.later(120):
        story.set_state(works, "steaming", since=lit)
    assert SlotAnswer.objects.get(slot=opened()[0]).sample == drawn


def test_what_is_told_half_a_day_late_asks_for_nothing(works):
    story.events(works, story.after(works, "light_off"))
    with story.later(12 * 60):
        story.set_state(works, "out_of_service", since=factories.NOON + timedelta(minutes=1))
        story.set_state(works, "steaming", since=factories.NOON + timedelta(minutes=30))
    assert opened() == []


@pytest.mark.parametrize(("state", "applies"), [("", True), ("steaming", True), ("banked", False)])
def test_it_is_owed_while_the_boilers_state_fits_at_its_time(works, state, applies):
    story.events(works, story.after(works, "blowdown", state=state))
    story.act(works, story.draw(works, "1500"), kind="blowdown")
    assert bool(due(opened()[0])) == applies


def test_it_stays_owed_when_another_version_takes_over(works):
    story.events(works, story.after(works, "blowdown"))
    story.act(works, story.draw(works, "1500"), kind="blowdown")
    with story.later(5):
        factories.program(works.plant, works.point, since=clock.now())
        assert due(opened()[0]) == [Due.LATER]


# A result above a trigger. Published: condensate conductivity above 35 µmho/cm asks for a hardness
# test, UFC 3-240-13FN (25 May 2005), 6-3.6.


@pytest.mark.parametrize(
    ("reading", "trigger", "unit", "asked"),
    [
        pytest.param("36", "35", "umho/cm", True, id="above"),
        pytest.param("35", "35", "umho/cm", False, id="on the trigger is not above it"),
        pytest.param("20", "35", "umho/cm", False, id="below"),
        pytest.param("36", "0.035", "mS/cm", True, id="trigger in another unit"),
        pytest.param("34", "0.035", "mS/cm", False, id="below, in another unit"),
    ],
)
def test_condensate_conductivity_above_its_trigger_asks_for_hardness(
    works, reading, trigger, unit, asked
):
    story.events(works, story.hardness_above(works, trigger, unit), point=works.feed)
    sample = story.draw(works, reading, point=works.feed)
    expected = [("hardness_total", sample.pk, sample.drawn_at, [Due.NOW])] if asked else []
    assert [(s.method, s.cause, s.due_at, due(s)) for s in opened()] == expected


def test_a_correction_above_the_trigger_asks_too_and_a_second_one_no_more(works):
    story.events(works, story.hardness_above(works), point=works.feed)
    measurement = story.draw(works, "3.6", point=works.feed).measurements.get()
    assert opened() == []
    for reading in ("36", "37"):
        measurement = story.correct(works, measurement, reading)
    assert len(opened()) == 1


def test_hardness_of_the_same_sample_answers_at_once(works):
    story.events(works, story.hardness_above(works), point=works.feed)
    now = clock.now()
    hardness = TestEntry(
        method="hardness_total",
        version="1",
        mode="drops",
        typed={"end": "2", "per_drop_result": "1", "drop_means": "result"},
    )
    entry = SampleEntry(
        key=story.key(),
        point=works.feed,
        drawn_at=now,
        opened_at=now,
        tests=(factories.conductivity("40", works.used), hardness),
    )
    samples_register(actor=works.tester, entries=[entry])
    assert due(opened()[0]) == [Due.DONE]


def test_a_result_entered_a_day_late_asks_for_the_test_now(works):
    story.events(works, story.hardness_above(works), point=works.feed)
    with story.later(24 * 60):
        story.draw(works, "40", point=works.feed, drawn_at=factories.NOON)
        assert [slot.due_at for slot in opened()] == [clock.now()]


def test_a_version_that_is_over_watches_nothing(works):
    story.events(works, story.hardness_above(works), point=works.feed)
    with story.later(5):
        other = story.after(works, "dose")
        entry = EventEntry(**{**other.__dict__, "point": works.feed})
        story.events(works, entry, point=works.feed)
        story.draw(works, "40", point=works.feed)
    assert opened() == []


def test_the_round_shows_it_beside_what_the_calendar_asks(works):
    story.events(works, story.hardness_above(works), point=works.feed)
    story.draw(works, "40", point=works.feed)
    now = clock.now()
    stands = slots_for_round(
        works.plant, now=now, early=now, since=now, until=now + timedelta(minutes=1)
    )
    assert [each.slot.event_draw.source for each in stands] == ["UFC 3-240-13FN (2005), 6-3.6"]


# The program that asks


def test_the_next_version_takes_the_draws_over_unless_it_gives_its_own(works):
    lit = story.after(works, "light_off", state="steaming")
    story.events(works, story.after(works, "dose"), lit)
    program = Program.objects.get(boiler=works.boiler)

    def kept() -> list[tuple[str, str]]:
        version = ProgramVersion.objects.filter(program=program).latest("number")
        rows = EventDraw.objects.filter(version=version).order_by("id")
        return [(row.event, row.state) for row in rows]

    with story.later(1):
        factories.program(works.plant, works.point, since=clock.now())
        assert kept() == [("dose", ""), ("light_off", "steaming")]
    with story.later(2):
        story.events(works, story.after(works, "blowdown"))
        assert kept() == [("blowdown", "")]
