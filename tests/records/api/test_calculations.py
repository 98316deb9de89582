"""The engine's questions through the API: texts in, texts out, nothing stored."""

from types import SimpleNamespace
from typing import Any

import jsonschema
import pytest

from chemistry import calculations
from records.models import Sample
from tests.records.api.conftest import Program, address, reading, stored
from tests.records.api.test_schema import resolved, schema


def worked(lab: Program, key: str, units: dict[str, str] | None = None, **given: Any) -> Any:
    return lab.post(address("calculation", key), {"given": given, "units": units or {}})


@pytest.mark.parametrize("key", sorted(calculations.CALCULATIONS))
def test_each_example_is_answered_as_the_schema_says(lab: Program, key: str) -> None:
    fields = {each.key: each for each in calculations.get(key).fields}
    given = {
        name: reading(typed, fields[name].unit if typed.replace(".", "").isdigit() else "")
        for name, typed in calculations.get(key).example.items()
    }
    answer = worked(lab, key, **given)
    assert answer.status_code == 200, answer.content
    told = schema()["paths"]["/api/v1/calculations/{key}/"]["post"]["responses"]["200"]
    part = told["content"]["application/json"]["schema"]
    jsonschema.validate(answer.json(), resolved(part, schema()), jsonschema.Draft202012Validator)
    assert answer.json()["answers"]


def test_an_answer_comes_in_the_unit_wanted(lab: Program, works: SimpleNamespace) -> None:
    given = {"boiler": reading("5000"), "feed": reading("250")}
    given["steam"] = reading("40000", "lb/h")
    answer = worked(lab, "cycles", {"blowdown": "lb/h"}, **given).json()
    (blowdown,) = [each for each in answer["answers"] if each["key"] == "blowdown"]
    assert (blowdown["value"], blowdown["unit"]) == ("2105", "lb/h")
    assert answer["cautions"] and not stored(works, Sample)


@pytest.mark.parametrize(
    ("given", "units", "place", "told"),
    [
        ({"boiler": reading("abc")}, {}, "#/given/boiler", "is not a number"),
        ({}, {}, "#/given/boiler", "still needed"),
        ({"dial": reading("1")}, {}, "#/given/dial", "Known are: boiler, feed, steam"),
        ({"boiler": reading("5"), "feed": reading("1")}, {"cycles": "psi"}, "#/units/cycles", ""),
        ({"boiler": reading("5"), "feed": reading("1")}, {"x": "psi"}, "#/units/x", "of_feed"),
        ({"boiler": reading("1"), "feed": reading("5")}, {}, "#/given", "above 1"),
        ({"boiler": {"value": 7.1}}, {}, "#/given/boiler/value", "in quotes"),
    ],
)
def test_what_cannot_be_used_is_told_by_place(
    lab: Program, given: Any, units: Any, place: str, told: str
) -> None:
    answer = worked(lab, "cycles", units, **given)
    assert answer.status_code == 422
    faults = {each["pointer"]: each["detail"] for each in answer.json()["errors"]}
    assert told in faults[place]


def test_an_unknown_question_does_not_exist(lab: Program) -> None:
    assert worked(lab, "alchemy").status_code == 404


def test_it_asks_for_a_token() -> None:
    assert worked(Program(), "cycles").status_code == 401
