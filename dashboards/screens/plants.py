"""The chemist's first page, and the desk of one plant."""

from dataclasses import dataclass

from dashboards.screens.results import FollowUpView, ResultView
from dashboards.screens.sheets import SheetRow
from dashboards.screens.untested import MissedRow


@dataclass(frozen=True, kw_only=True)
class BoilerTrouble:
    """What is the matter with one boiler, or with the water that all of them share."""

    name: str
    boiler_id: str = ""
    state_word: str = ""
    out_of_range: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    overdue: int = 0


@dataclass(frozen=True, kw_only=True)
class PlantRow:
    """One plant at a glance; `last_text` says when the last sample was drawn.

    `troubles` has a line for each boiler about which anything has to be seen, `in_order` names the
    others.

    `page` names the page where this person's work there begins; who may see no result (`sees` is
    false) is shown no figure.
    """

    plant_id: str
    name: str
    page: str = "plant"
    sees: bool = True
    kind: str = ""
    boilers_text: str = ""
    out_of_range: int = 0
    overdue: int = 0
    doubts: int = 0
    sheets_waiting: int = 0
    sheets_not_handed_in: int = 0
    follow_ups: int = 0
    last_text: str = ""
    troubles: tuple[BoilerTrouble, ...] = ()
    in_order: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PlantsScreen:
    """All plants that this person may see, the ones in trouble first."""

    organization_name: str
    now_text: str
    rows: tuple[PlantRow, ...]


@dataclass(frozen=True, kw_only=True)
class BoilerRow:
    """One boiler on the desk: its state, its program and its newest result."""

    boiler_id: str
    name: str
    kind: str
    pressure_text: str
    state_word: str
    state_since: str = ""
    program_id: str = ""
    program_text: str = ""
    latest: ResultView | None = None
    latest_text: str = ""
    sample_id: str = ""


@dataclass(frozen=True, kw_only=True)
class OpenResult:
    """A result out of range that nothing has yet brought back."""

    sample_id: str
    boiler_name: str
    point_name: str
    drawn_text: str
    result: ResultView
    next_text: str = ""


@dataclass(frozen=True, kw_only=True)
class WaitingAmendment:
    """An amendment that waits for a second person; `mine` that this person proposed it."""

    sheet_id: str
    text: str
    by: str
    at_text: str
    mine: bool = False


@dataclass(frozen=True, kw_only=True)
class DeskScreen:
    """What waits at one plant for a supervisor or chemist."""

    plant_id: str
    plant_name: str
    kind: str
    now_text: str
    to_sign: tuple[SheetRow, ...] = ()
    amendments: tuple[WaitingAmendment, ...] = ()
    not_handed_in: tuple[SheetRow, ...] = ()
    doubts: tuple[OpenResult, ...] = ()
    look_backs: tuple[tuple[str, str], ...] = ()
    open_results: tuple[OpenResult, ...] = ()
    follow_ups: tuple[FollowUpView, ...] = ()
    missed: tuple[MissedRow, ...] = ()
    missed_count: int = 0
    boilers: tuple[BoilerRow, ...] = ()
    can_manage_people: bool = False
    can_see_round: bool = True
