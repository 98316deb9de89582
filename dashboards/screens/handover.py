"""The handover of a shift: what the next one must know, on one page."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView
from dashboards.screens.plants import OpenResult
from dashboards.screens.results import ActionView, FollowUpView
from dashboards.screens.sheets import NoteView
from dashboards.screens.untested import MissedRow


@dataclass(frozen=True, kw_only=True)
class BoilerStateLine:
    """A boiler's present state, and each change of it in the shift."""

    name: str
    state_word: str
    since_text: str = ""
    changes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class OutOfOrder:
    """An instrument or bottle that can't be used without a reason, and why."""

    name: str
    kind: str
    word: str


@dataclass(frozen=True, kw_only=True)
class ComingDraw:
    """Tests due in the next hours; `late_words` is "" while there is time left."""

    due_text: str
    place: str
    tests: str
    late_words: str = ""


@dataclass(frozen=True, kw_only=True)
class UnfinishedSheet:
    """Somebody's unfinished bench sheet: whose and where, not what is typed on it."""

    begun_text: str
    tester_name: str
    place: str
    tests: str


@dataclass(frozen=True, kw_only=True)
class HandoverScreen:
    """Everything that one shift hands to the next.

    `shift` is "now" or "before". `note_help` says what a note does to the sheet as it stands.
    """

    plant_id: str
    plant_name: str
    shift: str
    shift_text: str
    span_text: str
    now_text: str
    people: tuple[str, ...] = ()
    stops: tuple[FollowUpView, ...] = ()
    owed: tuple[FollowUpView, ...] = ()
    out_of_range: tuple[OpenResult, ...] = ()
    actions: tuple[ActionView, ...] = ()
    boilers: tuple[BoilerStateLine, ...] = ()
    untested: tuple[MissedRow, ...] = ()
    out_of_order: tuple[OutOfOrder, ...] = ()
    coming: tuple[ComingDraw, ...] = ()
    unfinished: tuple[UnfinishedSheet, ...] = ()
    notes: tuple[NoteView, ...] = ()
    notes_before: tuple[NoteView, ...] = ()
    note_form: FormView | None = None
    note_help: str = ""
    sheet_id: str = ""
    sheet_status_word: str = ""
    whom_to_call: str = ""
    printed_text: str = ""
