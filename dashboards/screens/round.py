"""The tester's round: what is due, what is begun, what is done in this shift."""

from dataclasses import dataclass

from dashboards.screens.results import ResultView
from dashboards.screens.untested import MissedRow


@dataclass(frozen=True, kw_only=True)
class DueRow:
    """One sample due: `late_words` ("2 h 10 min late") is "" while it is not overdue.

    `draw_text` says how much water its tests need. `why` is given where a result or an event asked
    for it; `missed` where its grace is over. `draft_id` stands where I have already begun it;
    `held_by` names another tester who has. `key` makes a second press the same start.
    """

    slot_id: str
    point_id: str
    method: str
    key: str
    boiler_name: str
    point_name: str
    tests: tuple[str, ...]
    due_text: str
    state_word: str = ""
    late_words: str = ""
    draw_text: str = ""
    why: str = ""
    missed: bool = False
    draft_id: str = ""
    held_by: str = ""


@dataclass(frozen=True, kw_only=True)
class DraftRow:
    """A bench sheet of mine that is not finished."""

    draft_id: str
    boiler_name: str
    point_name: str
    tests: tuple[str, ...]
    begun_text: str
    saved_text: str = ""


@dataclass(frozen=True, kw_only=True)
class DoneRow:
    """A result of this shift."""

    sample_id: str
    boiler_name: str
    point_name: str
    drawn_text: str
    tester_name: str
    result: ResultView
    late_mark: str = ""


@dataclass(frozen=True, kw_only=True)
class UnscheduledPoint:
    """A point where an extra sample may be drawn at any time."""

    point_id: str
    label: str
    method: str
    key: str


@dataclass(frozen=True, kw_only=True)
class RoundScreen:
    """Everything that the round page shows; `retests` holds what an event asked for too."""

    plant_id: str
    plant_name: str
    shift_text: str
    now_text: str
    overdue: tuple[DueRow, ...] = ()
    due: tuple[DueRow, ...] = ()
    retests: tuple[DueRow, ...] = ()
    later: tuple[DueRow, ...] = ()
    drafts: tuple[DraftRow, ...] = ()
    done: tuple[DoneRow, ...] = ()
    not_tested: tuple[MissedRow, ...] = ()
    extra: tuple[UnscheduledPoint, ...] = ()
    next_text: str = ""
    sheet_id: str = ""
    sheet_status_word: str = ""
    can_draw: bool = True
