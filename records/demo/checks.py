"""The demo's checks of instruments: those planned, the one that failed, what came of it."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from uuid import UUID

import numpy as np

from chemistry import recipes
from records import clock
from records.actors import Actor
from records.demo.bench import Bench, Look
from records.demo.scene import Deed, Scene
from records.demo.told import Told
from records.models import Instrument, InstrumentKind, LookBack, Lot, Measurement, Outcome
from records.selectors.check_work import CheckEntry, Run
from records.selectors.look_backs import Reached, reached_by, supposed
from records.services.dispositions import results_dispose
from records.services.instrument_checks import check_record

_RECIPE = "conductivity"
# On the plant's clock, when somebody has time for a check: invented.
_HOUR = 10
# Of weekly checks, so that a full one comes before its ninety days are over: invented.
_FULL_EVERY = 12
# How often a standard is read otherwise than the last time, as a share: invented.
_SPREAD = 0.003
# The spare that takes over is checked this long after the one that failed: invented.
_SPARE_AFTER = timedelta(minutes=12)


class Checks:
    """Checks the conductivity meters of one plant, each with the cell that it is used with."""

    def __init__(self, scene: Scene, bench: Bench) -> None:
        self._scene, self._bench = scene, bench
        self._lots = {row.lot_number: str(row.pk) for row in Lot.objects.filter(plant=scene.plant)}

    def plan(self) -> None:
        """Put what is planned on the agenda: every so many days from one day to another, a full
        check at first, unless one came before, and in good time again."""
        longest = self._scene.days_ago(self._scene.begin)
        for told in self._scene.told["checks"]:
            number = 1 if told.get("quick") else 0
            every = np.arange(told["days"], told["until"], -told["every_days"], dtype=float)
            for days in every[every < longest]:
                at = self._scene.next_hour(self._scene.instant(float(days)), _HOUR)
                self._scene.agenda.at(at, self._planned(told, quick=number % _FULL_EVERY > 0))
                number += 1

    def _planned(self, told: Told, *, quick: bool) -> Deed:
        def check(at: datetime) -> None:
            kind = InstrumentKind.CONDUCTIVITY_METER
            look = Look(who={}, at=at, point="", instead={kind: told["instrument"]})
            read = self._bench.shown(kind, self._standard(told["lot"]), look, _SPREAD)
            self._check(self._scene.tester(at), told, f"{read:.0f}", quick=quick)

        return check

    def failed(self, told: Told) -> None:
        """Record the check that fails and that of the spare; the chemist looks at it later."""
        who, spare = self._scene.actors[told["who"]], told["spare"]
        self._check(who, told, told["reading"])
        plan = next(each for each in self._scene.told["checks"] if each["instrument"] == spare)
        later = clock.now() + _SPARE_AFTER
        self._scene.agenda.at(later, lambda _at: self._check(who, plan, told["spare_reading"]))
        if "decided" in told:
            at = clock.now() + timedelta(days=told["decided_after"])
            self._scene.agenda.at(at, lambda _at: self._decide(told))

    def _check(self, who: Actor, told: Told, reading: str, *, quick: bool = False) -> None:
        typed = {"reading": reading, "temperature": "25.0"}
        check_record(
            actor=who,
            entry=CheckEntry(
                instrument=self._bench.instrument(told["instrument"]),
                recipe=_RECIPE,
                version=recipes.latest(_RECIPE).version,
                done_at=clock.now(),
                found=Run(typed=typed, units={"reading": "uS/cm", "temperature": "degC"}),
                quick=quick,
                together=self._key(told.get("together", "")),
                standards={"standard": self._lots[told["lot"]]},
            ),
            key=f"demo-check-{self._key(told['instrument'])[-12:]}-{clock.now():%Y%m%d%H%M}",
        )

    def _key(self, name: str) -> str:
        return str(self._bench.instrument(name).pk) if name else ""

    def _standard(self, lot_number: str) -> float:
        told: Mapping[str, Told] = {lot["lot_number"]: lot for lot in self._scene.told["lots"]}
        return float(told[lot_number]["card"]["value"])

    def _decide(self, told: Told) -> None:
        """The chemist lets the older half of the results stand whose verdict is the same in any
        case; the rest waits."""
        failed: Instrument = self._bench.instrument(told["instrument"])
        back = LookBack.objects.get(plant=self._scene.plant, instrument=failed)
        reached = sorted(reached_by(back), key=lambda each: each.drawn_at)
        keys = _same_in_any_case(back, reached[: len(reached) // 2])
        results_dispose(
            actor=self._scene.chemist(),
            measurements=list(Measurement.objects.filter(plant=self._scene.plant, pk__in=keys)),
            outcome=Outcome.STANDS,
            reason=told["decided"],
            key=f"demo-decided-{back.pk}",
            look_back=back,
        )


def _same_in_any_case(back: LookBack, reached: list[Reached]) -> set[UUID]:
    """Return the measurements of which no verdict would be another, whatever is supposed."""
    keys = {each.measurement for each in reached}
    for each in supposed(back, reached):
        keys -= {each.reached[place].measurement for place in each.changed}
    return keys
