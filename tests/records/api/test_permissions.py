"""Which token opens what: one table, complete by a comparison with the URL conf."""

from types import SimpleNamespace

import pytest
from django_scopes import scope

from records.api.urls import urlpatterns
from records.models import Role
from records.services.people import roles_end
from tests import factories
from tests.dashboards.conftest import administrator, at_desk, member_of
from tests.records import story
from tests.records.api.conftest import Program, address, program_of, token_for

# An empty body is sent: 422 says that the token may, and that nothing was written.
MATRIX = [
    # name, method, tester, reads only, supervisor, chemist, outsider, nobody
    ("plants", "get", 200, 200, 200, 200, 200, 401),
    ("boilers", "get", 200, 200, 200, 200, 404, 401),
    ("points", "get", 200, 200, 200, 200, 404, 401),
    ("shelf", "get", 200, 200, 200, 200, 404, 401),
    ("due", "get", 200, 200, 200, 200, 404, 401),
    ("programs", "get", 200, 200, 200, 200, 404, 401),
    ("samples", "post", 422, 403, 422, 422, 404, 401),
    ("sample", "get", 200, 200, 200, 200, 404, 401),
    # of no plant: whoever has a token may ask
    ("calculation", "post", 422, 422, 422, 422, 422, 401),
]
# Addresses that hold nothing of a plant, and what whoever comes is answered.
PUBLIC = {"methods": 200, "method": 200, "calculations": 200, "schema": 200, "nothing": 404}
ROWS = [pytest.param(*row, id=row[0]) for row in MATRIX]
PUBLIC_KEYS = {"method": ["conductivity", "1"], "nothing": ["no/such/address"]}


def keys_of(name: str, works: SimpleNamespace) -> list[object]:
    """Return the keys of an address of the plant, with a sample of it where one is meant."""
    if name == "plants":
        return []
    if name == "calculation":
        return ["cycles"]
    sample = [story.draw(works, "1240").pk] if name == "sample" else []
    return [works.plant.pk, *sample]


def asked(program: Program, method: str, name: str, keys: list[object]) -> int:
    url = address(name, *keys)
    answer = program.post(url, {}) if method == "post" else program.get(name, *keys)
    assert (answer.status_code < 300) == (answer["Content-Type"] == "application/json")
    return int(answer.status_code)


def test_every_url_is_in_the_table() -> None:
    assert {str(each.name) for each in urlpatterns} == {row[0] for row in MATRIX} | set(PUBLIC)


@pytest.mark.parametrize(
    ("name", "method", "tester", "reads", "supervisor", "chemist", "outsider", "nobody"), ROWS
)
def test_each_token_gets_what_the_table_says(
    works: SimpleNamespace,
    dairy: SimpleNamespace,
    name: str,
    method: str,
    tester: int,
    reads: int,
    supervisor: int,
    chemist: int,
    outsider: int,
    nobody: int,
) -> None:
    keys = keys_of(name, works)
    cast = {
        "tester": program_of(works.people["tester"], works.plant),
        "reads": program_of(works.people["tester"], works.plant, may_send=False),
        "supervisor": program_of(works.people["supervisor"], works.plant),
        "chemist": program_of(works.people["chemist"], works.plant),
        "outsider": program_of(dairy.people["chemist"], dairy.plant),
        "nobody": Program(),
    }
    got = {who: asked(program, method, name, keys) for who, program in cast.items()}
    assert got == {
        "tester": tester,
        "reads": reads,
        "supervisor": supervisor,
        "chemist": chemist,
        "outsider": outsider,
        "nobody": nobody,
    }


@pytest.mark.parametrize("name", PUBLIC)
def test_public_addresses_answer_whoever_comes(db: None, name: str) -> None:
    answer = Program().get(name, *PUBLIC_KEYS.get(name, []))
    assert answer.status_code == PUBLIC[name]


def test_a_token_is_for_one_plant_whatever_else_its_person_sees(
    works: SimpleNamespace, dairy: SimpleNamespace
) -> None:
    both = works.people["tester"]
    member_of(dairy.plant, both, *Role)
    program = program_of(both, works.plant)
    assert [each["name"] for each in program.get("plants").json()] == [works.plant.name]
    assert program.get("boilers", dairy.plant.pk).status_code == 404


def test_a_refusal_says_whether_the_token_or_the_role_may_not(works: SimpleNamespace) -> None:
    sender = works.people["tester"]
    looks = program_of(sender, works.plant, may_send=False).send(works.plant, {})
    assert "only looks" in looks.json()["detail"]
    program = program_of(sender, works.plant)
    member_of(works.plant, sender, Role.ADMINISTRATOR)
    with scope(plant=works.plant):
        roles_end(actor=factories.founder(works.plant), user=sender, roles=[Role.TESTER])
    assert "Your role" in program.send(works.plant, {}).json()["detail"]
    assert program.get("due", works.plant.pk).status_code == 403


def test_another_plants_sample_does_not_exist(
    works: SimpleNamespace, dairy: SimpleNamespace
) -> None:
    sample = story.draw(works, "1240")
    theirs = program_of(dairy.people["chemist"], dairy.plant)
    assert theirs.get("sample", dairy.plant.pk, sample.pk).status_code == 404


def test_no_session_opens_the_api(works: SimpleNamespace) -> None:
    browser = at_desk(works.people["chemist"])
    assert browser.get(address("boilers", works.plant.pk)).status_code == 401


def test_an_administrators_token_can_be_made_for_who_sees_results_only(
    works: SimpleNamespace,
) -> None:
    with story.refused("sees_nothing"):
        token_for(administrator(works.plant), works.plant)


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
def test_what_is_read_only_is_not_written(works: SimpleNamespace, method: str) -> None:
    secret = token_for(works.people["chemist"], works.plant)
    program = Program(secret)
    for name in ("plants", "boilers", "programs", "due", "shelf", "points", "methods"):
        keys = [] if name in ("plants", "methods") else [works.plant.pk]
        answer = program.ask(method.upper(), address(name, *keys), "{}")
        assert answer.status_code == 405 and set(answer["Allow"].split(", ")) == {"GET", "OPTIONS"}


@pytest.mark.parametrize(
    "header",
    ["Bearer", "Bearer ", "Bearer wst_none", "Bearer é", "Basic abc", "Bearer " + "x" * 999],
)
def test_a_token_that_is_none_is_told_so(works: SimpleNamespace, header: str) -> None:
    answer = at_desk(None).get(address("plants"), headers={"Authorization": header})
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"].startswith("Bearer")
    assert answer.json()["detail"]


def test_wrong_tokens_are_slowed_down_and_a_right_one_still_passes(works: SimpleNamespace) -> None:
    wrong, right = Program("wst_wrong"), program_of(works.people["tester"], works.plant)
    statuses = [wrong.get("plants").status_code for _ in range(25)]
    assert statuses == [401] * 20 + [429] * 5
    assert wrong.get("plants")["Retry-After"] == "60"
    assert right.get("plants").status_code == 200


def test_the_answer_is_kept_in_no_store(works: SimpleNamespace) -> None:
    answer = program_of(works.people["tester"], works.plant).get("boilers", works.plant.pk)
    assert "no-store" in answer["Cache-Control"]
