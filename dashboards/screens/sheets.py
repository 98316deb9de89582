"""Log sheets: the list, and one sheet as it is read, printed and signed."""

from dataclasses import dataclass
from typing import Literal

from dashboards.screens.fields import FormView
from dashboards.screens.results import (
    ActionView,
    CheckRow,
    CorrectionView,
    FollowUpView,
    RawReading,
    ResultView,
)
from dashboards.screens.untested import MissedRow

Status = Literal["draft", "handed_in", "changed", "returned", "signed"]


@dataclass(frozen=True, kw_only=True)
class SheetRow:
    """One sheet in the list; `status_word` says its status in words."""

    sheet_id: str
    shift_text: str
    date_text: str
    status: Status
    status_word: str
    results: int = 0
    out_of_range: int = 0
    missed: int = 0
    testers: str = ""
    signed_by: str = ""
    alone_by: str = ""
    waits_for_me: bool = False


@dataclass(frozen=True, kw_only=True)
class SheetListScreen:
    """The log sheets of one plant, newest first."""

    plant_id: str
    plant_name: str
    rows: tuple[SheetRow, ...]
    older_url: str = ""
    newer_url: str = ""


@dataclass(frozen=True, kw_only=True)
class ResultRow:
    """One line of the table of results.

    `correct_word` is "Correct" or "Amend", or "" where neither is open to this person.
    """

    measurement_id: str
    sample_id: str
    drawn_text: str
    boiler_name: str
    point_name: str
    test_name: str
    raw: tuple[RawReading, ...]
    result: ResultView
    tester_name: str
    late_mark: str = ""
    corrections: tuple[CorrectionView, ...] = ()
    correct_word: str = ""


@dataclass(frozen=True, kw_only=True)
class ResultGroup:
    """Results under one heading: a boiler and point, or what is the matter with them."""

    key: str
    title: str
    rows: tuple[ResultRow, ...]


@dataclass(frozen=True, kw_only=True)
class Corrected:
    """A result that was corrected or amended: what it is now, and the older one with its reason."""

    drawn_text: str
    boiler_name: str
    test_name: str
    new_text: str
    old: CorrectionView


@dataclass(frozen=True, kw_only=True)
class NoteView:
    """A note of the outgoing shift in its own words."""

    text: str
    by: str
    at_text: str


@dataclass(frozen=True, kw_only=True)
class SignatureView:
    """Who signed, when, with which meaning ("handed in", "signed"), over which digest.

    `proof_text` says how that was proved and where, `note` who was alone.
    """

    name: str
    role_word: str
    meaning: str
    at_text: str
    digest_short: str
    comment: str = ""
    proof_text: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class AmendmentView:
    """An amendment; waiting for the second person until `signed_by` is filled.

    `form` signs it, where this person may; `blocked` says why this person may not.
    """

    amendment_id: str
    text: str
    reason: str
    by: str
    at_text: str
    digest: str = ""
    signed_by: str = ""
    signed_at_text: str = ""
    comment: str = ""
    form: FormView | None = None
    blocked: str = ""


@dataclass(frozen=True, kw_only=True)
class SheetScreen:
    """Everything that one log sheet shows.

    `digest` is what a signature will cover and is sent back as `seen`; `stale` says that the sheet
    moved on since the person opened it. `cannot_sign` gives the reason where signing is not open.
    `groups` holds all results by boiler and point; `stops`, `exceptions` and what follows them come
    first. `alone_by` names who handed it in as alone on the shift.
    """

    plant_id: str
    sheet_id: str
    plant_name: str
    organization_name: str
    shift_text: str
    date_text: str
    status: Status
    status_word: str
    digest: str
    digest_short: str
    results: tuple[ResultRow, ...]
    groups: tuple[ResultGroup, ...] = ()
    stops: tuple[FollowUpView, ...] = ()
    exceptions: tuple[ResultGroup, ...] = ()
    without_limit: tuple[str, ...] = ()
    corrected: tuple[Corrected, ...] = ()
    late: tuple[ResultRow, ...] = ()
    checks: tuple[CheckRow, ...] = ()
    grave_checks: tuple[CheckRow, ...] = ()
    untested: tuple[MissedRow, ...] = ()
    actions: tuple[ActionView, ...] = ()
    follow_ups: tuple[FollowUpView, ...] = ()
    notes: tuple[NoteView, ...] = ()
    signatures: tuple[SignatureView, ...] = ()
    alone_by: str = ""
    amendments: tuple[AmendmentView, ...] = ()
    testers: tuple[str, ...] = ()
    ledger_head: str = ""
    ledger_sequence: str = ""
    return_comment: str = ""
    returned_by: str = ""
    stale: bool = False
    cannot_sign: str = ""
    hand_in: FormView | None = None
    sign: FormView | None = None
    send_back: FormView | None = None
    printed_text: str = ""

    @property
    def all_well(self) -> bool:
        """Whether there is nothing that a reader must see before the results."""
        return not any(
            (
                self.stops,
                self.exceptions,
                self.grave_checks,
                self.untested,
                self.corrected,
                self.late,
                self.follow_ups,
                any(not each.signed_by for each in self.amendments),
            )
        )

    def form_named(self, name: str) -> FormView | None:
        """Return the form of a mark, or None where it is not open; amendments by their key."""
        marks = {"hand_in": self.hand_in, "sign": self.sign, "return": self.send_back}
        amendments = {f"amendment-{item.amendment_id}": item.form for item in self.amendments}
        return {**marks, **amendments}.get(name)
