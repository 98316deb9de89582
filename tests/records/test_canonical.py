"""The canonical form is frozen: golden vectors, and the standard's own sample."""

import hashlib
import json
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest
import rfc8785

from records import canonical
from tests import golden

VECTORS = Path(golden.__file__).parent / "ledger_vectors.json"
DATES, UUIDS, INSTANTS = {"shift_date"}, ("_id",), ("_at",)


def vectors() -> dict:
    return json.loads(VECTORS.read_text(encoding="utf-8")) if VECTORS.exists() else {}


def literal(values: dict) -> dict:
    """Return a vector's values as the types that a row has."""

    def typed(name: str, value: object) -> object:
        if value is None or not isinstance(value, str):
            return value
        if name == "id" or name.endswith(UUIDS):
            return UUID(value)
        if name in DATES:
            return date.fromisoformat(value)
        return datetime.fromisoformat(value) if name == "at" or name.endswith(INSTANTS) else value

    return {name: typed(name, value) for name, value in values.items()}


rows = pytest.mark.parametrize(
    "vector", vectors().get("rows", []), ids=lambda vector: vector["name"]
)


@rows
def test_it_gives_the_frozen_bytes_and_digest(vector):
    """Pinned: worked out once by this program, each SHA-256 recomputed with GNU sha256sum."""
    values = literal(vector["values"])
    assert canonical.canonical(vector["table"], values) == vector["canonical"].encode()
    assert canonical.digest(vector["table"], values) == vector["sha256"]


@rows
def test_the_frozen_digest_is_that_of_the_frozen_bytes(vector):
    assert hashlib.sha256(vector["canonical"].encode()).hexdigest() == vector["sha256"]


def test_there_are_vectors_for_what_is_easily_lost():
    """µ, 7.10, nulls, both truths, microseconds, composed and decomposed text."""
    texts = [vector["canonical"] for vector in vectors()["rows"]]
    for kept in ("µmho/cm", '"7.10"', '"true"', '"false"', "59.999999Z", "café"):
        assert any(kept in text for text in texts), kept
    composed, decomposed = (v for v in vectors()["rows"] if "composed" in v["name"])
    assert composed["values"] != decomposed["values"]
    assert composed["sha256"] == decomposed["sha256"]
    assert any(None in vector["values"].values() for vector in vectors()["rows"])


@pytest.mark.parametrize("index", range(2))
def test_it_gives_the_frozen_link(index):
    """Pinned, recomputed with GNU sha256sum over bytes that Python's own json wrote."""
    link = vectors()["links"][index]
    parts = link["parts"]
    digest = canonical.link_digest(
        plant=UUID(parts["plant"]),
        sequence=int(parts["sequence"]),
        table=parts["table"],
        row=UUID(parts["row"]),
        form=parts["form"],
        row_digest=parts["row_digest"],
        previous=parts["previous"],
    )
    assert digest == link["sha256"]


def test_the_library_gives_the_sample_of_the_standard():
    """RFC 8785 (2020), 3.2.2 and 3.2.4: sample object and its canonical UTF-8 (from memory)."""
    sample = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
        "literals": [None, True, False],
    }
    expected = bytes.fromhex(
        "7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d"
        "2c 22 6e 75 6d 62 65 72 73 22 3a 5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33"
        "2c 31 65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37 5d 2c 22 73 74 72 69"
        "6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f"
        "22 7d"
    )
    assert rfc8785.dumps(sample) == expected


@pytest.mark.parametrize("value", [7.1, Decimal("7.1"), b"7.1", ["7.1"], {"a": "b"}])
def test_it_has_no_text_for_what_is_not_exact(value):
    with pytest.raises(TypeError):
        canonical.text(value)


def test_a_time_without_zone_is_refused():
    naive = datetime(2026, 3, 10, 12, 0)
    with pytest.raises(TypeError):
        canonical.text(naive)
    assert canonical.text(naive.replace(tzinfo=UTC)) == "2026-03-10T12:00:00.000000Z"


def test_every_signed_column_exists_and_none_is_forgotten():
    """A column that is added to a sealed table must come into a new form, or the seal misses it."""
    for table, model in canonical.TABLES.items():
        columns = {field.attname for field in model._meta.concrete_fields} - {"id"}
        assert columns == set(canonical.FORMS[canonical.CURRENT][table]), table


@pytest.mark.parametrize(
    "said",
    [
        "plain",
        "\x00\x07\b\t\n\x0b\f\r\x1f\x7f\x80",
        '"quoted" \\ and / slashed',
        "µS/cm, 25 °C, é, \u2028, \ufeff, \U0001f4a7",
    ],
)
def test_a_flat_row_has_the_form_that_the_standards_library_gives(said):
    """RFC 8785 (2020), 3.2.2.2 and 3.2.3, held against the library `rfc8785`."""
    values = dict.fromkeys(canonical.FORMS["1"]["handovernote"], said) | {"id": said}
    body = {k: canonical.text(v) for k, v in values.items()}
    body |= {"form": "1", "table": "handovernote"}
    assert canonical.canonical("handovernote", values) == rfc8785.dumps(body)


def test_half_of_a_surrogate_pair_has_no_form():
    values = dict.fromkeys(canonical.FORMS["1"]["handovernote"], "a") | {"id": "\ud800"}
    with pytest.raises(ValueError):
        canonical.canonical("handovernote", values)
