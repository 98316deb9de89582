"""The tester's round."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import ceil
from uuid import uuid4

from django.utils.translation import gettext as _

from chemistry import methods
from chemistry.methods.base import Method
from chemistry.methods.drawing import in_bench_order, sample_needed_ml
from dashboards import words
from dashboards.build.bench import FOLLOW_UP_WHY
from dashboards.build.event_words import event_why
from dashboards.build.results import stand_view
from dashboards.build.sheets import STATUS_WORDS
from dashboards.build.untested import missed_rows
from dashboards.screens.round import DoneRow, DraftRow, DueRow, RoundScreen, UnscheduledPoint
from records import clock
from records.actors import Actor
from records.models import Draft, DueSlot, LogSheet, Plant
from records.permissions import Deed
from records.selectors.results import results_on_sheet
from records.selectors.rounds import (
    Due,
    SlotStand,
    StateHistory,
    drafts_of,
    explained_on,
    points_of,
    slots_for_round,
)
from records.selectors.sheet_pages import sheet_of_shift
from records.selectors.sheets import stand_of
from records.services.slot_answers import EARLY
from records.shifts import ShiftTime, shift_at, shifts_of

AHEAD = timedelta(hours=12)
# The test that is offered where none is asked for.
EXTRA_TEST = "conductivity"


def round_screen(actor: Actor) -> RoundScreen:
    """Return what is due, begun and done at the actor's plant in the present shift.

    One line for a point and test: a sample drawn now is not the one that was missed hours ago,
    which stays missed on its sheet and the desk.
    """
    plant, now = actor.plant, clock.now()
    shift = shift_at(plant, now, shifts_of(plant))
    slots = slots_for_round(
        plant,
        now=now,
        early=now + EARLY,
        since=shift.starts_at - timedelta(hours=4),
        until=now + AHEAD,
        in_grace=True,
    )
    drafts = drafts_of(actor)
    rows = _Rows(plant, now, drafts)
    owed = [s for s in slots if s.open and s.due in (Due.OVERDUE, Due.MISSED)]
    later = [s for s in slots if s.due is Due.LATER]
    due = [s for s in slots if s.due is Due.NOW]
    newest = [s for s in _newest(slots).values() if s.open]
    sheet = sheet_of_shift(plant, shift)
    return RoundScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        shift_text=_shift_text(shift),
        now_text=words.time_of(plant, now),
        overdue=rows.of([s for s in newest if s in owed]),
        retests=rows.of([s for s in (*owed, *due) if not s.slot.line_id]),
        due=rows.of([s for s in newest if s in due]),
        later=rows.of(later),
        drafts=tuple(_draft_row(plant, draft) for draft in drafts),
        done=_done(plant, sheet) if sheet else (),
        not_tested=missed_rows(plant, explained_on(sheet), asks=False, sheet=sheet)
        if sheet
        else (),
        extra=tuple(_extra(plant)),
        next_text=_next(plant, later),
        sheet_id=str(sheet.pk) if sheet else "",
        sheet_status_word=_(STATUS_WORDS[stand_of(sheet).status]) if sheet else "",
        can_draw=actor.may(Deed.TEST),
    )


def _newest(slots: Sequence[SlotStand]) -> dict[object, SlotStand]:
    """Return the newest slot of each point and test whose time has come, the oldest point first."""
    come = [s for s in slots if s.slot.line_id and s.due is not Due.LATER]
    return {(s.slot.sample_point_id, s.slot.method): s for s in come}


def _shift_text(shift: ShiftTime) -> str:
    return _("%(name)s shift, %(day)s") % {"name": shift.name, "day": words.day(shift.day)}


def _next(plant: Plant, later: Sequence[SlotStand]) -> str:
    if not later:
        return ""
    return _("Next at %(at)s.") % {"at": words.time_of(plant, later[0].slot.due_at)}


class _Rows:
    """Lines of what is due; the states of all boilers are read once."""

    def __init__(self, plant: Plant, now: datetime, drafts: Sequence[Draft]) -> None:
        self._plant, self._now = plant, now
        self._states = StateHistory(plant)
        self._begun = {draft.sample_point_id: str(draft.pk) for draft in drafts}

    def of(self, stands: Sequence[SlotStand]) -> tuple[DueRow, ...]:
        """Return a line for each point and time: one sample answers all its tests."""
        lines: dict[object, list[SlotStand]] = {}
        for stand in stands:
            lines.setdefault(stand.line, []).append(stand)
        return tuple(self._row(line) for line in lines.values())

    def _row(self, line: Sequence[SlotStand]) -> DueRow:
        slot = line[0].slot
        boiler_name, point_name = words.place(slot.sample_point)
        state = self._states.at(slot.sample_point.boiler, self._now)
        tests = _in_order(line)
        return DueRow(
            slot_id=str(slot.pk),
            point_id=str(slot.sample_point_id),
            method=slot.method,
            key=str(uuid4()),
            boiler_name=boiler_name,
            point_name=point_name,
            tests=tuple(_(method.name) for method in tests),
            due_text=words.time_of(self._plant, slot.due_at),
            state_word=words.state_word(state),
            late_words=words.late(self._now - slot.due_at),
            draw_text=to_draw(tests),
            why=_why(self._plant, slot),
            missed=line[0].due is Due.MISSED,
            draft_id=self._begun.get(slot.sample_point_id, ""),
        )


def _in_order(line: Sequence[SlotStand]) -> list[Method]:
    """Return the tests of a line in the order in which they are done at the bench."""
    keys = in_bench_order(dict.fromkeys(stand.slot.method for stand in line))
    return [methods.latest(key) for key in keys]


def to_draw(tests: Sequence[Method]) -> str:
    """Return how much to draw, to the next 10 mL; readings from a dial need no water."""
    needed = 10 * ceil(sample_needed_ml(tests) / 10)
    return _("draw at least %(ml)s mL") % {"ml": needed} if needed else ""


def _why(plant: Plant, slot: DueSlot) -> str:
    if slot.follow_up is not None:
        return _(FOLLOW_UP_WHY.get(slot.follow_up.why, ""))
    return event_why(plant, slot)


def _draft_row(plant: Plant, draft: Draft) -> DraftRow:
    boiler_name, point_name = words.place(draft.sample_point)
    saved = _("last saved %(at)s") % {"at": words.time_of(plant, draft.changed_at)}
    return DraftRow(
        draft_id=str(draft.pk),
        boiler_name=boiler_name,
        point_name=point_name,
        tests=tuple(_(methods.latest(key).name) for key in draft.method_versions),
        begun_text=words.time_of(plant, draft.opened_at),
        saved_text=saved if draft.revision else "",
    )


def _done(plant: Plant, sheet: LogSheet) -> tuple[DoneRow, ...]:
    rows = []
    for stand in reversed([s for s in results_on_sheet(sheet) if s.current]):
        boiler_name, point_name = words.place(stand.sample.sample_point)
        rows.append(
            DoneRow(
                sample_id=str(stand.sample.pk),
                boiler_name=boiler_name,
                point_name=point_name,
                drawn_text=words.time_of(plant, stand.sample.drawn_at),
                tester_name=stand.measurement.by_name,
                result=stand_view(plant, stand),
                late_mark=_("entered late") if stand.sample.late else "",
            )
        )
    return tuple(rows)


def _extra(plant: Plant) -> list[UnscheduledPoint]:
    return [
        UnscheduledPoint(
            point_id=str(point.pk),
            label=", ".join(dict.fromkeys(words.place(point))),
            method=EXTRA_TEST,
            key=str(uuid4()),
        )
        for point in points_of(plant)
    ]
