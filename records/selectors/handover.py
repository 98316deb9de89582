"""Reads for the handover of a shift: what was done and changed in it, what is left and not in
order."""

from collections.abc import Sequence
from datetime import date

from records import clock
from records.models import (
    Action,
    BoilerState,
    Draft,
    HandoverNote,
    Instrument,
    LogSheet,
    Lot,
    Plant,
)
from records.selectors.instruments import Standing, standing
from records.selectors.rounds import Due, SlotStand, slots_for_round
from records.selectors.sheet_pages import untested_on
from records.shifts import ShiftTime


def notes_on(sheet: LogSheet | None) -> Sequence[HandoverNote]:
    """Return the notes that a shift left on its sheet, in order."""
    if sheet is None:
        return []
    return list(HandoverNote.objects.filter(plant=sheet.plant_id, sheet=sheet).order_by("at", "id"))


def actions_in(plant: Plant, shift: ShiftTime) -> Sequence[Action]:
    """Return what was done in a shift, on whichever sheet it is written."""
    done = Action.objects.filter(
        plant=plant, done_at__gte=shift.starts_at, done_at__lt=shift.ends_at
    )
    return list(done.select_related("boiler", "sample__sample_point__boiler").order_by("done_at"))


def states_begun_in(plant: Plant, shift: ShiftTime) -> Sequence[BoilerState]:
    """Return the changes of a boiler's state in a shift, in order."""
    begun = BoilerState.objects.filter(
        plant=plant, since__gte=shift.starts_at, since__lt=shift.ends_at
    )
    return list(begun.order_by("since", "recorded_at", "id"))


def untested_in(plant: Plant, shift: ShiftTime, sheet: LogSheet | None) -> Sequence[SlotStand]:
    """Return what was missed, could not be tested or was tested late in a shift."""
    if sheet is not None:
        return untested_on(sheet)
    now = clock.now()
    stands = slots_for_round(plant, now=now, early=now, since=shift.starts_at, until=shift.ends_at)
    return [stand for stand in stands if stand.due is Due.MISSED]


def drafts_open(plant: Plant) -> Sequence[Draft]:
    """Return all unfinished bench sheets of a plant: whose they are and where, not what is typed
    on them."""
    return list(
        Draft.objects.filter(plant=plant, closed_at=None)
        .defer("typed")
        .select_related("sample_point__boiler", "tester")
        .order_by("opened_at")
    )


def not_in_order(plant: Plant, on: date) -> Sequence[tuple[Instrument | Lot, Standing]]:
    """Return the instruments that are not in order on a day, then the bottles that are expired
    where there is none in date."""
    found: list[tuple[Instrument | Lot, Standing]] = [
        (each, standing(each, on))
        for each in Instrument.objects.filter(plant=plant).order_by("kind", "name")
    ]
    newest: dict[tuple[str, str], Lot] = {}
    for lot in Lot.objects.filter(plant=plant).order_by("kind", "name", "lot_number"):
        kept = newest.get((lot.kind, lot.name))
        if kept is None or standing(kept, on) is Standing.EXPIRED:
            newest[lot.kind, lot.name] = lot
    found += [(lot, standing(lot, on)) for lot in newest.values()]
    return [(each, stands) for each, stands in found if stands is not Standing.IN_ORDER]
