"""Reading the set-up forms: figures with their units, dates, blanks for what is not known."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.entry import parse_reading
from chemistry.errors import EntryError
from records.errors import RecordError

NOT_A_DATE = gettext_noop("Write the date as year-month-day.")
NEEDED = gettext_noop("This is needed.")
# Form name -> unit in which the boiler keeps it, and the units offered.
BOILER_FIGURES: dict[str, tuple[str, tuple[str, ...]]] = {
    "rated_psig": ("psig", ("psig", "barg", "kPag")),
    "working_psig": ("psig", ("psig", "barg", "kPag")),
    "steam_kg_h": ("kg/h", ("lb/h", "kg/h", "t/h")),
    "water_mass_kg": ("kg", ("lb", "kg", "t")),
    "continuous_blowdown_max_kg_h": ("kg/h", ("lb/h", "kg/h", "t/h")),
    "bottom_blow_kg": ("kg", ("lb", "kg")),
}
_NEEDED = ("rated_psig", "working_psig")


def _figure(sent: Mapping[str, str], name: str) -> float | None:
    unit, offered = BOILER_FIGURES[name]
    text = sent.get(name, "")
    if not text.strip():
        if name in _NEEDED:
            raise RecordError("needed", NEEDED, field=name)
        return None
    try:
        read = parse_reading(text, unit=sent.get(f"{name}.unit") or offered[0], units=offered)
        return units.convert(read.value, read.unit, unit)
    except EntryError as error:
        raise RecordError(error.code, error.template, field=name, **error.params) from error


def boiler_figures(sent: Mapping[str, str]) -> dict[str, Any]:
    """Return what a new boiler is made of; raises RecordError beside the field."""
    return {
        "name": sent.get("name", "").strip(),
        "kind": sent.get("kind", ""),
        "superheater": sent.get("superheater") == "on",
        "treatment": sent.get("treatment", "").strip(),
        **{name: _figure(sent, name) for name in BOILER_FIGURES},
    }


def instrument_figures(sent: Mapping[str, str]) -> dict[str, Any]:
    """Return what a new instrument is registered with."""
    return {
        "kind": sent.get("kind", ""),
        "name": sent.get("name", "").strip(),
        "serial": sent.get("serial", "").strip(),
        "check_due_on": _date(sent, "check_due_on"),
    }


def lot_figures(sent: Mapping[str, str]) -> dict[str, Any]:
    """Return what a new lot is registered with."""
    return {
        "kind": sent.get("kind", ""),
        "name": sent.get("name", "").strip(),
        "lot_number": sent.get("lot_number", "").strip(),
        "expires_on": _date(sent, "expires_on"),
    }


def _date(sent: Mapping[str, str], name: str) -> date | None:
    text = sent.get(name, "").strip()
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise RecordError("not_a_date", NOT_A_DATE, field=name) from error
