"""Reads for the pages of log sheets: which there are, and what stands around their results."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from records import clock
from records.models import Amendment, LedgerHead, LogSheet, Meaning, Plant, Sample, Signature
from records.selectors.rounds import Due, SlotStand, explained_on, slots_for_round
from records.selectors.sheets import SheetStatus, status_of_each
from records.shifts import ShiftTime

# Who hands in as alone on a shift says so in the comment of that mark, which the ledger seals: this
# key, with their own words behind it.
ALONE, BETWEEN = "alone_on_shift", ": "

# Sheets older than this are not asked for signatures on the desk; the list still has them.
DESK_SPAN = timedelta(days=60)
# How far back the desk asks for sheets that nobody handed in: rule of our own.
OPEN_SPAN = timedelta(days=14)

# What an amendment changes, from what to what.
_FOUND = (
    "measurement__results",
    "measurement__outcomes",
    "measurement__corrects__results",
    "measurement__corrects__outcomes",
)


@dataclass(frozen=True, kw_only=True)
class SheetLine:
    """One sheet in a list, with what is known of it at a glance."""

    sheet: LogSheet
    status: SheetStatus
    results: int
    testers: tuple[str, ...]
    signed_by: str
    alone_by: str


def sheet_of_shift(plant: Plant, shift: ShiftTime) -> LogSheet | None:
    """Return the sheet of a shift, where something was written on it already."""
    found: LogSheet | None = LogSheet.objects.filter(
        plant=plant, shift_date=shift.day, shift_name=shift.name
    ).first()
    return found


def sheets_page(plant: Plant, *, start: int, count: int) -> Sequence[SheetLine]:
    """Return a page of the plant's sheets, the newest first."""
    found = LogSheet.objects.filter(plant=plant).order_by("-starts_at")
    return sheet_lines(list(found[start : start + count]))


def sheets_to_sign(plant: Plant) -> Sequence[SheetLine]:
    """Return the sheets that are handed in and wait for a signature, the oldest first."""
    signed = Signature.objects.filter(plant=plant, meaning=Meaning.SIGNED).values("sheet_id")
    handed = Signature.objects.filter(plant=plant, meaning=Meaning.HANDED_IN).values("sheet_id")
    found = LogSheet.objects.filter(
        plant=plant, pk__in=handed, starts_at__gte=clock.now() - DESK_SPAN
    ).exclude(pk__in=signed)
    lines = sheet_lines(list(found.order_by("starts_at")))
    return [line for line in lines if line.status is SheetStatus.HANDED_IN]


def sheets_not_handed_in(plant: Plant) -> Sequence[SheetLine]:
    """Return the sheets of ended shifts that still have to be handed in, the oldest first: never
    handed in, returned, or changed since."""
    now = clock.now()
    signed = Signature.objects.filter(plant=plant, meaning=Meaning.SIGNED).values("sheet_id")
    found = LogSheet.objects.filter(
        plant=plant, ends_at__lte=now, starts_at__gte=now - OPEN_SPAN
    ).exclude(pk__in=signed)
    lines = sheet_lines(list(found.order_by("starts_at")))
    return [line for line in lines if line.status is not SheetStatus.HANDED_IN]


def sheet_lines(sheets: Sequence[LogSheet]) -> list[SheetLine]:
    """Return sheets of one plant for a list, read together."""
    if not sheets:
        return []
    theirs = {"plant": sheets[0].plant_id, "sheet__in": [sheet.pk for sheet in sheets]}
    marks: dict[UUID, list[Signature]] = {}
    for mark in Signature.objects.filter(**theirs).order_by("sequence"):
        marks.setdefault(mark.sheet_id, []).append(mark)
    drew: dict[UUID, list[str]] = {}
    for key, name in Sample.objects.filter(**theirs).values_list("sheet_id", "by_name"):
        drew.setdefault(key, []).append(name)
    stands = status_of_each(sheets, marks)
    return [
        _line(each, stands[each.pk], marks.get(each.pk, []), drew.get(each.pk, []))
        for each in sheets
    ]


def _line(
    sheet: LogSheet, status: SheetStatus, marks: Sequence[Signature], drew: Sequence[str]
) -> SheetLine:
    signed = [mark.by_name for mark in marks if mark.meaning == Meaning.SIGNED]
    return SheetLine(
        sheet=sheet,
        status=status,
        results=len(drew),
        testers=tuple(sorted(set(drew))),
        signed_by=signed[-1] if signed and status is SheetStatus.SIGNED else "",
        alone_by=alone_on(marks),
    )


def signatures_of(sheet: LogSheet) -> Sequence[Signature]:
    """Return the marks on a sheet in order."""
    return list(Signature.objects.filter(plant=sheet.plant_id, sheet=sheet).order_by("sequence"))


def alone_words(mark: Signature) -> str | None:
    """Return the own words of who handed a sheet in as alone on the shift, None where not alone."""
    said, _between, own = mark.comment.partition(BETWEEN)
    return own if mark.meaning == Meaning.HANDED_IN and said == ALONE else None


def alone_on(marks: Sequence[Signature]) -> str:
    """Return the name of who was alone on a shift, as they said when they last handed it in."""
    handed = [mark for mark in marks if mark.meaning == Meaning.HANDED_IN]
    return handed[-1].by_name if handed and alone_words(handed[-1]) is not None else ""


def drawn_by_others(sheet: LogSheet, user_id: UUID) -> Sequence[str]:
    """Return the names of the other people who drew a sample on a sheet."""
    drawn = Sample.objects.filter(plant=sheet.plant_id, sheet=sheet).exclude(by=user_id)
    return sorted(set(drawn.values_list("by_name", flat=True)))


def amendments_of(sheet: LogSheet) -> Sequence[Amendment]:
    """Return the amendments proposed for a sheet, in order."""
    return list(
        Amendment.objects.filter(plant=sheet.plant_id, sheet=sheet)
        .select_related("measurement__corrects", "measurement__sample__sample_point__boiler")
        .prefetch_related("signatures", *_FOUND)
        .order_by("at")
    )


def amendments_waiting(plant: Plant) -> Sequence[Amendment]:
    """Return the amendments that wait for a second person, the oldest first."""
    return list(
        Amendment.objects.filter(plant=plant, signatures__isnull=True)
        .select_related("measurement__sample__sample_point__boiler")
        .prefetch_related(*_FOUND)
        .order_by("at")
    )


def missed_in(sheet: LogSheet) -> Sequence[SlotStand]:
    """Return the slots of the sheet's shift that passed without a sample."""
    return [stand for stand in _of_shift(sheet) if stand.due is Due.MISSED]


def untested_on(sheet: LogSheet) -> Sequence[SlotStand]:
    """Return what was missed, could not be tested or was tested late in the sheet's shift, and what
    the sheet says of other shifts: all that its signer is to see."""
    untested = (Due.MISSED, Due.NOT_TESTED)
    own = [stand for stand in _of_shift(sheet) if stand.due in untested or stand.late]
    seen = {stand.slot.pk for stand in own}
    told = [stand for stand in explained_on(sheet) if stand.slot.pk not in seen]
    return sorted((*own, *told), key=lambda stand: stand.slot.due_at)


def _of_shift(sheet: LogSheet) -> list[SlotStand]:
    now = clock.now()
    return slots_for_round(
        sheet.plant, now=now, early=now, since=sheet.starts_at, until=sheet.ends_at
    )


def people_by_shift(plant: Plant, since: datetime) -> dict[tuple[date, str], set[str]]:
    """Return who is known to have been on each shift: who drew something, and who handed in."""
    names: dict[tuple[date, str], set[str]] = {}
    drew = Sample.objects.filter(plant=plant, drawn_at__gte=since)
    handed = Signature.objects.filter(
        plant=plant, meaning=Meaning.HANDED_IN, sheet__starts_at__gte=since
    )
    for day, shift, name in (
        *drew.values_list("shift_date", "shift_name", "by_name").distinct(),
        *handed.values_list("sheet__shift_date", "sheet__shift_name", "by_name"),
    ):
        names.setdefault((day, shift), set()).add(name)
    return names


def ledger_head(plant: Plant) -> LedgerHead | None:
    """Return the newest link of the plant's chain."""
    found: LedgerHead | None = LedgerHead.objects.filter(plant=plant).first()
    return found
