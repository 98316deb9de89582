"""The shared terminal: who is at the bench now."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, kw_only=True)
class PersonButton:
    """A person who may work at this terminal; `locked_until` is a time of day or ""."""

    user_id: str
    name: str
    role_word: str = ""
    has_draft: bool = False
    locked_until: str = ""


@dataclass(frozen=True, kw_only=True)
class TerminalScreen:
    """The locked terminal.

    `state`: not_enrolled explains how to enroll; names lists the people; pin asks `chosen` for the
    PIN; locked tells until when the chosen person is locked out here.
    """

    state: Literal["not_enrolled", "names", "pin", "locked"]
    plant_name: str = ""
    terminal_name: str = ""
    now_text: str = ""
    now_iso: str = ""
    people: tuple[PersonButton, ...] = ()
    chosen: PersonButton | None = None
    error: str = ""
    tries_left_words: str = ""
    overdue_words: str = ""
