"""A program: the limits and targets in force, their sources, its versions and their changes."""

from dataclasses import dataclass

from dashboards.screens.results import Strip


@dataclass(frozen=True, kw_only=True)
class LimitLine:
    """One analyte's limits and target, what they refer to, and where they come from."""

    analyte: str
    limit_text: str
    target_text: str
    unit: str
    basis_words: tuple[str, ...]
    source: str
    confidence: str
    strip: Strip | None = None
    note: str = ""
    guard_text: str = ""


@dataclass(frozen=True, kw_only=True)
class LimitPlace:
    """The limits of one sample point in one state."""

    title: str
    lines: tuple[LimitLine, ...]


@dataclass(frozen=True, kw_only=True)
class EventLine:
    """A draw that something happening asks for, and where that rule comes from."""

    text: str
    source: str


@dataclass(frozen=True, kw_only=True)
class VersionView:
    """One version of a program; it is never edited once it is in force."""

    version_id: str
    number: str
    in_force_text: str
    recorded_text: str
    by: str
    note: str
    standing: str = ""


@dataclass(frozen=True, kw_only=True)
class ProgramScreen:
    """A program: the version in force in full, all versions as a list."""

    plant_id: str
    program_id: str
    boiler_name: str
    about: str
    current: VersionView | None
    places: tuple[LimitPlace, ...] = ()
    versions: tuple[VersionView, ...] = ()
    schedule: tuple[str, ...] = ()
    events: tuple[EventLine, ...] = ()
    can_change: bool = False


@dataclass(frozen=True, kw_only=True)
class ChangeRow:
    """What became of a limit, a scheduled test or a draw after an event in the next version."""

    place: str
    what: str
    how: str
    details: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ProgramChangesScreen:
    """One version: what it changed against the one before, and all that it says."""

    plant_id: str
    program_id: str
    boiler_name: str
    version: VersionView
    earlier_text: str
    limits: tuple[ChangeRow, ...]
    tests: tuple[ChangeRow, ...]
    places: tuple[LimitPlace, ...]
    schedule: tuple[str, ...]
    draws: tuple[ChangeRow, ...] = ()
    events: tuple[EventLine, ...] = ()
