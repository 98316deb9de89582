"""People and enrolled terminals of one plant."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView


@dataclass(frozen=True, kw_only=True)
class PersonRow:
    """One member of the plant."""

    name: str
    username: str
    roles: tuple[str, ...]
    has_pin: bool = False
    locked_words: str = ""
    unlock_id: str = ""
    active: bool = True


@dataclass(frozen=True, kw_only=True)
class PeopleScreen:
    """Who works here, and the form that adds one more."""

    plant_id: str
    plant_name: str
    rows: tuple[PersonRow, ...]
    form: FormView | None = None


@dataclass(frozen=True, kw_only=True)
class TerminalRow:
    """One shared terminal; `revoke_key` is filled where this person may revoke it."""

    terminal_id: str
    name: str
    enrolled_text: str
    enrolled_by: str = ""
    last_seen_text: str = ""
    revoked_text: str = ""
    this_one: bool = False
    revoke_key: str = ""


@dataclass(frozen=True, kw_only=True)
class TerminalsScreen:
    """The shared terminals of a plant, and the form that enrolls this browser as one."""

    plant_id: str
    plant_name: str
    rows: tuple[TerminalRow, ...]
    form: FormView | None = None
