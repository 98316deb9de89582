"""What bad input gets: its place in the body, the bench sheet's own sentence, nothing stored."""

import json
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

import pytest
from django_scopes import scope
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from records.api import parsers
from records.models import DueSlot, Measurement, Sample
from records.services.slots import slots_expand
from tests.records.api.conftest import (
    Program,
    address,
    body,
    conductivity,
    faults,
    reading,
    stored,
)

_OF = "#/tests/0"
READINGS = [
    # field, value, unit, place, part of what is told
    ("reading", "abc", "umho/cm", "reading", "is not a number"),
    ("reading", "", "umho/cm", "reading", "still needed"),
    ("reading", "12,3,4", "umho/cm", "reading", "not a number"),
    ("reading", "1,234", "umho/cm", "reading", "1234 or 1.234"),
    ("reading", "0", "umho/cm", "reading", "less than pure water"),
    ("reading", "-5", "umho/cm", "reading", "less than pure water"),
    ("reading", "9e9", "umho/cm", "reading", "can't be right"),
    ("reading", "1e999", "umho/cm", "reading", "too large"),
    ("reading", "NaN", "umho/cm", "reading", "not a number"),
    ("reading", "78", "psi", "reading", "psi does not fit"),
    ("reading", "7", "foo", "reading", "foo"),
    ("reading", "7", "", "reading/unit", "in which unit"),
    ("reading", "1" * 300, "umho/cm", "reading", "too long"),
    ("reading", "1" * 301, "umho/cm", "reading/value", "at most 300"),
    ("reading", "14\x0020", "umho/cm", "reading/value", "can't be stored"),
    ("reading", "\ud800", "umho/cm", "reading/value", "can't be stored"),
    ("reading", 7.10, "umho/cm", "reading/value", "in quotes"),
    ("reading", None, "umho/cm", "reading/value", ""),
    ("temperature", "-5", "degC", "temperature", "would be ice"),
    ("temperature", "212", "degF", "temperature", "scald"),
    ("temperature", "25", "bar", "temperature", "does not fit"),
    ("neutralized", "maybe", "", "neutralized", "Pick one"),
    ("neutralized", "no", "umho/cm", "neutralized/unit", "has no unit"),
    ("dial", "25", "degC", "dial", "not asked for here"),
]


def refused(works: SimpleNamespace, answer: Any) -> dict[str, str]:
    """Return what is told by place, once it is sure that nothing was stored."""
    assert answer.status_code == 422, answer.content
    assert answer["Content-Type"] == "application/problem+json"
    assert not stored(works, Sample) and not stored(works, Measurement)
    return faults(answer)


@pytest.mark.parametrize(("field", "value", "unit", "place", "told"), READINGS)
def test_a_reading_is_refused_at_its_place(works, lab, field, value, unit, place, told):
    test = conductivity(works)
    test["readings"][field] = {"value": value, "unit": unit}
    found = refused(works, lab.send(works.plant, body(works, test)))
    assert list(found) == [f"{_OF}/readings/{place}"] and told in found[f"{_OF}/readings/{place}"]


@pytest.mark.parametrize(
    ("changed", "place", "told"),
    [
        ({"method": "tasting"}, "/method", "No test called"),
        ({"version": "99"}, "/method", "No test called"),
        ({"version": 1}, "/version", "in quotes"),
        ({"mode": "by eye"}, "/mode", "by eye"),
        ({"instruments": {}}, "/instruments/meter", "which instrument"),
        ({"instruments": {"meter": "no-key"}}, "/instruments/meter", "not on the plant's list"),
        ({"instruments": {"meter": str(uuid4())}}, "/instruments/meter", "not on the plant's"),
        ({"instruments": {"spoon": "x"}}, "/instruments/spoon", "not asked for"),
        ({"reasons": {"spoon": "x"}}, "/reasons/spoon", "not asked for"),
        ({"readings": {}}, "/readings/reading", "still needed"),
        ({"readings": []}, "/readings", ""),
        ({"readngs": {}}, "/readngs", "not known here"),
        ({"\ud800": {}}, "/\\ud800", "not known here"),
        ({"instruments": {"a/b~\ud800": "x"}}, "/instruments/a~1b~0\\ud800", "not asked for"),
        ({"confirmed": "yes"}, "/confirmed", ""),
    ],
)
def test_a_test_is_refused_at_its_place(works, lab, changed, place, told):
    found = refused(works, lab.send(works.plant, body(works, conductivity(works, **changed))))
    assert told in found[_OF + place], found


@pytest.mark.parametrize(
    ("changed", "place", "told"),
    [
        ({"drawn_at": "2026-03-10T12:10:00-05:00"}, "/drawn_at", "later than now"),
        ({"drawn_at": "2026-01-10T12:00:00-05:00"}, "/drawn_at", "30 days ago"),
        ({"drawn_at": "2026-03-10T12:00:00"}, "/drawn_at", "offset from UTC"),
        ({"drawn_at": "half past nine"}, "/drawn_at", "offset from UTC"),
        ({"drawn_at": "0001-01-01T00:00:00+14:00"}, "/drawn_at", "offset from UTC"),
        ({"drawn_at": 1773162000}, "/drawn_at", "offset from UTC"),
        ({"point": "boiler 1"}, "/point", ""),
        ({"point": str(uuid4())}, "/point", "does not exist at this plant"),
        ({"slot": str(uuid4())}, "/slot", "does not exist at this plant"),
        ({"key": ""}, "/key", "still needed"),
        ({"key": "k" * 65}, "/key", "at most 64"),
        ({"key": "a\0b"}, "/key", "can't be stored"),
        ({"note": "x" * 301}, "/note", "at most 300"),
        ({"tests": []}, "/tests", ""),
        ({"tests": [[]]}, "/tests/0", ""),
        ({"tester": "somebody else"}, "/tester", "not known here"),
    ],
)
def test_a_sample_is_refused_at_its_place(works, lab, changed, place, told):
    found = refused(works, lab.send(works.plant, body(works) | changed))
    assert list(found) == ["#" + place] and told in found["#" + place], found


def test_every_fault_is_told_at_once(works, lab):
    test = conductivity(works, instruments={})
    test["readings"] = {"reading": reading("abc", "umho/cm"), "temperature": reading("-5", "degC")}
    found = refused(works, lab.send(works.plant, body(works, test)))
    assert len([place for place in found if "readings" in place]) == 2
    assert len([place for place in found if "instruments" in place]) == 2


def test_another_plants_rows_do_not_exist(works, dairy, lab):
    with scope(plant=dairy.plant):
        slots_expand(dairy.plant)
        slot = DueSlot.objects.filter(plant=dairy.plant).first()
    changed = {"point": str(dairy.point.pk), "slot": str(slot.pk)}
    found = refused(works, lab.send(works.plant, body(works) | changed))
    assert set(found) == {"#/point", "#/slot"}
    foreign = conductivity(works, instruments=dict(dairy.used))
    found = refused(works, lab.send(works.plant, body(works, foreign)))
    assert "not on the plant's list" in found[f"{_OF}/instruments/meter"]


def test_another_points_slot_is_refused(works, lab):
    with scope(plant=works.plant):
        slots_expand(works.plant)
        slot = DueSlot.objects.filter(plant=works.plant).first()
    sent = body(works, point=str(works.feed.pk), slot=str(slot.pk))
    answer = lab.send(works.plant, sent)
    assert answer.status_code == 422 and "does not exist at this plant" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        (b"", 422),
        (b"{", 400),
        (b"\xff\xfe", 400),
        (b'{"key": NaN}', 400),
        (b"[" * 100_000, 400),
        (b'"a text"', 422),
        (b"[]", 422),
        (b"null", 422),
        (b" " * (parsers.MOST_BYTES + 1), 413),
    ],
)
def test_a_body_that_is_no_sample(works, lab, sent, status):
    answer = lab.send(works.plant, sent)
    assert answer.status_code == status and answer.json()["detail"]


def test_another_media_type_is_refused(works, lab):
    answer = lab.ask("POST", address("samples", works.plant.pk), "key=k", "text/plain")
    assert answer.status_code == 415 and answer["Content-Type"] == "application/problem+json"


def test_an_address_without_its_last_slash_loses_nothing_unsaid(works, lab):
    answer = lab.post(address("samples", works.plant.pk).rstrip("/"), body(works))
    assert answer.status_code == 404


TEXTS = st.one_of(st.text(max_size=30), st.none(), st.booleans(), st.floats(), st.integers())
ANY = st.recursive(
    TEXTS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3)
)


@settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    database=None,
)
@given(
    part=st.sampled_from(["key", "point", "slot", "drawn_at", "note", "tests", "test", "readings",
                          "reading", "instruments", "reasons", "confirmed", "mode", "unit"]),
    value=ANY,
)  # fmt: skip
def test_no_value_whatever_breaks_it(works, lab: Program, part: str, value: Any) -> None:
    sample, test = body(works), conductivity(works)
    match part:
        case "test":
            sample["tests"] = [value]
        case "reading":
            sample["tests"] = [test | {"readings": test["readings"] | {"reading": value}}]
        case "unit":
            test["readings"]["reading"]["unit"] = value
            sample["tests"] = [test]
        case "readings" | "instruments" | "reasons" | "confirmed" | "mode":
            sample["tests"] = [test | {part: value}]
        case _:
            sample[part] = value
    sent = json.dumps(sample, allow_nan=True).encode()
    assert lab.send(works.plant, sent).status_code in (201, 400, 409, 422)
