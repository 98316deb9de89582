"""Open the log sheet on which something is written."""

from datetime import datetime

from records import clock
from records.models import LogSheet, Plant
from records.selectors.sheets import SheetStatus, is_signed, stand_of
from records.shifts import ShiftTime, shift_at


def sheet_at(plant: Plant, instant: datetime) -> LogSheet:
    """Return the sheet of the shift in which an instant lies, opening it if it is the first."""
    return sheet_of(plant, shift_at(plant, instant))


def sheet_of(plant: Plant, shift: ShiftTime) -> LogSheet:
    """Return the sheet of a shift, opening it if it is the first."""
    sheet: LogSheet = LogSheet.objects.get_or_create(
        plant=plant,
        shift_date=shift.day,
        shift_name=shift.name,
        defaults={
            "starts_at": shift.starts_at,
            "ends_at": shift.ends_at,
            "opened_at": clock.now(),
        },
    )[0]
    return sheet


def sheet_open_at(plant: Plant, instant: datetime) -> LogSheet:
    """Return the sheet that takes what belongs to an instant (`sheet_open_of`)."""
    return sheet_open_of(plant, shift_at(plant, instant))


def sheet_open_of(plant: Plant, shift: ShiftTime) -> LogSheet:
    """Return the sheet that takes what belongs to a shift: its own while that is unsigned.

    A signed sheet takes no more: then it is the present shift's, and where that is signed before
    its time, the next one's.
    """
    sheet = sheet_of(plant, shift)
    if not is_signed(sheet):
        return sheet
    sheet = sheet_at(plant, clock.now())
    while is_signed(sheet):
        sheet = sheet_at(plant, sheet.ends_at)
    return sheet


def sheet_untouched_at(plant: Plant, instant: datetime) -> LogSheet:
    """Return the sheet that takes a remark on an instant: its shift's until that is handed in.

    What is handed in stays as it was seen; then it is the present shift's.
    """
    sheet = sheet_at(plant, instant)
    if stand_of(sheet).status in (SheetStatus.HANDED_IN, SheetStatus.SIGNED):
        return sheet_open_at(plant, clock.now())
    return sheet
