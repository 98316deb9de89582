"""The schema is valid OpenAPI, complete, and what is answered fits it; no request makes a 500."""

import json
from functools import cache
from types import SimpleNamespace
from typing import Any
from urllib.parse import quote

import jsonschema
import pytest
import schemathesis
from django.test import Client
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from openapi_spec_validator import validate

from records.api.problems import MEDIA_TYPE
from records.api.schema import WORDS
from records.api.urls import urlpatterns
from tests.records import story
from tests.records.api.conftest import Program, address, body, conductivity

REQUESTS = {"get", "post", "put", "patch", "delete"}


@cache
def schema() -> dict[str, Any]:
    answer = Client().get(address("schema"), {"format": "json"})
    assert answer.status_code == 200
    return json.loads(answer.content)  # type: ignore[no-any-return]


def resolved(part: Any, whole: dict[str, Any]) -> Any:
    """Return a part of the schema that stands by itself."""
    return {**part, "components": whole["components"]}


def test_it_is_valid_openapi_with_every_address(db: None) -> None:
    whole = schema()
    assert whole["openapi"] == "3.1.1"
    validate(whole)
    assert len(whole["paths"]) == len(urlpatterns) - 2  # but the schema's own, and what is none


def test_it_is_served_as_yaml_too(db: None) -> None:
    answer = Client().get(address("schema"))
    assert answer["Content-Type"].startswith("application/vnd.oai.openapi")
    assert answer.content.startswith(b"openapi: 3.1.1")


def test_each_address_says_its_refusals(db: None) -> None:
    for path, item in schema()["paths"].items():
        for method in REQUESTS & set(item):
            answers = item[method]["responses"]
            refusals = {status for status in answers if int(status) >= 400}
            for status in refusals:
                assert set(answers[status]["content"]) == {MEDIA_TYPE}
                assert answers[status]["description"] == WORDS[int(status)]
            secured = bool(item[method].get("security"))
            assert ("401" in refusals) == secured == ("/plants/" in path or method == "post")


@pytest.mark.parametrize(
    ("name", "path"),
    [
        ("plants", "plants/"),
        ("boilers", "plants/{plant}/boilers/"),
        ("points", "plants/{plant}/points/"),
        ("shelf", "plants/{plant}/shelf/"),
        ("due", "plants/{plant}/due/"),
        ("programs", "plants/{plant}/programs/"),
        ("sample", "plants/{plant}/samples/{sample}/"),
        ("methods", "methods/"),
        ("calculations", "calculations/"),
    ],
)
def test_what_is_answered_fits_it(
    works: SimpleNamespace, lab: Program, name: str, path: str
) -> None:
    whole = schema()
    told = whole["paths"][f"/api/v1/{path}"]["get"]["responses"]["200"]
    keys = [works.plant.pk] if "{plant}" in path else []
    keys += [story.draw(works, "1500").pk] if "{sample}" in path else []
    got = lab.get(name, *keys).json()
    part = told["content"]["application/json"]["schema"]
    jsonschema.validate(got, resolved(part, whole), jsonschema.Draft202012Validator)
    assert got


@pytest.mark.parametrize("reading", ["1500", "abc"])
def test_what_is_answered_to_a_sample_fits_it(
    works: SimpleNamespace, lab: Program, reading: str
) -> None:
    whole, sent = schema(), body(works, conductivity(works, reading))
    operation = whole["paths"]["/api/v1/plants/{plant}/samples/"]["post"]
    asked = operation["requestBody"]["content"]["application/json"]["schema"]
    jsonschema.validate(sent, resolved(asked, whole), jsonschema.Draft202012Validator)
    answer = lab.send(works.plant, sent)
    told = operation["responses"][str(answer.status_code)]["content"]
    part = told[answer["Content-Type"]]["schema"]
    jsonschema.validate(answer.json(), resolved(part, whole), jsonschema.Draft202012Validator)


@settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(data=st.data())
@pytest.mark.parametrize(
    "path", ["/api/v1/plants/{plant}/samples/", "/api/v1/plants/{plant}/samples/{sample}/",
             "/api/v1/methods/{key}/{version}/", "/api/v1/calculations/{key}/"],
)  # fmt: skip
def test_no_request_that_the_schema_allows_makes_a_fault_of_ours(
    works: SimpleNamespace, lab: Program, path: str, data: Any
) -> None:
    """Arbitrary requests after the schema (schemathesis), at the plant that the token opens."""
    whole = schema()
    (method,) = REQUESTS & set(whole["paths"][path])
    case = data.draw(schemathesis.openapi.from_dict(whole)[path][method.upper()].as_strategy())
    given_keys = case.path_parameters if isinstance(case.path_parameters, dict) else {}
    keys = {name: quote(str(key), safe="") for name, key in given_keys.items()}
    url = path.format(**keys | {"plant": works.plant.pk})
    sent = json.dumps(case.body) if method == "post" else ""
    answer = lab.ask(method.upper(), url, sent)
    assert str(answer.status_code) in whole["paths"][path][method]["responses"]
