"""The canonical form of a row: what the ledger digests.

RFC 8785 JSON whose values are strings only, texts in Unicode NFC, instants in UTC with
microseconds. A form is an explicit list of columns under a version; a form that has been used is
never changed (golden vectors in the tests freeze it): a new column means a new version.
"""

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

import rfc8785

from records import models

CURRENT = "1"
# What the first link of every chain names as the one before it.
ORIGIN = "0" * 64

# table -> the columns whose value is signed; "by" and its like stand for the key of the row meant.
_V1: dict[str, tuple[str, ...]] = {
    "sample": (
        "plant_id", "sheet_id", "sample_point_id", "point_name", "boiler_state",
        "drawn_at", "opened_at", "entered_at", "utc_offset", "shift_name", "shift_date", "late",
        "by_id", "by_name", "terminal_id", "terminal_name", "note",
    ),
    "measurement": (
        "plant_id", "sample_id", "sheet_id", "method", "method_version", "mode", "entered_at",
        "confirmed", "corrects_id", "reason", "by_id", "by_name",
    ),
    "reading": ("plant_id", "measurement_id", "field", "position", "typed", "normalized", "unit"),
    "instrumentuse": (
        "plant_id", "measurement_id", "role", "instrument_id", "lot_id", "label", "standing",
        "reason",
    ),
    "result": (
        "plant_id", "measurement_id", "analyte", "value", "unit", "qualifier", "basis", "expanded",
        "coverage", "degrees_of_freedom", "u_random", "u_systematic", "budget", "rule_version",
    ),
    "checkoutcome": (
        "plant_id", "measurement_id", "what", "outcome", "reason", "remark", "witness",
    ),
    "verdict": (
        "plant_id", "result_id", "side", "action_level", "near_limit", "probability", "rule",
        "reason", "program_version_id", "limit_id",
    ),
    "doubt": ("plant_id", "measurement_id", "cause", "detail", "at"),
    "remedy": (
        "plant_id", "sheet_id", "sample_id", "result_id", "kind", "version", "inputs", "refusal",
        "plan", "at", "by_id", "by_name",
    ),
    "action": (
        "plant_id", "sheet_id", "sample_id", "boiler_id", "remedy_id", "kind", "done_at", "amount",
        "note", "at", "by_id", "by_name",
    ),
    "followup": (
        "plant_id", "sheet_id", "sample_id", "result_id", "kind", "why", "due_at", "at", "by_id",
        "by_name",
    ),
    "followupsettlement": (
        "plant_id", "sheet_id", "follow_up_id", "sample_id", "note", "at", "by_id", "by_name",
    ),
    "slotanswer": (
        "plant_id", "sheet_id", "slot_id", "sample_id", "reason", "at", "by_id", "by_name",
    ),
    "amendment": ("plant_id", "sheet_id", "measurement_id", "at", "by_id", "by_name"),
    "signature": (
        "plant_id", "sheet_id", "sequence", "meaning", "amendment_id", "by_id", "by_name",
        "username", "roles", "proof", "terminal_id", "terminal_name", "at", "digest", "comment",
    ),
    "logsheet": (
        "plant_id", "shift_name", "shift_date", "starts_at", "ends_at", "opened_at",
    ),
    # The limits that judged the day stand under the same seal.
    "programversion": (
        "plant_id", "program_id", "number", "in_force_from", "recorded_at", "note", "by_id",
        "by_name",
    ),
    "limit": (
        "plant_id", "version_id", "sample_point_id", "state", "analyte", "basis", "unit", "low",
        "high", "target", "guard_band", "source", "confidence", "note",
    ),
    "handovernote": ("plant_id", "sheet_id", "text", "at", "by_id", "by_name"),
    # What tells whether a result was worth its number: sealed as soon as it is written.
    "instrumentcard": (
        "plant_id", "instrument_id", "place", "range_low", "range_high", "resolution", "unit",
        "cell_constant", "correction", "correction_expanded", "certificate", "check_days",
        "quick_days", "note", "at", "by_id", "by_name",
    ),
    "instrumentevent": (
        "plant_id", "instrument_id", "kind", "why", "happened_at", "at", "by_id", "by_name",
    ),
    "lotcard": (
        "plant_id", "lot_id", "value", "unit", "expanded", "behavior", "percent_per_k", "table",
        "certificate", "received_on", "opened_on", "shelf", "use_days", "volume_left", "note",
        "at", "by_id", "by_name",
    ),
    "instrumentcheck": (
        "plant_id", "instrument_id", "together_id", "recipe", "recipe_version", "quick", "done_at",
        "entered_at", "typed", "answer", "adjustment", "acceptance", "ending", "note", "by_id",
        "by_name",
    ),
    "checkstandard": (
        "plant_id", "check_of_id", "role", "lot_card_id", "instrument_card_id", "lot_id",
        "instrument_id", "label", "value", "unit", "expanded", "standing", "reason",
    ),
    "lookback": (
        "plant_id", "check_of_id", "instrument_id", "passed_id", "since", "until", "at",
    ),
    "disposition": (
        "plant_id", "look_back_id", "measurement_id", "outcome", "reason", "at", "by_id", "by_name",
    ),
}  # fmt: skip
FORMS: dict[str, dict[str, tuple[str, ...]]] = {"1": _V1}
# Rows that stand on no sheet: each enters the chain with the write that makes it.
SEALED_AT_ONCE: tuple[type[models.AppendOnly], ...] = (
    models.InstrumentCard, models.InstrumentEvent, models.LotCard, models.InstrumentCheck,
    models.CheckStandard, models.LookBack, models.Disposition,
)  # fmt: skip
_ON_SHEETS: tuple[type[models.AppendOnly], ...] = (
    models.Sample, models.Measurement, models.Reading, models.InstrumentUse, models.Result,
    models.CheckOutcome, models.Verdict, models.Doubt, models.Remedy, models.Action,
    models.FollowUp, models.FollowUpSettlement, models.SlotAnswer, models.Amendment,
    models.Signature, models.LogSheet, models.ProgramVersion, models.Limit, models.HandoverNote,
)  # fmt: skip
TABLES: dict[str, type[models.AppendOnly]] = {
    model._meta.model_name: model
    for model in (*_ON_SHEETS, *SEALED_AT_ONCE)
    if model._meta.model_name
}


def text(value: Any) -> str:
    """Return the one text of a value; raises TypeError for what has no exact text."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return unicodedata.normalize("NFC", value)
        case int() | UUID():
            return str(value)
        case datetime(tzinfo=None):
            raise TypeError("a time without its zone has no canonical text")
        case datetime():
            return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
        case date():
            return value.isoformat()
        case _:
            raise TypeError(f"{type(value).__name__} has no canonical text")


def canonical(table: str, values: Mapping[str, Any], form: str = CURRENT) -> bytes:
    """Return the canonical bytes of a row given by its columns; what is null is left out."""
    body = {"form": form, "table": table, "id": text(values["id"])}
    for column in FORMS[form][table]:
        if values[column] is not None:
            body[column] = text(values[column])
    return _flat(body)


_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode


def _flat(body: Mapping[str, str]) -> bytes:
    """Return the RFC 8785 form of texts under ASCII names, several times faster than `rfc8785`:
    there the two sort and escape alike (tests/records/test_canonical.py)."""
    return _encode(body).encode()


def digest(table: str, values: Mapping[str, Any], form: str = CURRENT) -> str:
    """Return the SHA-256 of a row's canonical form, in hex."""
    return hashlib.sha256(canonical(table, values, form)).hexdigest()


def table_of(row: models.AppendOnly) -> str:
    """Return the name by which the ledger knows the row's table."""
    name = row._meta.model_name
    assert name in TABLES
    return name


def row_digest(row: models.AppendOnly, form: str = CURRENT) -> str:
    """Return the digest of a model instance."""
    table = table_of(row)
    columns = ("id", *FORMS[form][table])
    return digest(table, {column: getattr(row, column) for column in columns}, form)


def link_digest(
    *, plant: UUID, sequence: int, table: str, row: UUID, form: str, row_digest: str, previous: str
) -> str:
    """Return the digest of one link: SHA-256 over the RFC 8785 form of its parts, all strings."""
    body = {
        "form": form,
        "plant": str(plant),
        "previous": previous,
        "row": str(row),
        "row_digest": row_digest,
        "sequence": str(sequence),
        "table": table,
    }
    return hashlib.sha256(_flat(body)).hexdigest()


def dumps(value: Any) -> str:
    """Return the canonical JSON of strings, lists and objects of strings, for text columns."""
    return rfc8785.dumps(value).decode()
