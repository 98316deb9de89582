"""A remedy is kept as it was shown, or the reason why none was given."""

import json
import math
from dataclasses import replace
from datetime import timedelta

import pytest

from records import clock
from records.models import Remedy, Result, Sample
from records.selectors.programs import state_has_program
from records.selectors.remedies import latest_of_kind
from records.services.actions import InputsRefused, remedy_plan
from records.services.corrections import result_correct
from records.services.plants import boiler_state_set
from tests import factories
from tests.records import story
from tests.records.bottles import bottle, limited, phosphate, result_in


def planned(works, sample, **options) -> Remedy:
    return Remedy.objects.get(pk=story.plan(works, sample, **options))


def test_it_keeps_the_plan_and_its_inputs_as_texts(works):
    remedy = planned(works, story.confirmed(works, "1500"))
    assert remedy.refusal == ""
    plan, inputs = json.loads(remedy.plan), json.loads(remedy.inputs)
    assert plan["valve"] == "continuous" and float(plan["predicted"]) < 1300
    assert inputs["typed"] == story.REMEDY_TYPED and inputs["case"]["target"] == "1100"
    leaves = [v for v in plan.values() if not isinstance(v, list)]
    assert all(isinstance(leaf, str) for leaf in leaves)


def refusal_of(works, sample, **options) -> str:
    return planned(works, sample, **options).refusal


def test_it_refuses_for_a_result_that_is_in_range(works):
    assert refusal_of(works, story.draw(works, "1000"), typed={}) == "in_range"


def test_it_refuses_where_no_limit_is_in_force(works):
    assert refusal_of(works, story.draw(works, "60", point=works.feed)) == "no_limit"


def test_it_refuses_a_result_in_doubt(works):
    shelf = {**works.used, "meter": story.out_of_service(works)}
    test = factories.conductivity("1500", shelf, reasons={"meter": "no other"})
    pk = factories.sample(works.tester, works.point, test)
    assert refusal_of(works, Sample.objects.get(pk=pk)) == "in_doubt"


def test_it_refuses_a_result_that_was_corrected(works):
    """An advice on a number that was withdrawn would be followed."""
    sample = story.confirmed(works, "1500")
    old = story.result_of(sample)
    story.correct(works, sample.measurements.get(), "1450")
    assert refusal_of(works, sample, result=old) == "corrected"
    assert refusal_of(works, sample) == ""


def test_it_refuses_a_proposal_that_nobody_signed(works):
    sample = story.draw(works, "1500")
    story.signed(works, sample.sheet)
    proposed = story.correct(works, sample.measurements.get(), "1900")
    assert refusal_of(works, sample, result=proposed.results.get()) == "corrected"


def test_it_refuses_where_the_boiler_no_longer_steams(works):
    sample = story.confirmed(works, "1500")
    with story.later(10):
        boiler_state_set(actor=works.tester, boiler=works.boiler, state="banked", since=clock.now())
        assert refusal_of(works, sample) == "not_steaming"


def test_bad_figures_stand_beside_their_fields(works):
    sample = story.draw(works, "1500")
    with pytest.raises(InputsRefused) as raised:
        story.plan(works, sample, typed={"steam_flow": "much", "makeup_temperature": ""})
    codes = {field: error.code for field, error in raised.value.by_field.items()}
    assert codes == {"steam_flow": "not_a_number", "makeup_temperature": "missing"}
    assert not Remedy.objects.exists()


def test_it_refuses_another_plants_result(works, elsewhere):
    with factories.scope(plant=elsewhere.plant):
        foreign = story.result_of(story.draw(elsewhere, "1500"))
    with story.refused("not_here"):
        story.plan(works, story.draw(works, "1500"), result=foreign)


def latest_feed(works):
    return latest_of_kind(works.plant, "feedwater", "conductivity", clock.now())


def test_the_latest_feedwater_is_the_one_that_counts(works):
    first = story.draw(works, "60", point=works.feed)
    assert latest_feed(works) == story.result_of(first)
    with story.later(5):
        story.correct(works, first.measurements.get(), "65")
        assert latest_feed(works).value == "65.0"
    with story.later(37 * 60):
        assert latest_feed(works) is None


def test_feedwater_whose_correction_is_in_doubt_is_not_known(works):
    first = story.draw(works, "60", point=works.feed)
    shelf = {**works.used, "meter": story.out_of_service(works)}
    entry = factories.conductivity("80", shelf, reasons={"meter": "no other"})
    result_correct(
        actor=works.tester,
        measurement=first.measurements.get(),
        entry=entry,
        reason="other meter",
        key=story.key(),
    )
    assert latest_feed(works) is None


def test_the_program_of_a_state_is_told_by_limits_or_schedule(works):
    now = clock.now()
    assert state_has_program(works.point, "steaming", now)
    assert not state_has_program(works.point, "banked", now)
    assert state_has_program(works.feed, "", now)  # no program: nothing to differ from


DOSE_TYPED = {
    "program": "free_caustic",
    "chemical": "tsp_crystals",
    "strength": "98",
    "steam_flow": "8000",
    "feed_conductivity": "60",
    "boiler_conductivity": "1260",
    "next_test": "8",
}


def salted(works, reading: str) -> Result:
    """Two bottles that say the same of the phosphate; returns the second's result."""
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        limited(works)
    bottle(works, phosphate(reading), drawn_at=clock.now() - timedelta(minutes=20))
    return result_in(bottle(works, phosphate(reading)), "phosphate")


def dose(works, result: Result, **typed: str) -> Remedy:
    """Ask for the remedy of a phosphate result."""
    pk = remedy_plan(
        actor=works.tester,
        result=result,
        typed={**DOSE_TYPED, **typed},
        units={"steam_flow": "kg/h"},
        key=story.key(),
    )
    return Remedy.objects.get(pk=pk)


def test_a_dose_is_worked_out_and_kept_with_what_was_chosen(works):
    """By hand: 20 mg/L in 20 t are 400 g PO4, 400 / 0.2498 / 0.98 = 1634 g of crystals."""
    remedy = dose(works, salted(works, "20"))
    plan, inputs = json.loads(remedy.plan), json.loads(remedy.inputs)
    assert (remedy.kind, remedy.refusal) == ("dose_phosphate", "")
    assert float(plan["dose_kg"]) == pytest.approx(1.634, abs=5e-4)
    assert inputs["typed"] == DOSE_TYPED and inputs["case"]["program"] == "free_caustic"


def test_too_much_phosphate_asks_for_the_feed_to_rest(works):
    """By hand: 20 t blown at 8000 / (1260 / 60 - 1) = 400 kg/h: 50 h ln(70 / 40) is over a day."""
    result = salted(works, "70")
    remedy = dose(works, result)
    assert (remedy.kind, remedy.refusal) == ("feed_stop", "too_slow")
    faster = dose(works, result, boiler_conductivity="360")
    assert float(json.loads(faster.plan)["hours"]) == pytest.approx(12.5 * math.log(70 / 40), 1e-4)


@pytest.mark.parametrize(
    ("typed", "field", "code"),
    [
        ({"chemical": "salt"}, "chemical", "not_a_choice"),
        ({"program": ""}, "program", "missing"),
        ({"strength": "120"}, "strength", "impossible"),
        ({"next_test": "0"}, "next_test", "impossible"),
    ],
)
def test_what_a_dose_can_not_be_worked_from_stands_beside_its_field(works, typed, field, code):
    with pytest.raises(InputsRefused) as raised:
        dose(works, salted(works, "20"), **typed)
    assert {key: error.code for key, error in raised.value.by_field.items()} == {field: code}
    assert not Remedy.objects.exists()


@pytest.mark.parametrize(
    ("reading", "typed", "refusal"),
    [
        ("20", {"program": "congruent"}, "congruent"),
        ("20", {"program": "not_sure"}, "program_not_known"),
        ("20", {"boiler_conductivity": "60"}, "impossible_figure"),
        ("45", {}, "in_range"),
    ],
)
def test_a_dose_is_refused_with_its_reason(works, reading, typed, refusal):
    assert dose(works, salted(works, reading), **typed).refusal == refusal


def test_nothing_is_worked_out_of_a_first_draw(works):
    assert refusal_of(works, story.draw(works, "1500")) == "unconfirmed"


def test_nothing_is_worked_out_of_a_reading_off_the_scale(works):
    """How much too much is not known: a diluted sample says."""
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        limited(works)
    over = replace(phosphate(""), typed={**phosphate("").typed, "scale": "above"})
    bottle(works, over, drawn_at=clock.now() - timedelta(minutes=20))
    result = result_in(bottle(works, over), "phosphate")
    assert (result.qualifier, result.verdicts.get().side) == (">", "high")
    assert dose(works, result).refusal == "off_scale"
