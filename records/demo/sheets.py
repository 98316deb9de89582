"""The demo's log sheets: each tester hands in as the shift ends, the supervisor signs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from records import clock
from records.actors import Actor, Proof
from records.demo.scene import Scene
from records.demo.story import Story
from records.demo.told import Told
from records.errors import Moved
from records.models import DueSlot, LogSheet
from records.selectors.sheet_pages import sheet_of_shift
from records.selectors.sheets import SheetStatus, stand_of
from records.services.handover import handover_note_write
from records.services.sheets import ToSign, sheet_hand_in, sheet_return, sheets_sign
from records.shifts import ShiftTime


@dataclass
class _Handed:
    """A sheet that waits for its signature: by whom handed in, and as it was seen then."""

    sheet: LogSheet
    shift: ShiftTime
    tester: Actor
    seen: str


class Sheets:
    """Marks the sheets of one plant; that of the last shift that ended is left to be signed."""

    def __init__(self, scene: Scene, story: Story) -> None:
        self._scene, self._story = scene, story
        self._waiting: list[_Handed] = []

    def plan(self) -> None:
        """Put every end of a shift and every signing on the agenda."""
        shift = self._scene.shift(self._scene.begin)
        while shift.ends_at < self._scene.end:
            at = shift.ends_at + timedelta(minutes=10)
            self._scene.agenda.at(at, lambda _at, s=shift: self._hand_in(s))  # type: ignore[misc]
            shift = self._scene.shift(shift.ends_at)
        at = self._scene.next_hour(self._scene.begin, self._scene.told["signs_at"])
        while at < self._scene.end:
            self._scene.agenda.at(at, self._sign)
            at = self._scene.next_hour(at, self._scene.told["signs_at"])

    def _hand_in(self, shift: ShiftTime) -> None:
        sheet = sheet_of_shift(self._scene.plant, shift)
        if sheet is not None:
            tester = self._scene.crew(shift).proved_by(Proof.PIN)
            self._waiting.append(self._mark(_Handed(sheet, shift, tester, "")))

    def _mark(self, handed: _Handed) -> _Handed:
        """Hand a sheet in, for the first time or again."""
        handed.seen = stand_of(handed.sheet).digest
        sheet_hand_in(
            actor=handed.tester,
            sheet=handed.sheet,
            seen=handed.seen,
            key=f"demo-in-{handed.sheet.pk}-{clock.now():%m%d%H%M}",
            alone=bool(self._scene.told_shift(handed.shift.name).get("alone")),
        )
        return handed

    def _sign(self, at: datetime) -> None:
        """Sign what waits; a sheet that the story returns goes back instead."""
        left = self._left_to_sign()
        ready = [each for each in self._waiting if each.shift.ends_at != left]
        self._waiting = [each for each in self._waiting if each not in ready]
        fit: list[_Handed] = []
        for each in ready:
            told = self._story.returned(each.shift)
            if told is None:
                fit.append(each)
            else:
                self._return(each, told, at)
        try:
            self._seal(fit)
        except Moved:  # something was written on one since: its tester hands it in again
            changed = [h for h in fit if stand_of(h.sheet).status is SheetStatus.CHANGED]
            for each in changed:
                self._mark(each)
            self._seal(fit)

    def _left_to_sign(self) -> datetime | None:
        """Return the end of the newest shift that is over and had a test due: the newcomer signs
        its sheet."""
        now = self._scene.shift(self._scene.end)
        due = DueSlot.objects.filter(
            plant=self._scene.plant, line__isnull=False, due_at__lt=now.starts_at
        )
        newest = due.order_by("-due_at").values_list("due_at", flat=True).first()
        return self._scene.shift(newest).ends_at if newest else None

    def _seal(self, handed: Sequence[_Handed]) -> None:
        sheets_sign(
            actor=self._scene.supervisor(),
            sheets=[
                ToSign(sheet=h.sheet, seen=h.seen, key=f"demo-sign-{h.sheet.pk}-{h.seen[:8]}")
                for h in handed
            ],
        )

    def _return(self, handed: _Handed, told: Told, at: datetime) -> None:
        """Send a sheet back; a day later its tester writes what was missing and hands it in."""
        sheet_return(
            actor=self._scene.supervisor(),
            sheet=handed.sheet,
            seen=handed.seen,
            key=f"demo-back-{handed.sheet.pk}",
            comment=told["comment"],
        )

        def complete(_at: datetime) -> None:
            handover_note_write(
                actor=handed.tester,
                shift_of=handed.shift.starts_at,
                text=told["answer"],
                key=f"demo-answer-{handed.sheet.pk}",
            )
            self._waiting.append(self._mark(handed))

        self._scene.agenda.at(at + timedelta(hours=8), complete)
