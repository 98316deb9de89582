"""Reads on log sheets: their rows, their digest, their status, who tested."""

import hashlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from django.db.models import prefetch_related_objects

from records import canonical
from records.among import written_among
from records.models import (
    Action,
    Amendment,
    AppendOnly,
    CheckOutcome,
    Doubt,
    FollowUp,
    FollowUpSettlement,
    HandoverNote,
    InstrumentUse,
    LogSheet,
    Meaning,
    Measurement,
    Reading,
    Remedy,
    Result,
    Sample,
    Signature,
    SlotAnswer,
    Verdict,
)
from records.selectors.tokens import makers_behind

# Tables of which most sheets have no row: asked for all at once whether there is one.
_SELDOM = (Remedy, Action, FollowUp, FollowUpSettlement, HandoverNote)


class SheetStatus(StrEnum):
    """Where a sheet stands; derived from its signatures and what was written since."""

    DRAFT = "draft"
    HANDED_IN = "handed_in"
    CHANGED = "changed_since_hand_in"
    RETURNED = "returned"
    SIGNED = "signed"


@dataclass(frozen=True, kw_only=True)
class SheetStand:
    """A sheet's status with what it rests on: the digest now, and the last mark upon it."""

    status: SheetStatus
    digest: str
    last: Signature | None

    @property
    def signed(self) -> bool:
        return self.status is SheetStatus.SIGNED


def children_of(measurements: Collection[Measurement]) -> list[AppendOnly]:
    """Return readings, instrument uses, results, verdicts and doubts of measurements."""
    ids = [each.pk for each in measurements]
    rows: list[AppendOnly] = []
    plant = next((each.plant_id for each in measurements), None)
    seldom = written_among((CheckOutcome, Doubt), plant, "measurement", ids) if plant else []
    every: list[type[Any]] = [Reading, InstrumentUse, *seldom]
    for model in every:
        rows += model.objects.filter(measurement__in=ids)
    results = list(Result.objects.filter(measurement__in=ids))
    # By key: a join under the plant's scope would walk every verdict of the plant.
    return [*rows, *results, *Verdict.objects.filter(result__in=[each.pk for each in results])]


def _in_order(rows: Iterable[AppendOnly]) -> list[AppendOnly]:
    order = {table: i for i, table in enumerate(canonical.TABLES)}
    return sorted(rows, key=lambda row: (order[canonical.table_of(row)], str(row.pk)))


def rows_of(sheet: LogSheet) -> list[AppendOnly]:
    """Return all that is written on a sheet but its signatures and amendments, in fixed order.

    Corrections that stand under an amendment are that amendment's, not the sheet's.
    """
    return rows_of_each([sheet])[sheet.pk]


def rows_of_each(sheets: Sequence[LogSheet]) -> dict[UUID, list[AppendOnly]]:
    """Return the rows of several sheets of one plant, each as `rows_of` has them, in a dozen reads
    for all."""
    rows: dict[UUID, list[AppendOnly]] = {sheet.pk: [sheet] for sheet in sheets}
    if not sheets:
        return rows
    plant = sheets[0].plant_id
    theirs = {"plant": plant, "sheet__in": list(rows)}
    seldom = written_among(_SELDOM, plant, "sheet", list(rows))
    every: list[type[Any]] = [Sample, SlotAnswer, *seldom]
    for model in every:
        for row in model.objects.filter(**theirs):
            rows[row.sheet_id].append(row)
    measured = {m.pk: m for m in Measurement.objects.filter(**theirs, amendments__isnull=True)}
    judged = {}
    for row in (*measured.values(), *children_of(measured.values())):
        if isinstance(row, Result):
            judged[row.pk] = row.measurement_id
        rows[_measurement_of(row, measured, judged).sheet_id].append(row)
    return {key: _in_order(each) for key, each in rows.items()}


def _measurement_of(
    row: Any, measured: Mapping[UUID, Measurement], judged: Mapping[UUID, UUID]
) -> Measurement:
    """Return the measurement that a row belongs to; a verdict, by its result."""
    if isinstance(row, Measurement):
        return row
    return measured[judged[row.result_id] if isinstance(row, Verdict) else row.measurement_id]


def rows_of_amendment(amendment: Amendment) -> list[AppendOnly]:
    """Return an amendment with the measurement it brings, in fixed order."""
    measurement = amendment.measurement
    return _in_order([amendment, measurement, *children_of([measurement])])


def digest_of(rows: Sequence[AppendOnly]) -> str:
    """Return the SHA-256 over the digests of rows: what a signature says that it saw."""
    lines = [f"{canonical.table_of(r)} {r.pk} {canonical.row_digest(r)}\n" for r in rows]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


_MARKS = {
    Meaning.RETURNED: SheetStatus.RETURNED,
    Meaning.SIGNED: SheetStatus.SIGNED,
    Meaning.HANDED_IN: SheetStatus.HANDED_IN,
}


def stand_of(sheet: LogSheet, rows: Sequence[AppendOnly] | None = None) -> SheetStand:
    """Return where a sheet stands now."""
    digest = digest_of(rows_of(sheet) if rows is None else rows)
    marks = Signature.objects.filter(plant=sheet.plant_id, sheet=sheet, meaning__in=list(_MARKS))
    last: Signature | None = marks.order_by("-sequence").first()
    return SheetStand(status=_status(last, digest), digest=digest, last=last)


def _status(last: Signature | None, digest: str) -> SheetStatus:
    if last is None:
        return SheetStatus.DRAFT
    status = _MARKS[Meaning(last.meaning)]
    changed = status is SheetStatus.HANDED_IN and last.digest != digest
    return SheetStatus.CHANGED if changed else status


def status_of_each(
    sheets: Sequence[LogSheet], marks: Mapping[UUID, Sequence[Signature]]
) -> dict[UUID, SheetStatus]:
    """Return where several sheets stand, `marks` being all of each in order.

    Only what was handed in and nothing after it is read through: a change since shows by that.
    """
    last = {key: [m for m in each if m.meaning in _MARKS][-1:] for key, each in marks.items()}
    newest = {sheet.pk: next(iter(last.get(sheet.pk, [])), None) for sheet in sheets}
    waiting = [s for s in sheets if _status(newest[s.pk], "") is SheetStatus.CHANGED]
    digests = {key: digest_of(rows) for key, rows in rows_of_each(waiting).items()}
    return {key: _status(mark, digests.get(key, "")) for key, mark in newest.items()}


def is_signed(sheet: LogSheet) -> bool:
    """Say whether a sheet has been signed; what comes after is an amendment."""
    return bool(
        Signature.objects.filter(plant=sheet.plant_id, sheet=sheet, meaning=Meaning.SIGNED).exists()
    )


def testers_of(sheet: LogSheet) -> set[UUID]:
    """Return who drew or tested anything on a sheet: they can't sign it."""
    found: set[UUID] = set()
    for model in (Sample, Measurement):
        found |= set(
            model.objects.filter(plant=sheet.plant_id, sheet=sheet).values_list("by_id", flat=True)
        )
    return found


def token_makers_of(sheet: LogSheet) -> set[UUID]:
    """Return who made the tokens by which anything on a sheet was sent: nor can they sign it."""
    samples = Sample.objects.filter(plant=sheet.plant_id, sheet=sheet).values_list("pk", flat=True)
    return makers_behind(sheet.plant_id, samples)


def amendment_waits(amendment: Amendment) -> bool:
    """Say whether an amendment still waits for the second person."""
    return not Signature.objects.filter(plant=amendment.plant_id, amendment=amendment).exists()


def with_amendments(measurements: Iterable[Measurement]) -> list[Measurement]:
    """Return measurements, read with the amendments under which corrections among them stand."""
    found = list(measurements)
    corrections = [each for each in found if each.corrects_id is not None]
    prefetch_related_objects(corrections, "amendments__signatures")
    return found


def current_measurements(measurements: Sequence[Measurement]) -> list[Measurement]:
    """Return those that count: the last correction of each, amendments only once they are signed.

    `measurements` holds whole chains, corrections with `amendments` and their signatures
    prefetched (`with_amendments`).
    """
    counted = [m for m in measurements if counts(m)]
    replaced = {m.corrects_id for m in counted}
    # A correction of a refused amendment replaces what that amendment meant to replace.
    by_id: dict[UUID | None, Measurement] = {m.pk: m for m in measurements}
    for m in counted:
        before = by_id.get(m.corrects_id)
        while before is not None and not counts(before):
            replaced.add(before.corrects_id)
            before = by_id.get(before.corrects_id)
    return [m for m in counted if m.pk not in replaced]


def counts(measurement: Measurement) -> bool:
    """Say whether a measurement is in force by its own standing: not an unsigned amendment."""
    if measurement.corrects_id is None:  # only a correction is ever an amendment
        return True
    return all(
        any(s.meaning == Meaning.AMENDMENT_SIGNED for s in amendment.signatures.all())
        for amendment in measurement.amendments.all()
    )
