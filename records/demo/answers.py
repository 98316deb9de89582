"""What the demo's people do about a result: draw again, treat, retest, correct, amend."""

import json
from collections.abc import Sequence
from datetime import timedelta
from uuid import UUID

from chemistry import units
from records import clock
from records.actors import Actor
from records.demo.rounds import Drawn, Rounds
from records.demo.scene import Scene
from records.demo.story import Story
from records.demo.told import Told
from records.demo.waters import Waters
from records.models import DueSlot, FollowUp, Measurement, Remedy, Result
from records.selectors.sheets import digest_of, rows_of_amendment
from records.services.actions import Done, action_record, remedy_plan
from records.services.corrections import result_correct
from records.services.sheets import amendment_decide

_CHEMICALS = {"phosphate": "tsp_crystals", "sulfite": "sodium_sulfite"}
_RETEST = timedelta(minutes=40)
# Whom to call was called: the next test comes in the next shift but one.
_CALLED = timedelta(hours=11)
# Where no figure can be given, the valve is opened for this long on the chemist's word: invented.
_BY_WORD = timedelta(hours=8)


class Answers:
    """Does what results ask for, until the story leaves it to the newcomer."""

    def __init__(self, scene: Scene, story: Story, waters: Waters, rounds: Rounds) -> None:
        self._scene, self._story, self._waters, self._rounds = scene, story, waters, rounds

    def follow(self, samples: Sequence[Drawn]) -> None:
        """Do what follows from samples that were just entered."""
        by_key = {each.key: each for each in samples}
        if not by_key:
            return
        owed = self._owed(by_key)
        answers = [each for each in owed if each.kind == "answer"]
        for each in answers:
            drawn = by_key[each.sample_id]
            if not self._story.left(drawn.at, drawn.point):
                self._answer(each, drawn)
        for each in self._owed(by_key) if answers else owed:
            if each.kind == "retest":
                self._plan(list(each.slots.select_related("line")), 1, 9)
        for drawn in samples:
            self._put_right(drawn)
        self.draw_asked([d.key for d in samples if not self._story.left(d.at, d.point)])

    def draw_asked(self, causes: Sequence[UUID]) -> None:
        """Draw what something that happened asks for."""
        for slot in DueSlot.objects.filter(plant=self._scene.plant, cause__in=causes):
            self._plan([slot], 8, 15)

    def _owed(self, keys: dict[UUID, Drawn]) -> list[FollowUp]:
        found = FollowUp.objects.filter(plant=self._scene.plant, sample__in=list(keys))
        return list(found.select_related("result__measurement__sample__sample_point__boiler"))

    def _plan(self, slots: list[DueSlot], least: int, most: int) -> None:
        for slot in slots:
            at = max(slot.due_at, clock.now()) + self._scene.minutes(least, most)
            self._scene.agenda.at(at, lambda now, s=slot: self.follow(self._rounds.draw([s], now)))  # type: ignore[misc]

    # Acting

    def _answer(self, owed: FollowUp, drawn: Drawn) -> None:
        result, boiler = owed.result, drawn.point.boiler
        treats = owed.why in ("high", "low") and boiler is not None
        asked = {("conductivity", "high"), ("phosphate", "low"), ("sulfite", "low")}
        if not treats or (result.analyte, owed.why) not in asked:
            note = "Called the supervisor and the chemist; the source is looked for"
            self._record(drawn, result, "called", "", note, _CALLED)
        elif result.analyte == "conductivity":
            self._blow_down(drawn, result)
        else:
            self._dose(drawn, result)

    def _record(
        self,
        drawn: Drawn,
        result: Result,
        kind: str,
        amount: str,
        note: str,
        retest: timedelta,
        remedy: Remedy | None = None,
    ) -> UUID:
        done = Done(
            kind=kind,
            done_at=clock.now(),
            amount=amount,
            note=note,
            retest_at=clock.now() + retest,
        )
        key = f"demo-act-{result.pk}"
        return action_record(
            actor=drawn.by,
            sample=result.measurement.sample,
            result=result,
            remedy=remedy,
            done=done,
            key=key,
        )

    def _asked(self, drawn: Drawn) -> dict[str, tuple[str, str]]:
        """Return what a remedy asks for about the boiler, typed in the plant's units."""
        assert drawn.point.boiler is not None
        drum = self._waters.drums[drawn.point.boiler.name]
        told = self._scene.told["units"]
        flow, cond = told["mass_flow_unit"], told["conductivity_unit"]
        cold = "58" if told["temperature_unit"] == "degF" else "14"
        return {
            "steam_flow": (f"{units.convert(drum.steam, 'kg/h', flow):.0f}", flow),
            "feed_conductivity": (f"{drum.feed_at(drawn.at):.0f}", cond),
            "boiler_conductivity": (f"{drawn.water['conductivity']:.0f}", cond),
            "makeup_temperature": (cold, told["temperature_unit"]),
            "next_test": ("24", "h"),
            "feed_oxygen": ("20", "ug/L"),
            "strength": ("97", "percent_of_span"),
            "program": ("free_caustic", ""),
        }

    def _planned(self, drawn: Drawn, result: Result, **chosen: str) -> Remedy:
        asked = self._asked(drawn)
        key = remedy_plan(
            actor=drawn.by,
            result=result,
            typed={**{key: text for key, (text, _unit) in asked.items()}, **chosen},
            units={key: unit for key, (_text, unit) in asked.items() if unit},
            key=f"demo-plan-{result.pk}",
        )
        found: Remedy = Remedy.objects.get(plant=self._scene.plant, pk=key)
        return found

    def _blow_down(self, drawn: Drawn, result: Result) -> None:
        assert drawn.point.boiler is not None
        drum = self._waters.drums[drawn.point.boiler.name]
        remedy, now = self._planned(drawn, result), clock.now()
        if remedy.refusal:
            drum.set_flow(now, drum.most, now + _BY_WORD, drum.usual)
            note = "No figure given; the chemist said to open the valve fully for eight hours"
            self._record(drawn, result, "called", "", note, _BY_WORD, remedy)
            return
        plan = json.loads(remedy.plan)
        hours, raised = (float(plan[key]) for key in ("hours", "raise_to_kg_h"))
        drum.set_flow(now, raised, now + timedelta(hours=hours), drum.usual)
        words = f"continuous valve opened for {hours:.1f} h, then set back"
        note = "Found the continuous valve nearly shut"
        retest = min(timedelta(hours=hours, minutes=30), timedelta(hours=23))
        self._record(drawn, result, "blowdown", words, note, retest, remedy)

    def _dose(self, drawn: Drawn, result: Result) -> None:
        assert drawn.point.boiler is not None
        drum = self._waters.drums[drawn.point.boiler.name]
        chemical = _CHEMICALS[result.analyte]
        remedy = self._planned(drawn, result, chemical=chemical)
        drum.plan_supply(clock.now(), result.analyte, 1.0)
        if remedy.refusal:
            note = "No dose was given; pump started again, called the chemist"
            uuid = self._record(drawn, result, "called", "", note, timedelta(hours=12), remedy)
        else:
            plan = json.loads(remedy.plan)
            drum.add(result.analyte, float(plan["predicted"]) - float(result.value))
            amount = f"{float(plan['dose_kg']):.2f} kg"
            note = "Pump found stopped, started again"
            uuid = self._record(drawn, result, "dose", amount, note, _RETEST, remedy)
        self.draw_asked([uuid])

    # Putting right

    def _put_right(self, drawn: Drawn) -> None:
        """A slip is seen a quarter of an hour later; another reading only after its signing."""
        for kind, wait in (("slip", timedelta(minutes=15)), ("amended", timedelta(hours=30))):
            told = drawn.planted.get(kind)
            if told is not None:
                plan = (drawn, told)
                self._scene.agenda.at(drawn.at + wait, lambda _at, p=plan: self._correct(*p))  # type: ignore[misc]

    def _correct(self, drawn: Drawn, told: Told) -> None:
        measurement = Measurement.objects.get(
            plant=self._scene.plant, sample=drawn.key, method="conductivity"
        )
        new = result_correct(
            actor=drawn.by,
            measurement=measurement,
            entry=self._rounds.test_again(drawn, "conductivity"),
            reason=told["reason"],
            key=f"demo-right-{drawn.key}",
        )
        if told.get("decided"):
            second = self._scene.supervisor()
            later = clock.now() + timedelta(hours=2)
            self._scene.agenda.at(later, lambda _at: self._decide(new, second))

    def _decide(self, measurement: UUID, second: Actor) -> None:
        amended = Measurement.objects.get(plant=self._scene.plant, pk=measurement)
        amendment = amended.amendments.get()
        amendment_decide(
            actor=second,
            amendment=amendment,
            seen=digest_of(rows_of_amendment(amendment)),
            key=f"demo-amended-{measurement}",
            accept=True,
        )
