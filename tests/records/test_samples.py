"""A sample becomes a record by one way only; what can't be is refused and nothing is stored."""

from datetime import timedelta
from uuid import uuid4

import pytest

from records import clock
from records.errors import NotAllowed, RecordError
from records.models import (
    Doubt,
    DueSlot,
    FollowUp,
    InstrumentUse,
    LogSheet,
    Measurement,
    Reading,
    Result,
    Sample,
    Verdict,
    WriteKey,
)
from records.services.plants import boiler_state_set
from records.services.samples import TestsRefused, samples_register
from records.services.slots import slots_expand
from tests import factories
from tests.records import story


def refusals(works, reading="1240", **options) -> dict[str, str]:
    """Return code by field of what is refused; asserts that nothing was stored."""
    point = options.pop("point", works.point)
    test = options.pop("test", None) or factories.conductivity(reading, works.used, **options)
    with pytest.raises(TestsRefused) as raised:
        factories.sample(works.tester, point, test)
    for model in (Sample, Measurement, WriteKey, LogSheet, FollowUp):
        kept = model.objects.filter(plant=works.plant)
        assert not kept.exclude(**_program_key(model)).exists(), model
    by_test = raised.value.by_test
    for errors in by_test.values():
        for error in errors.values():
            assert str(error)
    return {field: e.code for errors in by_test.values() for field, e in errors.items()}


def _program_key(model) -> dict:
    return {"operation": "version_put_in_force"} if model is WriteKey else {"pk": uuid4()}


def test_it_keeps_what_was_typed_beside_what_was_understood(works):
    sample = story.draw(works, " 1240,5 ")
    reading = Reading.objects.get(measurement__sample=sample, field="reading")
    assert (reading.typed, reading.normalized, reading.unit) == (" 1240,5 ", "1240.5", "umho/cm")


def test_it_keeps_a_trailing_zero(works):
    sample = story.draw(works, "7.10", point=works.feed)
    reading = Reading.objects.get(measurement__sample=sample, field="reading")
    assert (reading.typed, reading.normalized) == ("7.10", "7.10")


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        pytest.param("lots", "not_a_number", id="text where a number belongs"),
        pytest.param("", "missing", id="nothing"),
        pytest.param("1,240", "ambiguous_comma", id="a comma that can be two things"),
        pytest.param("-5", "impossible", id="below zero"),
        pytest.param("9e9", "impossible", id="beyond any water"),
        pytest.param("nan", "not_a_number", id="not a number"),
        pytest.param("1240 degC", "wrong_dimension", id="another dimension"),
        pytest.param("1240 blorb", "unknown_unit", id="a unit nobody knows"),
        pytest.param("1240" + " " * 60, "too_long", id="longer than can be kept"),
        pytest.param("12\0", "unknown_unit", id="a sign that can't be stored"),
    ],
)
def test_it_refuses_a_reading_that_cannot_be(works, reading, code):
    assert refusals(works, reading)["reading"] == code


def test_it_refuses_a_temperature_that_cannot_be(works):
    typed = {"temperature": "-5"}
    assert refusals(works, typed=typed) == {"temperature": "impossible"}


def test_it_refuses_unknown_modes_choices_and_methods(works):
    assert refusals(works, mode="guess") == {"mode": "unknown_mode"}
    assert refusals(works, typed={"neutralized": "maybe"}) == {"neutralized": "not_a_choice"}
    entry = factories.conductivity("1240", works.used)
    for change in ({"method": "alchemy"}, {"version": "99"}):
        other = factories.TestEntry(**{**entry.__dict__, **change})
        assert refusals(works, test=other) == {"": "unknown_method"}


def test_it_refuses_a_sample_without_tests(works):
    entry = factories.SampleEntry(
        key="k", point=works.point, drawn_at=clock.now(), opened_at=clock.now(), tests=()
    )
    with story.refused("tests_refused", TestsRefused):
        samples_register(actor=works.tester, entries=[entry])
    assert not Sample.objects.exists()


@pytest.mark.parametrize(
    ("ago", "code"),
    [
        pytest.param(timedelta(minutes=-3), "future_draw", id="three minutes ahead"),
        pytest.param(timedelta(days=30, seconds=1), "old_draw", id="more than thirty days ago"),
    ],
)
def test_it_refuses_a_draw_time_that_cannot_be(works, ago, code):
    with story.refused(code):
        story.draw(works, "1240", drawn_at=clock.now() - ago)
    assert not Sample.objects.exists()


@pytest.mark.parametrize("ago", [timedelta(minutes=-2), timedelta(days=30)])
def test_it_takes_a_draw_on_the_edge(works, ago):
    assert story.draw(works, "1240", drawn_at=clock.now() - ago)


def test_a_late_entry_says_so_and_stands_on_its_own_shifts_sheet(works):
    sample = story.draw(works, "1240", drawn_at=clock.now() - timedelta(hours=8))
    assert sample.late
    assert (sample.shift_name, sample.sheet.shift_name) == ("Night", "Night")
    assert (sample.utc_offset, sample.point_name) == ("-05:00", "Boiler 1 water")
    assert not story.draw(works, "1240").late


def test_it_refuses_what_belongs_to_another_plant(works, elsewhere):
    with story.refused("not_here"):
        story.draw(works, "1240", point=elsewhere.point)
    assert refusals(works, test=factories.conductivity("1240", elsewhere.used)) == {
        "instrument-meter": "not_listed",
        "instrument-cell": "not_listed",
        "instrument-thermometer": "not_listed",
    }


def test_it_refuses_a_slot_of_another_point(works):
    slots_expand(works.plant)
    slot = DueSlot.objects.filter(sample_point=works.point).first()
    with story.refused("not_here"):
        story.draw(works, "60", point=works.feed, slot=slot)
    assert story.draw(works, "1240", slot=slot).slot_answers.get().slot == slot


def test_it_refuses_who_may_not_test(works):
    keeper = factories.person(works.plant, "ada-admin", "Ada Admin", factories.Role.ADMINISTRATOR)
    with pytest.raises(NotAllowed):
        story.draw(works, "1240", by=factories.actor(keeper, works.plant))


def test_an_instrument_out_of_service_needs_a_reason_and_leaves_doubt(works):
    shelf = {**works.used, "meter": story.out_of_service(works)}
    code = {"reason-meter": "reason_needed"}
    assert refusals(works, test=factories.conductivity("1500", shelf)) == code
    long = factories.conductivity("1500", shelf, reasons={"meter": "x" * 301})
    assert refusals(works, test=long) == {"reason-meter": "too_long"}
    test = factories.conductivity("1500", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.tester, works.point, test)
    doubt = Doubt.objects.get()
    assert (doubt.cause, doubt.detail) == ("meter_out_of_service", "the other one broke")
    assert InstrumentUse.objects.get(role="meter").standing == "out_of_service"
    assert Verdict.objects.get().side == "high"
    assert not FollowUp.objects.exists()  # a number in doubt owes nothing by itself


@pytest.mark.parametrize(
    ("figures", "cause"),
    [
        ({"check_failed": True}, "meter_failed"),
        ({"check_due_on": factories.NOON.date() - timedelta(days=1)}, "meter_overdue"),
        ({"check_due_on": factories.NOON.date()}, None),
    ],
)
def test_an_instrument_that_failed_or_is_overdue_leaves_doubt(works, figures, cause):
    meter = factories.instrument_add(
        actor=factories.founder(works.plant), kind="conductivity_meter", name="B", **figures
    )
    used = {**works.used, "meter": str(meter.pk)}
    reasons = {"meter": "no other"}
    factories.sample(
        works.tester, works.point, factories.conductivity("900", used, reasons=reasons)
    )
    assert list(Doubt.objects.values_list("cause", flat=True)) == ([cause] if cause else [])


def test_it_needs_the_instruments_of_the_method(works):
    assert refusals(works, test=factories.conductivity("1240", {})) == {
        "instrument-meter": "missing",
        "instrument-cell": "missing",
    }
    swapped = {**works.used, "meter": works.used["cell"]}
    codes = refusals(works, test=factories.conductivity("1240", swapped))
    assert codes == {"instrument-meter": "not_listed"}


def test_a_sample_whose_state_does_not_fit_is_kept(works):
    boiler_state_set(actor=works.tester, boiler=works.boiler, state="wet_layup", since=clock.now())
    sample = story.draw(works, "1500")
    assert sample.boiler_state == "wet_layup"
    assert Verdict.objects.get().side == "not_judged"


def test_a_boiler_whose_state_is_not_known_is_not_judged(works):
    """Nothing is guessed: the limits while steaming hold for a boiler known to steam."""
    with clock.clock_at(clock.now() - timedelta(days=29)):
        other = factories.boiler(works.plant, "Boiler 2")
        point = factories.SamplePoint.objects.get(boiler=other)
        factories.program(works.plant, point)
        drawn = clock.now() - timedelta(hours=1)
        sample = story.draw(works, "1500", point=point, drawn_at=drawn)
    assert sample.boiler_state == ""
    assert Verdict.objects.get().side == "not_judged"


def test_shared_water_has_no_state_and_is_not_limited_here(works):
    sample = story.draw(works, "60", point=works.feed)
    assert sample.boiler_state == ""
    assert Verdict.objects.get().program_version is None


def test_one_bad_sample_among_many_stores_the_others_and_a_repeat_is_harmless(works):
    entries = [
        factories.SampleEntry(
            key=f"k{n}",
            point=works.point,
            drawn_at=clock.now(),
            opened_at=clock.now(),
            tests=(factories.conductivity(reading, works.used),),
        )
        for n, reading in enumerate(("1100", "x", "1200"))
    ]
    for _ in range(2):
        with pytest.raises(TestsRefused):
            samples_register(actor=works.tester, entries=entries)
    assert Result.objects.get().value == "1100"
    good = [entries[0], entries[2]]
    first = samples_register(actor=works.tester, entries=good)
    assert samples_register(actor=works.tester, entries=good) == first
    assert Sample.objects.count() == 2


def test_every_refusal_has_its_words(works):
    with pytest.raises(RecordError) as raised:
        story.draw(works, "1240", drawn_at=clock.now() - timedelta(days=31))
    assert "30 days" in str(raised.value)
