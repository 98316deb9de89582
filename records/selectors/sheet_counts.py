"""What is on the sheets of a list at a glance: counted for all of them together."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from chemistry.verdict import Side
from records import clock
from records.doubted import doubted_among
from records.models import LogSheet, Measurement, Result, Verdict
from records.selectors.rounds import Due, slots_for_round
from records.selectors.sheets import current_measurements

_OUT = (Side.HIGH, Side.LOW)


@dataclass(frozen=True, kw_only=True)
class SheetCounts:
    """How many results count on a sheet, how many of them are out of range, and how many tests of
    its shift were missed."""

    results: int
    out_of_range: int
    missed: int


def counts_of_each(sheets: Sequence[LogSheet]) -> dict[UUID, SheetCounts]:
    """Return the counts of several sheets of one plant. Read by keys: a join under the plant's
    scope would walk every result of the plant."""
    if not sheets:
        return {}
    on_sheet = _current(sheets)
    theirs = {"plant": sheets[0].plant_id, "measurement__in": list(on_sheet)}
    doubted = doubted_among(sheets[0].plant_id, list(on_sheet))
    measured = dict(Result.objects.filter(**theirs).values_list("pk", "measurement_id"))
    sides = Verdict.objects.filter(plant=sheets[0].plant_id, result__in=list(measured))
    results = Counter(on_sheet[key] for key in measured.values())
    out = Counter(
        on_sheet[measured[result]]
        for result, side in sides.values_list("result_id", "side")
        if side in _OUT and measured[result] not in doubted
    )
    missed = _missed(sheets)
    return {
        sheet.pk: SheetCounts(
            results=results[sheet.pk], out_of_range=out[sheet.pk], missed=missed[sheet.pk]
        )
        for sheet in sheets
    }


def _current(sheets: Sequence[LogSheet]) -> dict[UUID, UUID]:
    """Return the sheet of each measurement that counts."""
    found = Measurement.objects.filter(
        plant=sheets[0].plant_id, sheet__in=[sheet.pk for sheet in sheets]
    ).prefetch_related("amendments__signatures")
    return {each.pk: each.sheet_id for each in current_measurements(list(found))}


def _missed(sheets: Sequence[LogSheet]) -> Counter[UUID]:
    """Count the tests that nobody answered in time, by the sheet of the shift they were due in."""
    now = clock.now()
    stands = slots_for_round(
        sheets[0].plant,
        now=now,
        early=now,
        since=min(sheet.starts_at for sheet in sheets),
        until=max(sheet.ends_at for sheet in sheets),
    )
    missed = [stand.slot.due_at for stand in stands if stand.due is Due.MISSED]
    return Counter(
        sheet.pk for sheet in sheets for due in missed if sheet.starts_at <= due < sheet.ends_at
    )
