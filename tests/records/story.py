"""A short shift that leaves a row in every table: told once, by the services that users take."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from types import SimpleNamespace
from typing import Any
from uuid import UUID, uuid4

import pytest

from records import clock
from records.access import actor_by_token
from records.actors import Actor
from records.errors import RecordError
from records.models import (
    Amendment,
    BoilerState,
    DueSlot,
    Instrument,
    LogSheet,
    LookBack,
    Measurement,
    Program,
    Result,
    Sample,
    SamplePoint,
)
from records.selectors.bench import TestEntry
from records.selectors.check_work import CheckEntry, Run
from records.selectors.event_draws import EventEntry
from records.selectors.sheets import digest_of, rows_of_amendment, stand_of
from records.services.actions import Done, action_record, remedy_plan
from records.services.corrections import result_correct
from records.services.dispositions import result_dispose
from records.services.handover import handover_note_write
from records.services.instrument_checks import check_record
from records.services.instruments import InstrumentEntry, instrument_register
from records.services.lots import LotEntry, lot_register
from records.services.plants import boiler_state_set
from records.services.programs import ScheduleEntry, version_put_in_force
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


def confirmed(works: SimpleNamespace, reading: str, **options: object) -> Sample:
    """Register two samples, twenty minutes apart, that say the same; returns the second."""
    drawn = clock.now() - timedelta(minutes=20)
    draw(works, reading, drawn_at=drawn, **options)
    return draw(works, reading, **options)


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
        amount=str(options.get("amount", "two turns")),
        note=str(options.get("note", "seen on both meters")),
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


def note(works: SimpleNamespace, text: str = "softener 2 is rinsing", **options: Any) -> UUID:
    """Leave a note for the next shift."""
    by, now = options.get("by", works.tester), clock.now()
    return handover_note_write(
        actor=by, shift_of=options.get("shift_of", now), text=text, key=options.get("key", key())
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


def events(works: SimpleNamespace, *asked: EventEntry, point: SamplePoint | None = None) -> None:
    """Put a version in force now that asks for draws after events, and for nothing else."""
    where = point or works.point
    version_put_in_force(
        actor=works.chemist,
        program=Program.objects.get(plant=works.plant, boiler=where.boiler),
        in_force_from=clock.now(),
        limits=[],
        schedule=[],
        events=asked,
        key=key(),
    )


def set_state(works: SimpleNamespace, state: str, since: datetime | None = None) -> BoilerState:
    """Record the boiler's state, from now on where no time is given."""
    return boiler_state_set(
        actor=works.tester, boiler=works.boiler, state=state, since=since or clock.now()
    )


def layup_schedule(works: SimpleNamespace) -> None:
    """Put a version in force now: conductivity while steaming, pH and sulfite in wet lay-up."""
    asked = {"steaming": ["conductivity"], "wet_layup": ["ph", "sulfite"]}
    version_put_in_force(
        actor=works.chemist,
        program=Program.objects.get(plant=works.plant, boiler=works.boiler),
        in_force_from=clock.now(),
        limits=[],
        schedule=[
            ScheduleEntry(
                point=works.point, state=state, method=method, recurrence="FREQ=DAILY;BYHOUR=16"
            )
            for state, tests in asked.items()
            for method in tests
        ],
        key=key(),
    )


def after(works: SimpleNamespace, event: str, **more: Any) -> EventEntry:
    """Ask for conductivity of the boiler water half an hour after something: common practice."""
    entry = {"minutes_after": 30, "source": "common practice, no source", **more}
    return EventEntry(point=works.point, method="conductivity", event=event, **entry)


def hardness_above(
    works: SimpleNamespace, trigger: str = "35", unit: str = "umho/cm"
) -> EventEntry:
    """Ask for hardness where conductivity lies above a trigger: UFC 3-240-13FN (2005), 6-3.6."""
    return EventEntry(
        point=works.feed,
        method="hardness_total",
        event="result_above",
        minutes_after=0,
        source="UFC 3-240-13FN (2005), 6-3.6",
        watched_point=works.feed,
        watched_analyte="conductivity",
        trigger_value=trigger,
        trigger_unit=unit,
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


def day(away: int) -> str:
    """Return a date so many days from today."""
    return (clock.now() + timedelta(days=away)).date().isoformat()


def failed_check(works: SimpleNamespace) -> LookBack:
    """Check a new meter with its bottle: it passes, then fails, and a chemist decides about it."""
    figures = {
        "place": "shelf", "range_low": "0", "range_high": "20000", "resolution": "1",
        "unit": "umho/cm", "cell_constant": "1.0", "correction": "0", "correction_expanded": "1",
        "certificate": "C-1", "check_days": "90", "quick_days": "7", "note": "spare",
    }  # fmt: skip
    spare = InstrumentEntry(kind="conductivity_meter", name="Spare meter", figures=figures)
    pk = instrument_register(actor=works.supervisor, entry=spare, key=key())
    meter = Instrument.objects.get(plant=works.plant, pk=pk)
    known = {
        "value": "1400", "unit": "umho/cm", "expanded": "14", "behavior": "kcl", "note": "fresh",
        "percent_per_k": "1.9", "table": "20 1266; 25 1400", "certificate": "C-2",
        "received_on": day(-60), "opened_on": day(-9), "shelf": day(300),
        "use_days": "60", "volume_left": "400 mL",
    }  # fmt: skip
    bottle = LotEntry(kind="standard", name="KCl 1400", lot_number="K-1", figures=known)
    lot = lot_register(actor=works.supervisor, entry=bottle, key=key())
    for minutes, reading in ((0, "1400"), (1, "1600")):
        with later(minutes):
            entry = CheckEntry(
                instrument=meter, recipe="conductivity", version="1", done_at=clock.now(),
                found=Run(
                    typed={"reading": reading, "temperature": "25"},
                    units={"reading": "umho/cm", "temperature": "degC"},
                ),
                standards={"standard": str(lot)}, note="by the book",
            )  # fmt: skip
            check_record(actor=works.tester, entry=entry, key=key())
    return LookBack.objects.get(plant=works.plant, instrument=meter)


def shift(works: SimpleNamespace) -> SimpleNamespace:
    """Tell the whole shift; returns what came of it."""
    events(works, hardness_above(works), point=works.feed)
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
        note(works)
        failed_check(works)
        doubted = Measurement.objects.get(plant=works.plant, doubts__isnull=False)
        result_dispose(
            actor=works.chemist, measurement=doubted, outcome="void",
            reason="that meter was never right", key=key(),
        )  # fmt: skip
    sheet = high.sheet
    with later(60):
        signed(works, sheet)
    with later(90):
        amended = correct(works, fine.measurements.get(), "1110")
        amendment = Amendment.objects.get(plant=works.plant, measurement=amended)
        decide(works, amendment)
    return SimpleNamespace(sheet=sheet, high=high, fine=fine, amendment=amendment)
