"""What the API tells of a plant, and the catalogue of methods."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django_scopes import scope

from chemistry import methods
from records.models import SamplePoint
from tests import factories
from tests.records import story
from tests.records.api.conftest import Program, body


def test_the_plant_its_units_and_for_whom_the_token_acts(works, lab):
    (plant,) = lab.get("plants").json()
    assert plant["id"] == str(works.plant.pk)
    assert plant["units"]["conductivity"] == "umho/cm"
    assert (plant["acts_for"], plant["may_send"]) == ("Tess Tanner", True)


def test_a_boiler_with_its_figures_units_and_state(works, lab):
    (boiler,) = lab.get("boilers", works.plant.pk).json()
    assert boiler["working_pressure"] == {"value": "550", "unit": "psig", "unit_label": "psig"}
    assert boiler["water_mass"] == {"value": "20000", "unit": "kg", "unit_label": "kg"}
    assert (boiler["state"], boiler["state_word"]) == ("steaming", "Steaming")


def test_a_figure_that_is_not_known_is_null(works, lab):
    with scope(plant=works.plant):
        factories.boiler(works.plant, "Boiler 2", water_mass_kg=None)
    assert lab.get("boilers", works.plant.pk).json()[1]["water_mass"] is None


def test_points_say_of_which_boiler_they_are(works, lab):
    found = {each["name"]: each["boiler"] for each in lab.get("points", works.plant.pk).json()}
    assert found == {"Boiler 1 water": str(works.boiler.pk), "Feedwater": None}


def test_the_shelf_says_how_each_stands_today(works, lab):
    with scope(plant=works.plant):
        story.out_of_service(works)
    shelf = lab.get("shelf", works.plant.pk).json()
    stands = {each["name"]: each["standing"] for each in shelf["instruments"]}
    assert stands["Meter on the shelf"] == "out_of_service"
    assert set(stands.values()) == {"in_order", "out_of_service"} and shelf["lots"] == []


def test_what_is_due_and_what_is_no_longer(works, lab):
    due = lab.get("due", works.plant.pk).json()
    first = due["tests"][0]
    assert (first["method"], first["stands"]) == ("conductivity", "missed")
    assert {each["stands"] for each in due["tests"]} == {"missed", "later"}
    with story.later(120):
        now = [each for each in lab.get("due", works.plant.pk).json()["tests"] if each["due_at"]]
        (slot,) = [each["slot"] for each in now if each["stands"] == "now"]
        lab.send(works.plant, body(works, drawn_at="2026-03-10T14:00:00-05:00", slot=slot))
        left = [each["slot"] for each in lab.get("due", works.plant.pk).json()["tests"]]
    assert slot not in left and left


def test_a_retest_names_the_sample_that_it_follows(works, lab):
    with scope(plant=works.plant):
        sample = story.draw(works, "1290")
    due = lab.get("due", works.plant.pk).json()["tests"]
    assert [each["retest_of"] for each in due if each["retest_of"]] == [str(sample.pk)]


def test_programs_with_the_limits_and_schedules_in_force(works, lab):
    with scope(plant=works.plant):
        factories.program(works.plant, works.point, high="1200", target="1000",
                          since=story.clock.now())  # fmt: skip
    programs = {each["name"]: each for each in lab.get("programs", works.plant.pk).json()}
    program = programs["Boiler 1"]
    (limit,) = program["limits"]
    assert (program["version"], limit["high"], limit["target"]) == (2, "1200", "1000")
    assert (limit["unit"], limit["basis_words"]) == ("umho/cm", "not neutralized, at 25 °C")
    assert program["schedule"][0]["recurrence"].startswith("FREQ=DAILY")
    assert programs["Shared water"]["version"] is None and programs["Shared water"]["limits"] == []


@pytest.mark.parametrize("method", methods.METHODS.values(), ids=lambda m: f"{m.key}-{m.version}")
def test_the_catalogue_says_what_the_method_file_says(method):
    shown = Program().get("method", method.key, method.version).json()
    assert (shown["name"], shown["source"]) == (method.name, method.source)
    assert len(shown["steps"]) == len(method.steps)
    asked = {mode["key"]: [f["key"] for f in mode["fields_asked"]] for mode in shown["modes"]}
    assert asked == {mode.key: [f.key for f in mode.fields] for mode in method.modes}
    for mode, told in zip(method.modes, shown["modes"], strict=True):
        for field, said in zip(mode.fields, told["fields_asked"], strict=True):
            assert [each["key"] for each in said["units"]] == list(field.units)
            assert [each["value"] for each in said["choices"]] == [v for v, _ in field.choices]
            assert said["high"] == ("" if field.high is None else f"{field.high:.10g}")


def test_the_catalogue_lists_every_version(db):
    listed = Program().get("methods").json()
    assert {(each["key"], each["version"]) for each in listed} == set(methods.METHODS)
    newest = {each["key"] for each in listed if each["newest"]}
    assert newest == {key for key, _version in methods.METHODS}
    assert Program().get("method", "conductivity", "99").status_code == 404


@pytest.mark.parametrize("name", ["boilers", "points", "shelf", "programs", "due", "sample"])
def test_more_rows_cost_no_more_queries(works, lab, monkeypatch, name):
    # Laying slots asks for each schedule's newest slot: tested in tests/dashboards/test_queries.py.
    monkeypatch.setattr("records.api.views.slots_expand", lambda plant: 0)
    keys = [works.plant.pk, *([story.draw(works, "1290").pk] if name == "sample" else [])]
    counts = []
    for number in (2, 3, 4):
        with scope(plant=works.plant):
            boiler = factories.boiler(works.plant, f"Boiler {number}")
            point = SamplePoint.objects.get(plant=works.plant, boiler=boiler)
            factories.program(works.plant, point)
            story.draw(works, "1290", point=point)
        lab.get(name, *keys)
        with CaptureQueriesContext(connection) as asked:
            assert lab.get(name, *keys).status_code == 200
        counts.append(len(asked))
    assert counts[0] == counts[1] == counts[2] < 25
