"""What is known of instruments and lots now, and what a lot is worth as a standard."""

import re
from collections.abc import Iterable, Mapping
from uuid import UUID

from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.entry import parse_number
from chemistry.errors import EntryError
from chemistry.recipes.base import StandardRole
from chemistry.standards import BUFFERS, Standard, Table, buffer, kcl
from records.models import Behavior, Instrument, InstrumentCard, Lot, LotCard, Plant

# A certificate's expanded uncertainty is taken to be stated at k = 2: common practice, no source.
COVERAGE = 2.0
_LINE = re.compile(r"[;\n]+")

NO_VALUE = gettext_noop("What this lot is worth is not on its card. Write it there first.")
NO_CORRECTION = gettext_noop(
    "The correction of its certificate is not on this instrument's card. Write it there first."
)
BAD_TABLE = gettext_noop(
    "Write one line for each temperature: the temperature in °C, a blank, the value. From cold to "
    "warm."
)


def lot_cards(plant: Plant | UUID) -> Mapping[UUID, LotCard]:
    """Return the newest card of each lot of a plant."""
    return {card.lot_id: card for card in LotCard.objects.filter(plant=plant).order_by("at", "id")}


def instrument_cards(plant: Plant | UUID) -> Mapping[UUID, InstrumentCard]:
    """Return the newest card of each instrument of a plant."""
    cards = InstrumentCard.objects.filter(plant=plant).order_by("at", "id")
    return {card.instrument_id: card for card in cards}


def card_of(instrument: Instrument) -> InstrumentCard | None:
    """Return the newest card of one instrument."""
    found: InstrumentCard | None = (
        InstrumentCard.objects.filter(plant=instrument.plant_id, instrument=instrument)
        .order_by("at", "id")
        .last()
    )
    return found


def card_of_lot(lot: Lot) -> LotCard | None:
    """Return the newest card of one lot."""
    return LotCard.objects.filter(plant=lot.plant_id, lot=lot).order_by("at", "id").last()


def table_of(text: str) -> Table:
    """Return the table on a card: a temperature and a value a line. Errors: EntryError bad_table.

    >>> table_of("20 1278; 25 1413")
    ((20.0, 1278.0), (25.0, 1413.0))
    """
    rows = []
    for line in filter(None, (each.strip() for each in _LINE.split(text))):
        parts = line.split()
        if len(parts) != 2:
            raise EntryError("bad_table", BAD_TABLE, field="table")
        try:
            temp, value = (parse_number(part).value for part in parts)
        except EntryError:
            raise EntryError("bad_table", BAD_TABLE, field="table") from None
        rows.append((temp, value))
    return tuple(rows)


def _number(text: str) -> float:
    return parse_number(text).value if text else 0.0


def standard_of_lot(card: LotCard | None) -> Standard:
    """Return what a lot is worth by its card. Errors: EntryError, ChemistryError where that is not
    known or can't be."""
    if card is None or not card.value:
        raise EntryError("no_value", NO_VALUE)
    value, u = _number(card.value), _number(card.expanded) / COVERAGE
    behavior = card.behavior or Behavior.REFERENCE_ONLY
    if behavior == Behavior.KCL:
        in_us_cm = Standard(value, card.unit, u).in_unit("uS/cm")
        return kcl(in_us_cm.value, in_us_cm.u)
    if behavior in BUFFERS:
        return buffer(behavior, u, value)
    return Standard(
        value,
        card.unit,
        u,
        percent_per_k=_number(card.percent_per_k) if behavior == Behavior.COEFFICIENT else None,
        table=table_of(card.table) if behavior == Behavior.TABLE else (),
        steady=behavior == Behavior.STEADY,
        in_proportion=card.unit != "pH",
    )


def standard_of_instrument(card: InstrumentCard | None, role: StandardRole) -> Standard:
    """Return a reference instrument's correction by its certificate, in the role's unit."""
    if card is None or not card.correction:
        raise EntryError("no_correction", NO_CORRECTION)
    u = _number(card.correction_expanded) / COVERAGE
    return Standard(_number(card.correction), role.unit, u, steady=True, in_proportion=False)


def standard_units() -> Iterable[str]:
    """Return the units in which a standard's value may stand on its card."""
    return ("uS/cm", "umho/cm", "mS/cm", "pH", "mg/L", "ug/L", "absorbance", "g", "mg", "eq/L")


def worth_text(card: LotCard | None) -> str:
    """Return a lot's value with its uncertainty and unit, or nothing."""
    if card is None or not card.value:
        return ""
    spread = f" ± {card.expanded}" if card.expanded else ""
    return f"{card.value}{spread} {units.label(card.unit)}".strip()
