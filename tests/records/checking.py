"""Checks of instruments for the tests: a bottle of standard, what was read, the check."""

from datetime import timedelta
from types import SimpleNamespace
from typing import Any
from uuid import UUID

from records import clock
from records.models import Instrument, Lot
from records.selectors.check_work import CheckEntry, Run
from records.services.instrument_checks import check_record
from records.services.lots import LotEntry, lot_register
from tests.records import story


def kcl(works: SimpleNamespace, number: str = "", **figures: str) -> Lot:
    """Register a bottle of 1400 µmho/cm, ± 1 percent."""
    typed = {"value": "1400", "unit": "umho/cm", "expanded": "14", "behavior": "kcl", **figures}
    entry = LotEntry(
        kind="standard", name="KCl 1400", lot_number=number or story.key()[:8], figures=typed
    )
    pk = lot_register(actor=works.supervisor, entry=entry, key=story.key())
    return Lot.objects.get(plant=works.plant, pk=pk)


def meter_of(works: SimpleNamespace) -> Instrument:
    return Instrument.objects.get(plant=works.plant, kind="conductivity_meter")


def run(reading: str, **typed: str) -> Run:
    """Return readings of a conductivity meter at 25 °C."""
    return Run(
        typed={"reading": reading, "temperature": "25", "correction": "yes", **typed},
        units={key: "umho/cm" for key in ("reading", "reading_2", "reading_3")}
        | {"temperature": "degC"},
    )


def check(works: SimpleNamespace, found: Run, *, lot: Lot | None, **options: Any) -> UUID:
    """Record a check of the plant's conductivity meter, now or some minutes away."""
    entry = CheckEntry(
        instrument=options.pop("instrument", None) or meter_of(works),
        recipe="conductivity",
        version="1",
        done_at=clock.now() + timedelta(minutes=options.pop("minutes", 0)),
        found=found,
        standards={"standard": str(lot.pk)} if lot else {},
        **{name: options.pop(name) for name in list(options) if name not in ("by", "key")},
    )
    by, key = options.get("by", works.tester), options.get("key", story.key())
    return check_record(actor=by, entry=entry, key=key)
