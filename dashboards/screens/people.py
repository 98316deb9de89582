"""People and enrolled terminals of one plant."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView


@dataclass(frozen=True, kw_only=True)
class PersonRow:
    """One who has or had a role at the plant."""

    user_id: str
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
class RoleHeld:
    """A role that a person has; `blocked` says why it can't be ended here by this reader."""

    role: str
    word: str
    since_text: str
    blocked: str = ""


@dataclass(frozen=True, kw_only=True)
class PersonScreen:
    """One person at the plant: their PIN and roles, and what this reader may change of them.

    `pin_form` gives a new PIN, `pin_blocked` says why not; `give` gives a role.
    """

    plant_id: str
    plant_name: str
    user_id: str
    name: str
    username: str
    roles: tuple[RoleHeld, ...]
    pin_text: str
    locked_words: str = ""
    pin_form: FormView | None = None
    pin_blocked: str = ""
    give: FormView | None = None
    errors: tuple[str, ...] = ()


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
