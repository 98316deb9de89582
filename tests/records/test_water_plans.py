"""A plan for a whole boiler water: worked out from what was tested, kept as shown, and recorded."""

import json
from datetime import timedelta

import pytest

from records import clock
from records.errors import RecordError
from records.models import Action, FollowUp, Remedy
from records.selectors.plan_inputs import last_typed, remedy_behind
from records.selectors.water_plans import plan_refusal, planned_for, waters_of
from records.services.actions import Done, InputsRefused
from records.services.plants import boiler_state_set
from records.services.water_plans import plan_record, water_plan
from tests import factories
from tests.records import story
from tests.records.bottles import alkalinity, bottle, limited, phosphate, result_in, sulfite

LIMITS = (
    ("conductivity", "umho/cm", "25C|not_neutralized|", "", "1100", "1300"),
    ("phosphate", "mg/L", "any||PO4", "20", "40", "60"),
    ("sulfite", "mg/L", "||SO3", "20", "40", "70"),
    ("p_alkalinity", "mg/L", "||CaCO3", "60", "200", "400"),
)
TYPED = {
    "steam_flow": "40000",
    "feed_conductivity": "60",
    "feed_alkalinity": "10",
    "makeup_temperature": "60",
    "program": "free_caustic",
    "food": "no",
    "phosphate_product": "tsp_crystals",
    "phosphate_strength": "100",
    "caustic_product": "none",
    "sulfite_product": "sodium_sulfite",
    "sulfite_strength": "97",
}
UNITS = {"steam_flow": "lb/h", "feed_conductivity": "umho/cm", "makeup_temperature": "degF"}


def ranged(works):
    """Put the ranges in force an hour ago."""
    with clock.clock_at(clock.now() - timedelta(hours=1)):
        return limited(works, LIMITS)


def drawn(works, conductivity="1500", drops="1", po4="45", p="10", **options):
    """Register the boiler's water twice, twenty minutes apart; returns the second sample."""
    tests = (
        factories.conductivity(conductivity, works.used),
        sulfite(drops),
        phosphate(po4),
        alkalinity(p, str(int(p) + 4)),
    )
    bottle(works, *tests, drawn_at=clock.now() - timedelta(minutes=20))
    return bottle(works, *tests, **options)


def planned(works, sample, **typed):
    found = water_plan(
        actor=works.tester, sample=sample, typed={**TYPED, **typed}, units=UNITS, key=story.key()
    )
    return Remedy.objects.get(pk=found)


@pytest.fixture
def both(works):
    """A boiler's water whose conductivity is high and sulfite low, confirmed."""
    return drawn(ranged(works))


def test_everything_out_of_range_is_planned_for_at_once(works, both):
    assert {each.result.analyte for each in planned_for(both, waters_of(both))} == {
        "conductivity", "sulfite",
    }  # fmt: skip
    remedy = planned(works, both)
    plan = json.loads(remedy.plan)
    assert remedy.refusal == "" and remedy.kind == "whole" and plan["good"] == "True"
    assert plan["valve"] == "continuous" and float(plan["hours"]) > 0.0
    assert "sodium_sulfite" in {each["key"] for each in plan["doses"]}
    for each in plan["expected"]:
        value, width = float(each["value"]), float(each["expanded"])
        assert value - width >= float(each.get("low", "-inf")), each
        assert value + width <= float(each.get("high", "inf")), each


def test_it_is_kept_as_texts_with_all_that_it_was_made_from(works, both):
    remedy = planned(works, both)
    kept = json.loads(remedy.inputs)
    assert kept["typed"]["steam_flow"] == "40000" and kept["units"]["steam_flow"] == "lb/h"
    assert kept["case"]["program"] == "free_caustic" and kept["case"]["water"]["PO4"] == "45"

    def leaves(value):
        if isinstance(value, dict):
            return [leaf for each in value.values() for leaf in leaves(each)]
        return (
            [leaf for each in value for leaf in leaves(each)]
            if isinstance(value, list)
            else [value]
        )

    assert all(isinstance(leaf, str) for leaf in leaves([kept, json.loads(remedy.plan)]))


def test_what_was_tested_earlier_counts_where_this_draw_does_not_say(works):
    """The confirming draw holds only the tests to confirm; alkalinity is of the draw before."""
    ranged(works)
    first = (
        factories.conductivity("1500", works.used), sulfite("1"), phosphate("45"),
        alkalinity("10", "14"),
    )  # fmt: skip
    bottle(works, *first, drawn_at=clock.now() - timedelta(minutes=20))
    sample = bottle(works, factories.conductivity("1480", works.used), sulfite("1"))
    waters = waters_of(sample)
    assert waters["p_alkalinity"].sample.pk != sample.pk
    assert waters["conductivity"].sample.pk == sample.pk
    assert planned(works, sample).refusal == ""


def test_nothing_is_planned_before_the_draw_is_confirmed(works):
    ranged(works)
    sample = bottle(works, factories.conductivity("1500", works.used), alkalinity("10", "14"))
    assert plan_refusal(sample, waters_of(sample)).code == "unconfirmed"
    assert planned(works, sample).refusal == "unconfirmed"


def test_where_all_is_in_range_there_is_nothing_to_plan(works):
    sample = drawn(ranged(works), conductivity="1000", drops="8")
    with story.refused("nothing_out", RecordError):
        planned(works, sample)


@pytest.mark.parametrize(
    ("typed", "refusal"),
    [
        pytest.param({"feed_conductivity": "20", "feed_alkalinity": "90"}, "readings_disagree",
                     id="a feedwater that can't be"),
        pytest.param({"steam_flow": "0"}, "impossible_figure", id="no steam"),
    ],
)  # fmt: skip
def test_it_is_refused_with_its_reason(works, both, typed, refusal):
    remedy = planned(works, both, **typed)
    assert remedy.refusal == refusal and json.loads(remedy.plan)["template"]


def test_a_drop_of_m_too_few_does_not_stop_a_plan(works):
    """20 mg/L between P and M is less than 45 mg/L of phosphate alone takes."""
    ranged(works)
    tests = (
        factories.conductivity("1500", works.used), sulfite("1"), phosphate("45"),
        alkalinity("10", "11"),
    )  # fmt: skip
    bottle(works, *tests, drawn_at=clock.now() - timedelta(minutes=20))
    assert planned(works, bottle(works, *tests)).refusal == ""


def test_without_alkalinity_or_ph_it_names_what_is_missing(works):
    ranged(works)
    tests = factories.conductivity("1500", works.used), sulfite("1")
    bottle(works, *tests, drawn_at=clock.now() - timedelta(minutes=20))
    remedy = planned(works, bottle(works, *tests))
    assert remedy.refusal == "figures_missing" and "ph" in json.loads(remedy.plan)["missing"]


def test_a_chemical_that_the_program_can_not_bear_is_left_out(works, both):
    plan = json.loads(planned(works, both, program="not_sure").plan)
    assert "tsp_crystals" in {key for key, _why in plan["left_out"]}


def test_a_superheater_keeps_chemicals_from_the_feed_line(works, both):
    works.boiler.superheater = True
    works.boiler.save(update_fields=["superheater"])
    plan = json.loads(planned(works, both).plan)
    assert {each["entry"] for each in plan["doses"]} == {"drum"}


def test_what_cannot_be_read_stands_beside_its_field(works, both):
    with pytest.raises(InputsRefused) as caught:
        planned(works, both, steam_flow="abc", program="", feed_alkalinity="")
    assert {key: error.code for key, error in caught.value.by_field.items()} == {
        "steam_flow": "not_a_number", "program": "missing", "feed_alkalinity": "missing",
    }  # fmt: skip
    assert not Remedy.objects.exists()


def test_a_boiler_banked_since_the_draw_is_planned_for_as_it_stands(works, both):
    with story.later(5):
        now = clock.now()
        boiler_state_set(actor=works.tester, boiler=works.boiler, state="banked", since=now)
        with pytest.raises(InputsRefused) as caught:
            planned(works, both)
        assert set(caught.value.by_field) == {"mixed", "fired"}
        remedy = planned(works, both, mixed="no", fired="no")
        assert remedy.refusal == "not_mixed"
        plan = json.loads(planned(works, both, mixed="yes", fired="no").plan)
    # the continuous valve draws from one spot, and nobody said how far the level may fall
    assert plan["valve"] == "" and {key for key, _why in plan["left_out"]} >= {"continuous"}


def done(**changed):
    now = clock.now()
    told = {
        "kind": "blowdown", "done_at": now, "amount": "valve at 3 for 2 h; 500 g sulfite",
        "note": "", "retest_at": now + timedelta(hours=3),
    }  # fmt: skip
    return Done(**{**told, **changed})


def test_what_was_done_is_recorded_for_every_result_and_each_owes_a_retest(works, both):
    plan = planned(works, both)
    plan_record(actor=works.tester, sample=both, plan=plan, done=done(), key=story.key())
    assert {each.remedy_id for each in Action.objects.all()} == {plan.pk}
    owed = FollowUp.objects.filter(why="after_action").values_list("result__analyte", flat=True)
    assert sorted(owed) == ["conductivity", "sulfite"]


def test_sent_twice_it_is_stored_once(works, both):
    plan, key, told = planned(works, both), story.key(), done()
    for _time in range(2):
        plan_record(actor=works.tester, sample=both, plan=plan, done=told, key=key)
    assert Action.objects.count() == 2


def test_a_refused_record_stores_nothing_of_it(works, both):
    plan = planned(works, both)
    with story.refused("amount_needed", RecordError):
        plan_record(
            actor=works.tester, sample=both, plan=plan, done=done(amount=""), key=story.key()
        )
    assert not Action.objects.exists()


def test_the_plan_stands_behind_what_is_done_unless_a_result_has_its_own_advice(works, both):
    plan, result = planned(works, both), result_in(both, "conductivity")
    assert remedy_behind(both, result) == plan and remedy_behind(both, None) is None
    own = Remedy.objects.get(pk=story.plan(works, both, result=result))
    assert remedy_behind(both, result) == own


def test_what_was_typed_for_a_boiler_is_remembered(works, both):
    assert last_typed(works.boiler) == {}
    planned(works, both, phosphate_product="tsp_anhydrous")
    assert last_typed(works.boiler)["phosphate_product"] == "tsp_anhydrous"


def test_another_plants_sample_is_refused(works, both, elsewhere):
    with pytest.raises(RecordError):
        water_plan(actor=elsewhere.tester, sample=both, typed=TYPED, units=UNITS, key=story.key())
