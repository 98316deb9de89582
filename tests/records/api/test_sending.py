"""A sample sent with its raw readings: worked, judged, stored once, and told what follows."""

from types import SimpleNamespace
from typing import Any

import pytest
from django.apps import apps
from django_scopes import scope, scopes_disabled

from chemistry.plausibility import Suspicion
from records.api.refusals import doubts_left
from records.models import DueSlot, FollowUp, Measurement, Reading, Sample, SentSample
from records.services.slots import slots_expand
from tests import factories
from tests.dashboards.conftest import at_desk
from tests.dashboards.page import Page
from tests.records import story
from tests.records.api.conftest import (
    address,
    body,
    conductivity,
    faults,
    program_of,
    reading,
    stored,
)

EARLIER = "2026-03-10T11:40:00-05:00"


def everything() -> dict[str, int]:
    """Return how many rows there are of each kind."""
    with scopes_disabled():
        models = apps.get_app_config("records").get_models()
        return {model.__name__: model._base_manager.count() for model in models}


def result_of(answer: Any) -> dict[str, Any]:
    assert answer.status_code in (200, 201), answer.content
    (result,) = answer.json()["tests"][0]["results"]
    return result


def owed_after(answer: Any) -> list[tuple[str, str]]:
    """Return what is owed after a sample, each with its reason."""
    return [(each["kind"], each["why"]) for each in answer.json()["follow_ups"]]


def numbers_in(value: Any) -> list[Any]:
    """Return every bare number in an answer."""
    if isinstance(value, dict):
        return [found for each in value.values() for found in numbers_in(each)]
    if isinstance(value, list):
        return [found for each in value for found in numbers_in(each)]
    return [value] if isinstance(value, int | float) and not isinstance(value, bool) else []


def test_it_is_worked_with_all_that_makes_the_number_mean_something(works, lab):
    result = result_of(lab.send(works.plant, body(works, conductivity(works, "1500"))))
    assert (result["value"], result["unit"], result["qualifier"]) == ("1500", "uS/cm", "")
    assert result["expanded_uncertainty"] and result["coverage_factor"] == "2.000"
    assert result["basis"] == "25C|not_neutralized|"
    assert result["basis_words"] == "not neutralized, at 25 °C"


def test_it_is_the_bench_sheets_own_result(works, lab):
    """The same readings give the same stored texts by both ways."""
    sent = result_of(lab.send(works.plant, body(works, conductivity(works, "1500"))))
    drawn = story.result_of(story.draw(works, "1500", by=works.mate))
    assert (sent["value"], sent["expanded_uncertainty"]) == (drawn.value, drawn.expanded)


@pytest.mark.parametrize(
    ("typed", "side", "near", "owed", "offered"),
    [
        ("1500", "high", False, [("retest", "confirm")], False),
        ("1290", "in_range", True, [("retest", "near_limit")], None),
        ("1100", "in_range", False, [], None),
    ],
)
def test_it_is_judged_and_told_what_follows(works, lab, typed, side, near, owed, offered):
    answer = lab.send(works.plant, body(works, conductivity(works, typed)))
    result = result_of(answer)
    assert (result["verdict"]["side"], result["verdict"]["near_limit"]) == (side, near)
    assert result["verdict"]["limit"]["high"] == "1300"
    assert owed_after(answer) == owed
    assert (result["remedy"] or {"offered": None})["offered"] is offered


def test_a_second_draw_that_says_the_same_owes_an_answer_and_is_offered_a_remedy(works, lab):
    first = lab.send(works.plant, body(works, conductivity(works, "1500"), drawn_at=EARLIER))
    second = lab.send(works.plant, body(works, conductivity(works, "1480")))
    assert "not confirmed" in result_of(first)["remedy"]["why_not"]
    assert owed_after(second) == [("answer", "high")]
    assert result_of(second)["remedy"] == {"offered": True, "why_not": ""}
    (settled,) = lab.get("sample", works.plant.pk, first.json()["id"]).json()["follow_ups"]
    assert (settled["why"], settled["settled"]) == ("confirm", True)


def test_why_no_remedy_is_offered_is_told(works, lab):
    with scope(plant=works.plant):
        factories.program(works.plant, works.point, target="", since=story.clock.now())
    lab.send(works.plant, body(works, conductivity(works, "1500"), drawn_at=EARLIER))
    remedy = result_of(lab.send(works.plant, body(works, conductivity(works, "1500"))))["remedy"]
    assert remedy["offered"] is False and "no target" in remedy["why_not"]


def test_a_result_in_doubt_owes_nothing_and_is_not_judged(works, lab):
    with scope(plant=works.plant):
        meter = story.out_of_service(works)
    test = conductivity(works, "1500") | {
        "instruments": works.used | {"meter": meter},
        "reasons": {"meter": "the other one broke"},
    }
    answer = lab.send(works.plant, body(works, test))
    result = result_of(answer)
    assert answer.json()["tests"][0]["in_doubt"] == ["the other one broke"]
    assert result["verdict"]["side"] == "not_judged" and result["remedy"] is None
    assert answer.json()["follow_ups"] == []


def test_a_corrected_result_is_shown_as_it_counts_now(works, lab):
    with scope(plant=works.plant):
        sample = story.confirmed(works, "1500")
        story.correct(works, sample.measurements.get(), "1510")
    shown = lab.get("sample", works.plant.pk, sample.pk)
    assert result_of(shown)["value"] == "1510"
    assert result_of(shown)["remedy"] == {"offered": True, "why_not": ""}


def test_no_bare_number_but_the_version_of_a_program(works, lab):
    answer = lab.send(works.plant, body(works, conductivity(works, "1500")))
    assert numbers_in(answer.json()) == [1]
    assert result_of(answer)["verdict"]["program_version"] == 1


def test_what_was_typed_is_kept_as_typed(works, lab):
    test = conductivity(works)
    test["readings"]["reading"] = reading("1,24", "mS/cm")
    answer = lab.send(works.plant, body(works, test))
    with scope(plant=works.plant):
        row = Reading.objects.get(field="reading")
    assert (row.typed, row.normalized, row.unit) == ("1,24", "1.24", "mS/cm")
    assert answer.json()["tests"][0]["readings"]["reading"]["typed"] == "1,24"


@pytest.mark.parametrize(
    ("value", "unit"),
    [
        ("1240", "umho/cm"),
        ("1240", "µS/cm"),
        ("1.24", "mS/cm"),
        ("1,24 mS/cm", ""),
        ("124", "mS/m"),
    ],
)
def test_a_unit_is_read_as_people_write_it(works, lab, value, unit):
    test = conductivity(works)
    test["readings"]["reading"] = reading(value, unit)
    assert result_of(lab.send(works.plant, body(works, test)))["value"] == "1240"


def test_it_is_the_testers_and_says_by_which_token(works, lab):
    key = lab.send(works.plant, body(works)).json()["id"]
    with scope(plant=works.plant):
        sample = Sample.objects.get(pk=key)
        assert (sample.by, sample.terminal) == (works.people["tester"], None)
        sent_by = SentSample.objects.get(sample=sample).token
    assert sent_by.user == works.people["tester"]
    page = Page(at_desk(works.people["supervisor"]).get(f"/plants/{works.plant.pk}/samples/{key}"))
    assert "1240" in page.words
    assert f"sent with the token {sent_by.label}" in page.words


def test_it_answers_the_slot_that_was_due(works, lab):
    with scope(plant=works.plant):
        slots_expand(works.plant)
        slot = DueSlot.objects.filter(sample_point=works.point, due_at__gte=story.clock.now())
        slot = slot.earliest("due_at")
    sent = body(works, drawn_at="2026-03-10T11:59:00-05:00", slot=str(slot.pk))
    with story.later(60):
        again = body(works, drawn_at="2026-03-10T13:00:00-05:00", slot=str(slot.pk))
        assert lab.send(works.plant, again).json()["slots_answered"] == [str(slot.pk)]
    assert lab.send(works.plant, sent).json()["slots_answered"] == []


def test_a_retest_that_it_answers_is_settled(works, lab):
    first = lab.send(works.plant, body(works, conductivity(works, "1290"))).json()
    with story.later(61):
        lab.send(works.plant, body(works, drawn_at="2026-03-10T13:00:00-05:00"))
    shown = lab.get("sample", works.plant.pk, first["id"]).json()
    assert [each["settled"] for each in shown["follow_ups"]] == [True]


def test_a_dry_run_answers_alike_and_stores_nothing(works, lab):
    sample = body(works, conductivity(works, "1500"))
    lab.get("plants")  # notes the day of the token's use
    before = everything()
    tried = lab.send(works.plant, sample | {"dry_run": True})
    assert tried.status_code == 200 and everything() == before
    really = lab.send(works.plant, sample)
    assert really.status_code == 201 and everything() != before
    assert really["Location"] == address("sample", works.plant.pk, really.json()["id"])
    assert tried.json() == really.json() | {"id": None, "dry_run": True}


def test_a_dry_run_is_refused_as_the_sample_would_be(works, lab):
    bad = body(works, conductivity(works, "1240", instruments={}))
    tried, really = (lab.send(works.plant, bad | {"dry_run": dry}) for dry in (True, False))
    assert (tried.status_code, tried.json()) == (really.status_code, really.json())
    assert tried.status_code == 422 and not stored(works, Sample)


def test_a_repeat_is_stored_once_and_answered_alike(works, lab):
    sample = body(works, conductivity(works, "1500"))
    first = lab.send(works.plant, sample)
    with story.later(10):
        again = lab.send(works.plant, sample)
    assert (again.status_code, again.json()) == (first.status_code, first.json())
    assert stored(works, Sample) == stored(works, FollowUp) == 1


def test_another_body_under_the_key_is_a_conflict(works, lab):
    sample = body(works)
    lab.send(works.plant, sample)
    answer = lab.send(works.plant, sample | {"note": "another"})
    assert answer.status_code == 409 and "new key" in answer.json()["detail"]
    assert stored(works, Sample) == 1


def test_a_key_is_its_persons_own(works, lab):
    sample = body(works)
    lab.send(works.plant, sample)
    other = program_of(works.people["mate"], works.plant)
    assert other.send(works.plant, sample).status_code == 201
    assert stored(works, Sample) == 2


def test_a_doubt_is_told_with_the_token_that_confirms_it(works, lab):
    for minutes in range(6):
        with story.later(minutes - 30):
            story.draw(works, f"{1100 + minutes}", by=works.mate)
    sample = body(works, conductivity(works, "11000"))
    asked = lab.send(works.plant, sample)
    assert asked.status_code == 422 and not stored(works, SentSample)
    (fault,) = asked.json()["errors"]
    assert fault["pointer"] == "#/tests/0/confirmed" and "confirm it" in fault["detail"]
    sample["tests"][0]["confirmed"] = [fault["token"]]
    answer = lab.send(works.plant, sample)
    assert answer.status_code == 201
    assert answer.json()["tests"][0]["confirmed"] == [fault["token"]]


def test_a_doubt_that_was_confirmed_is_not_told_again():
    doubts = [Suspicion(code, "Look: %(what)s", {"what": code}, None) for code in ("one", "two")]
    asked = SimpleNamespace(
        suspicions=doubts, to_confirm="t1 t2", entry=SimpleNamespace(confirmed="t1")
    )
    (left,) = doubts_left(0, asked)
    assert (left.code, left.token) == ("two", "t2") and left.detail.startswith("Look: two")


def test_several_tests_stand_on_one_sample(works, lab):
    glass = {"method": "gauge_glass", "version": "1", "mode": "glass"}
    glass["readings"] = {"glass": {"value": "worked"}, "witness": {"value": "Milo"}}
    answer = lab.send(works.plant, body(works, conductivity(works), glass)).json()
    assert [test["method"] for test in answer["tests"]] == ["conductivity", "gauge_glass"]
    (outcome,) = answer["tests"][1]["outcomes"]
    assert (outcome["outcome"], outcome["witness"]) == ("worked", "Milo")
    twice = lab.send(works.plant, body(works, conductivity(works), conductivity(works)))
    assert list(faults(twice)) == ["#/tests/1/method"]
    assert stored(works, Measurement) == 2
