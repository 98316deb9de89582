"""Read what was typed on the cards of instruments and lots; refusals stand beside their fields."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.entry import parse_number
from chemistry.errors import ChemistryError, EntryError
from records.errors import RecordError, fitting
from records.models import Behavior, InstrumentCard, LotCard
from records.selectors.cards import standard_of_lot, standard_units

NOT_A_DATE = gettext_noop("Write the date as year-month-day.")
DAYS = gettext_noop("Write whole days, from 1 to %(most)s, or leave it empty.")
NOT_A_UNIT = gettext_noop("Pick a unit.")
NOT_A_BEHAVIOR = gettext_noop("Pick how its value changes with temperature.")
RANGE_CROSSED = gettext_noop("The range must run from low to high.")
NOT_NEGATIVE = gettext_noop("This can't be less than nothing.")
OPENED_BEFORE = gettext_noop("It can't have been opened before it was received.")
VALUE_FIRST = gettext_noop("Write its value first.")
COEFFICIENT_NEEDED = gettext_noop("Write the coefficient of its label, in percent per °C.")
TABLE_NEEDED = gettext_noop("Write the table of its label.")

LONGEST_DAYS = 3660
INSTRUMENT_NUMBERS = (
    "range_low",
    "range_high",
    "resolution",
    "cell_constant",
    "correction",
    "correction_expanded",
)
INSTRUMENT_TEXTS = {"place": 80, "unit": 16, "certificate": 120, "note": 300}
INSTRUMENT_DAYS = ("check_days", "quick_days")
LOT_NUMBERS = ("value", "expanded", "percent_per_k")
LOT_TEXTS = {"table": 600, "certificate": 120, "volume_left": 40, "note": 300}
LOT_DATES = ("received_on", "opened_on", "shelf")
_POSITIVE = ("resolution", "cell_constant")
_NOT_NEGATIVE = ("correction_expanded", "expanded")


def instrument_figures(typed: Mapping[str, str]) -> dict[str, Any]:
    """Return the columns of an instrument's card. Raises RecordError beside the field."""
    read: dict[str, Any] = {name: _number(typed, name) for name in INSTRUMENT_NUMBERS}
    read |= {name: fitting(typed.get(name, ""), n, name) for name, n in INSTRUMENT_TEXTS.items()}
    read |= {name: _days(typed, name) for name in INSTRUMENT_DAYS}
    low, high = read["range_low"], read["range_high"]
    if low and high and float(low) >= float(high):
        raise RecordError("range_crossed", RANGE_CROSSED, field="range_high")
    return read


def lot_figures(typed: Mapping[str, str]) -> dict[str, Any]:
    """Return the columns of a lot's card. Raises RecordError beside the field."""
    read: dict[str, Any] = {name: _number(typed, name) for name in LOT_NUMBERS}
    read |= {name: fitting(typed.get(name, ""), n, name) for name, n in LOT_TEXTS.items()}
    read |= {name: date_of(typed.get(name, ""), name) for name in LOT_DATES}
    read |= {"use_days": _days(typed, "use_days"), "unit": typed.get("unit", "").strip()}
    read["behavior"] = typed.get("behavior", "").strip() if read["value"] else ""
    _refuse_lot(read)
    return read


def _refuse_lot(read: Mapping[str, Any]) -> None:
    """Raise where the figures of a lot don't go together."""
    received, opened = read["received_on"], read["opened_on"]
    if received and opened and opened < received:
        raise RecordError("opened_before", OPENED_BEFORE, field="opened_on")
    if not read["value"]:
        if read["expanded"]:
            raise RecordError("value_first", VALUE_FIRST, field="value")
        return
    if read["unit"] not in standard_units():
        raise RecordError("not_a_unit", NOT_A_UNIT, field="unit")
    if read["behavior"] not in Behavior.values:
        raise RecordError("not_a_behavior", NOT_A_BEHAVIOR, field="behavior")
    wanted = {
        Behavior.COEFFICIENT: ("percent_per_k", COEFFICIENT_NEEDED),
        Behavior.TABLE: ("table", TABLE_NEEDED),
    }.get(read["behavior"])
    if wanted and not read[wanted[0]]:
        raise RecordError("missing", wanted[1], field=wanted[0])
    try:
        standard_of_lot(LotCard(**read))
    except ChemistryError as error:
        beside = error.field if isinstance(error, EntryError) and error.field else "behavior"
        raise RecordError(error.code, error.template, field=beside, **error.params) from error


def _number(typed: Mapping[str, str], name: str) -> str:
    """Return a number's plain text, or nothing."""
    text = typed.get(name, "")
    if not text.strip():
        return ""
    try:
        read = parse_number(text)
    except EntryError as error:
        raise RecordError(error.code, error.template, field=name, **error.params) from error
    low = 0.0 if name in _NOT_NEGATIVE else None
    if (low is not None and read.value < low) or (name in _POSITIVE and read.value <= 0.0):
        raise RecordError("negative", NOT_NEGATIVE, field=name)
    return fitting(read.normalized, 24, name)


def _days(typed: Mapping[str, str], name: str) -> int | None:
    text = typed.get(name, "").strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= 4 and int(text) >= 1):
        raise RecordError("not_days", DAYS, field=name, most=str(LONGEST_DAYS))
    if int(text) > LONGEST_DAYS:
        raise RecordError("not_days", DAYS, field=name, most=str(LONGEST_DAYS))
    return int(text)


def date_of(text: str, name: str) -> date | None:
    """Return a date as typed, or None. Raises RecordError beside the field."""
    if not text.strip():
        return None
    try:
        found = date.fromisoformat(text.strip())
    except ValueError as error:
        raise RecordError("not_a_date", NOT_A_DATE, field=name) from error
    if not 1970 <= found.year <= 2200:
        raise RecordError("not_a_date", NOT_A_DATE, field=name)
    return found


def figures_of(card: InstrumentCard | LotCard | None) -> dict[str, str]:
    """Return a card as it would be typed, to be shown in its form."""
    if card is None:
        return {}
    names = (
        (*INSTRUMENT_NUMBERS, *INSTRUMENT_TEXTS, *INSTRUMENT_DAYS)
        if isinstance(card, InstrumentCard)
        else (*LOT_NUMBERS, *LOT_TEXTS, *LOT_DATES, "use_days", "unit", "behavior")
    )
    values = {name: getattr(card, name) for name in names}
    return {name: "" if value is None else str(value) for name, value in values.items()}


def unit_label(key: str) -> str:
    """Return a unit as it is printed."""
    return units.label(key) if key else ""
