"""The demo plant's three weeks, one event after another, as people would have lived them."""

import heapq
import itertools
import random
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from chemistry import units
from records import clock
from records.actors import Actor, Proof
from records.demo_drum import Drum
from records.models import (
    DueSlot,
    FollowUp,
    Instrument,
    LogSheet,
    Measurement,
    Plant,
    Remedy,
    SamplePoint,
    Verdict,
)
from records.selectors.bench import TestEntry, draw_of, test_work
from records.selectors.programs import state_at
from records.selectors.sheets import digest_of, rows_of_amendment, stand_of
from records.services.actions import Done, action_record, remedy_plan
from records.services.corrections import result_correct
from records.services.samples import SampleEntry, samples_register
from records.services.sheets import amendment_decide, sheet_hand_in, sheet_sign
from records.services.slots import slots_expand
from records.shifts import local, shift_at, shifts_of

_BY_SHIFT = {"Day": "wren", "Evening": "ivo", "Night": "tamsin"}
# What was planted, in days before the end (fixtures/demo/README.md).
VALVE_LEFT_SHUT = (12.0, 0.6)
MISSED_ROUND = 9
TYPING_SLIP = 7
AMENDED = 6
SPARE_CELL = 2
SHUT_KG_H = 500.0


class Days:
    """Replays due slots, retests, hand-ins and signings in the order of time."""

    def __init__(
        self,
        plant: Plant,
        told: dict[str, Any],
        actors: dict[str, Actor],
        begin: datetime,
        end: datetime,
    ) -> None:
        self._plant, self._actors, self._begin, self._end = plant, actors, begin, end
        self._dice = random.Random(20260310)
        self._count = itertools.count()
        self._todo: list[tuple[datetime, int, Callable[[datetime], None]]] = []
        self._shifts = shifts_of(plant)
        self._drums = {each["name"]: Drum(each, begin) for each in told["boilers"]}
        self._tools = {row.name: row for row in Instrument.objects.filter(plant=plant)}
        self._done: set[str] = set()

    def live(self) -> None:
        """Replay everything from the first round to the end."""
        with clock.clock_at(self._begin):
            slots_expand(self._plant, self._end + timedelta(hours=24))
        for days in VALVE_LEFT_SHUT:
            self._drums["Boiler 1"].plan_flow(self._end - timedelta(days=days), SHUT_KG_H)
        last = self._last_of_this_shift()
        for slot in DueSlot.objects.filter(plant=self._plant, due_at__lt=self._end).select_related(
            "sample_point__boiler"
        ):
            if slot.pk != last and not self._is_missed(slot):
                wait = timedelta(minutes=self._dice.randint(2, 24))
                self._at(slot.due_at + wait, self._draw_for(slot))
        self._plan_shift_ends()
        while self._todo:
            at, _number, deed = heapq.heappop(self._todo)
            if at < self._end:
                with clock.clock_at(at):
                    deed(at)

    def _at(self, instant: datetime, deed: Callable[[datetime], None]) -> None:
        heapq.heappush(self._todo, (instant, next(self._count), deed))

    def _last_of_this_shift(self) -> object:
        """The newest slot of boiler 1 is left undone, so that something is overdue."""
        slot = (
            DueSlot.objects.filter(
                plant=self._plant, due_at__lt=self._end, sample_point__boiler__name="Boiler 1"
            )
            .order_by("-due_at")
            .first()
        )
        return slot.pk if slot else None

    def _is_missed(self, slot: DueSlot) -> bool:
        day = (self._end - slot.due_at).days
        return day == MISSED_ROUND and local(self._plant, slot.due_at).hour == 2

    # Drawing and testing

    def _draw_for(self, slot: DueSlot) -> Callable[[datetime], None]:
        return lambda at: self._draw(slot.sample_point, at, slot)

    def _draw(self, point: SamplePoint, at: datetime, slot: DueSlot) -> None:
        tester = self._tester(at)
        water = self._water(point, at)
        days_ago = (self._end - at).total_seconds() / 86400
        entry = self._looked_at(point, at, self._entry(tester, point, water, days_ago))
        key = samples_register(
            actor=tester,
            entries=[
                SampleEntry(
                    key=f"demo-{slot.pk}",
                    point=point,
                    slot=slot,
                    drawn_at=at,
                    opened_at=at,
                    tests=(entry,),
                )
            ],
        )[0]
        self._answer(tester, key, at, days_ago)
        self._correct_slip(tester, key, water, at)

    def _looked_at(self, point: SamplePoint, at: datetime, entry: TestEntry) -> TestEntry:
        """Confirm what the program asks about, as a tester does who has looked again."""
        state = state_at(point.boiler, at)
        work = test_work(draw_of(point, state, at), entry)
        return replace(entry, confirmed=work.to_confirm)

    def _tester(self, at: datetime) -> Actor:
        return self._actors[_BY_SHIFT[shift_at(self._plant, at, self._shifts).name]]

    def _water(self, point: SamplePoint, at: datetime) -> float:
        if point.boiler is None:
            return self._drums["Boiler 1"].feed_at(at) * self._dice.gauss(1.0, 0.01)
        return self._drums[point.boiler.name].value_at(at)

    def _once(self, what: str, days_ago: float, day: int, point: SamplePoint) -> bool:
        """Say whether a planted event falls on this draw, the first of its day at boiler 1."""
        here = point.boiler is not None and point.boiler.name == "Boiler 1"
        if not here or int(days_ago) != day or what in self._done:
            return False
        self._done.add(what)
        return True

    def _entry(self, tester: Actor, point: SamplePoint, water: float, days_ago: float) -> TestEntry:
        read = water * self._dice.gauss(1.0, 0.006)
        if self._once("slip", days_ago, TYPING_SLIP, point):
            read /= 10
        if self._once("amended", days_ago, AMENDED, point):
            read *= 1.06
        spare = self._once("spare", days_ago, SPARE_CELL, point)
        return self._test(tester, read, spare=spare)

    def _test(self, tester: Actor, read: float, *, spare: bool = False) -> TestEntry:
        warm = self._dice.gauss(79.0, 2.0)
        dial = tester.user.username == "ivo"
        cell = "Cell C-2 (spare)" if spare else "Cell C-1"
        tools = {"meter": "Meter M-1", "cell": cell, "thermometer": "Thermometer T-3"}
        typed = {"reading": f"{float(f'{read:.3g}'):g}", "temperature": f"{warm:.0f}"}
        if dial:
            typed["dial"] = typed["temperature"]
        why = "Cell C-1 was being cleaned"
        return TestEntry(
            method="conductivity",
            version="1",
            mode="set_on_meter" if dial else "automatic",
            typed={**typed, "neutralized": "no"},
            units={"reading": "umho/cm", "temperature": "degF", "dial": "degF"},
            instruments={role: str(self._tools[name].pk) for role, name in tools.items()},
            reasons={"cell": why} if spare else {},
        )

    # What follows from a result

    def _answer(self, tester: Actor, key: UUID, at: datetime, days_ago: float) -> None:
        """Do what the verdict asks for; the last climb of boiler 1 is left to the newcomer."""
        verdict = Verdict.objects.filter(result__measurement__sample=key).first()
        if verdict is not None and verdict.side == "high" and days_ago > VALVE_LEFT_SHUT[1]:
            self._blow_down(tester, verdict, at)
        for follow_up in FollowUp.objects.filter(plant=self._plant, sample=key, kind="retest"):
            slot = follow_up.slots.get()
            wait = timedelta(minutes=self._dice.randint(1, 9))
            self._at(slot.due_at + wait, self._draw_for(slot))

    def _blow_down(self, tester: Actor, verdict: Verdict, at: datetime) -> None:
        result = verdict.result
        sample = result.measurement.sample
        boiler = sample.sample_point.boiler
        if boiler is None:
            return
        drum = self._drums[boiler.name]
        load = units.convert(drum.steam, "kg/h", "lb/h")
        typed = {
            "steam_flow": f"{load:.0f}",
            "feed_conductivity": f"{drum.feed:.0f}",
            "makeup_temperature": "58",
        }
        asked = {
            "steam_flow": "lb/h",
            "feed_conductivity": "umho/cm",
            "makeup_temperature": "degF",
        }
        key = remedy_plan(
            actor=tester, result=result, typed=typed, units=asked, key=f"demo-plan-{result.pk}"
        )
        remedy = Remedy.objects.get(pk=key)
        plan = drum.follow(remedy, at)
        action_record(
            actor=tester,
            sample=sample,
            result=result,
            remedy=remedy,
            done=Done(
                kind="blowdown",
                done_at=at,
                amount=plan.words,
                note="Found the continuous valve nearly shut" if plan.hours else plan.words,
                retest_at=at + timedelta(hours=plan.hours, minutes=30),
            ),
            key=f"demo-act-{result.pk}",
        )

    def _correct_slip(self, tester: Actor, key: UUID, water: float, at: datetime) -> None:
        """The typing slip is seen a quarter of an hour later and corrected before hand-in."""
        if "slip" in self._done and "slip corrected" not in self._done:
            self._done.add("slip corrected")
            measurement = Measurement.objects.get(sample=key)
            sample = measurement.sample
            right = self._looked_at(sample.sample_point, sample.drawn_at, self._test(tester, water))
            self._at(
                at + timedelta(minutes=15),
                self._correct(
                    tester, measurement, right, "Left off a digit: the dial stood ten times higher"
                ),
            )
        if "amended" in self._done and "amendment" not in self._done:
            self._done.add("amendment")
            self._at(at + timedelta(days=1, hours=6), self._amend(key, water))

    def _correct(
        self, tester: Actor, measurement: Measurement, right: TestEntry, reason: str
    ) -> Callable[[datetime], None]:
        def deed(_at: datetime) -> None:
            result_correct(
                actor=tester,
                measurement=measurement,
                entry=right,
                reason=reason,
                key=f"demo-slip-{measurement.pk}",
            )

        return deed

    def _amend(self, key: UUID, water: float) -> Callable[[datetime], None]:
        def deed(at: datetime) -> None:
            measurement = Measurement.objects.get(sample=key)
            tester = self._actors[measurement.by.username]
            new = result_correct(
                actor=tester,
                measurement=measurement,
                entry=self._test(tester, water),
                reason="Read the wrong range of the meter; found on the meter's own memory",
                key=f"demo-amend-{key}",
            )
            amendment = Measurement.objects.get(pk=new).amendments.get()
            with clock.clock_at(at + timedelta(hours=2)):
                amendment_decide(
                    actor=self._actors["magda"],
                    amendment=amendment,
                    seen=digest_of(rows_of_amendment(amendment)),
                    key=f"demo-amended-{key}",
                    accept=True,
                )

        return deed

    # Sheets

    def _plan_shift_ends(self) -> None:
        """Each tester hands in as the shift ends; the supervisor signs the morning after."""
        at = shift_at(self._plant, self._begin, self._shifts).ends_at
        while at < self._end:
            self._at(at + timedelta(minutes=10), self._hand_in)
            signed = at + timedelta(hours=12)
            if at + timedelta(hours=9) < self._end - timedelta(hours=9):
                self._at(min(signed, self._end - timedelta(hours=8)), self._sign_all)
            at = shift_at(self._plant, at, self._shifts).ends_at

    def _hand_in(self, at: datetime) -> None:
        shift = shift_at(self._plant, at - timedelta(minutes=30), self._shifts)
        sheet = LogSheet.objects.filter(
            plant=self._plant, shift_date=shift.day, shift_name=shift.name
        ).first()
        if sheet is None:
            return
        tester = self._actors[_BY_SHIFT[shift.name]].proved_by(Proof.PIN)
        seen = stand_of(sheet).digest
        sheet_hand_in(actor=tester, sheet=sheet, seen=seen, key=f"demo-in-{sheet.pk}")

    def _sign_all(self, at: datetime) -> None:
        """Sign what was handed in more than eight hours ago."""
        old = LogSheet.objects.filter(plant=self._plant, ends_at__lt=at - timedelta(hours=8))
        for sheet in old.exclude(signatures__meaning="signed"):
            stand = stand_of(sheet)
            if stand.status.value == "handed_in":
                sheet_sign(
                    actor=self._actors["magda"],
                    sheet=sheet,
                    seen=stand.digest,
                    key=f"demo-sign-{sheet.pk}",
                )
