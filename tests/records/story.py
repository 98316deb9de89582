"""A short shift that leaves a row in every table: told once, by the services that users take."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from types import SimpleNamespace
from typing import Any
from uuid import UUID, uuid4

import pytest

from records import clock
from records.access import actor_by_token
from records.actors import Actor
from records.errors import RecordError
from records.models import Amendment, DueSlot, Instrument, LogSheet, Measurement, Result, Sample
from records.selectors.bench import TestEntry
from records.selectors.sheets import digest_of, rows_of_amendment, stand_of
from records.services.actions import Done, action_record, remedy_plan
from records.services.corrections import result_correct
from records.services.sheets import amendment_decide, sheet_hand_in, sheet_sign
from records.services.slots import slots_expand
from records.services.tokens import NewToken, token_issue
from tests import factories


@contextmanager
def later(minutes: float) -> Iterator[None]:
    """Let some minutes pass."""
    with clock.clock_at(clock.now() + timedelta(minutes=minutes)):
        yield


@contextmanager
def refused(code: str, kind: type[Exception] = RecordError) -> Iterator[Any]:
    """Expect a refusal by its code, with a sentence that can be shown."""
    with pytest.raises(kind) as raised:
        yield raised
    assert raised.value.code == code  # type: ignore[attr-defined]
    assert str(raised.value) and "%(" not in str(raised.value)


def key() -> str:
    return str(uuid4())


def draw(works: SimpleNamespace, reading: str, **options: object) -> Sample:
    """Register one conductivity sample of the boiler by the tester (or `by`)."""
    by: Actor = options.pop("by", works.tester)  # type: ignore[assignment]
    test = factories.conductivity(reading, works.used, **options)
    pk = factories.sample(by, options.pop("point", works.point), test, **options)
    return Sample.objects.get(plant=works.plant, pk=pk)


def result_of(sample: Sample) -> Result:
    """Return the newest result of a sample."""
    found = Result.objects.filter(plant=sample.plant_id, measurement__sample=sample)
    newest = found.order_by("measurement__entered_at", "id").last()
    assert newest is not None
    return newest


def gauge_glass(outcome: str, **typed: str) -> TestEntry:
    """Return a check of the gauge glass alone."""
    return TestEntry(
        method="gauge_glass",
        version="1",
        mode="glass",
        typed={"glass": outcome, "remark": "clear and quick", "witness": "Milo", **typed},
    )


def hand_in(works: SimpleNamespace, sheet: LogSheet, by: Actor | None = None) -> UUID:
    seen = stand_of(sheet).digest
    return sheet_hand_in(actor=by or works.tester, sheet=sheet, seen=seen, key=key())


def sign(works: SimpleNamespace, sheet: LogSheet, by: Actor | None = None) -> UUID:
    seen = stand_of(sheet).digest
    return sheet_sign(actor=by or works.supervisor, sheet=sheet, seen=seen, key=key())


def signed(works: SimpleNamespace, sheet: LogSheet) -> LogSheet:
    """Hand a sheet in and sign it."""
    hand_in(works, sheet)
    sign(works, sheet)
    return sheet


def correct(
    works: SimpleNamespace, measurement: Measurement, reading: str, **options: object
) -> Measurement:
    """Correct a measurement by a new reading."""
    by: Actor = options.get("by", works.tester)  # type: ignore[assignment]
    pk = result_correct(
        actor=by,
        measurement=measurement,
        entry=factories.conductivity(reading, works.used),
        reason=str(options.get("reason", "misread the dial")),
        key=str(options.get("key") or key()),
    )
    return Measurement.objects.get(plant=works.plant, pk=pk)


def decide(
    works: SimpleNamespace, amendment: Amendment, *, accept: bool = True, by: Actor | None = None
) -> UUID:
    return amendment_decide(
        actor=by or works.supervisor,
        amendment=amendment,
        seen=digest_of(rows_of_amendment(amendment)),
        key=key(),
        accept=accept,
        comment="" if accept else "not convincing",
    )


def act(works: SimpleNamespace, sample: Sample, **options: object) -> UUID:
    """Record a blowdown, with a retest half an hour later."""
    now = clock.now()
    done = Done(
        kind=str(options.get("kind", "blowdown")),
        done_at=now,
        amount="two turns",
        note=str(options.get("note", "")),
        retest_at=now + timedelta(minutes=30),
    )
    return action_record(
        actor=works.tester,
        sample=sample,
        result=options.get("result") or result_of(sample),  # type: ignore[arg-type]
        done=done,
        key=str(options.get("key") or key()),
        remedy=options.get("remedy"),  # type: ignore[arg-type]
    )


REMEDY_TYPED = {"steam_flow": "30000", "feed_conductivity": "60", "makeup_temperature": "60"}
REMEDY_UNITS = {
    "steam_flow": "lb/h",
    "feed_conductivity": "umho/cm",
    "makeup_temperature": "degF",
}


def plan(works: SimpleNamespace, sample: Sample, **options: object) -> UUID:
    return remedy_plan(
        actor=works.tester,
        result=options.get("result") or result_of(sample),  # type: ignore[arg-type]
        typed={**REMEDY_TYPED, **options.get("typed", {})},  # type: ignore[dict-item]
        units=REMEDY_UNITS,
        key=str(options.get("key") or key()),
    )


def by_token(works: SimpleNamespace, who: str, **options: Any) -> Actor:
    """Return a person as they act through a token that the founder made for them."""
    new = NewToken(
        user=works.people[who],
        label=str(options.get("label", f"Laboratory of {who}")),
        may_send=bool(options.get("may_send", True)),
        lasts_days=30,
    )
    maker = options.get("maker") or factories.founder(works.plant)
    found = actor_by_token(token_issue(actor=maker, new=new)[1])
    assert found is not None
    return found


def out_of_service(works: SimpleNamespace) -> str:
    """Register a meter that is out of service; returns its key."""
    meter = factories.instrument_add(
        actor=factories.founder(works.plant),
        kind="conductivity_meter",
        name="Meter on the shelf",
        in_service=False,
    )
    assert isinstance(meter, Instrument)
    return str(meter.pk)


def shift(works: SimpleNamespace) -> SimpleNamespace:
    """Tell the whole shift; returns what came of it."""
    high = draw(works, "1500")
    plan(works, high)
    act(works, high)
    slots_expand(works.plant)
    with later(40):
        slot = DueSlot.objects.filter(sample_point=works.point, due_at__gte=clock.now()).first()
        fine = draw(works, "1100", slot=slot)
        shelf = {**works.used, "meter": out_of_service(works)}
        doubtful = factories.conductivity("900", shelf, reasons={"meter": "the other one broke"})
        factories.sample(works.mate, works.point, doubtful)
        factories.sample(by_token(works, "mate"), works.point, gauge_glass("worked"))
    sheet = high.sheet
    with later(60):
        signed(works, sheet)
    with later(90):
        amended = correct(works, fine.measurements.get(), "1110")
        amendment = Amendment.objects.get(plant=works.plant, measurement=amended)
        decide(works, amendment)
    return SimpleNamespace(sheet=sheet, high=high, fine=fine, amendment=amendment)
