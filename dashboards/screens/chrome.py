"""What surrounds every page: the plant, the person and the way around."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class NavItem:
    """One entry of the main navigation."""

    label: str
    url: str
    current: bool = False


@dataclass(frozen=True, kw_only=True)
class Chrome:
    """The header of a page; `locked` means that no person is named on this terminal.

    `idle_seconds` is the time after which a shared terminal locks itself, 0 where it never does.
    """

    plant_name: str = ""
    plant_id: str = ""
    person_name: str = ""
    on_terminal: bool = False
    roles: tuple[str, ...] = ()
    nav: tuple[NavItem, ...] = ()
    idle_seconds: int = 0
    locked: bool = False
