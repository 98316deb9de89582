"""A boiler's program: the limits and targets in force, their sources, a new version."""

from dataclasses import dataclass

from dashboards.screens.fields import FieldView
from dashboards.screens.results import Strip


@dataclass(frozen=True, kw_only=True)
class LimitLine:
    """One analyte's limits and target, what they refer to, and where they come from."""

    analyte: str
    point_name: str
    limit_text: str
    target_text: str
    unit: str
    basis_words: tuple[str, ...]
    source: str
    confidence: str
    strip: Strip | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class VersionView:
    """One version of a program; it is never edited once it is in force."""

    number: str
    in_force_text: str
    recorded_text: str
    by: str
    note: str
    lines: tuple[LimitLine, ...]


@dataclass(frozen=True, kw_only=True)
class ProgramScreen:
    """The program of one boiler, the version in force first."""

    plant_id: str
    program_id: str
    boiler_name: str
    pressure_text: str
    treatment: str
    current: VersionView | None
    coming: tuple[VersionView, ...] = ()
    older: tuple[VersionView, ...] = ()
    schedule: tuple[str, ...] = ()
    can_change: bool = False


@dataclass(frozen=True, kw_only=True)
class SetLine:
    """What a published set says about one analyte at this pressure; `none_words` where nothing."""

    analyte: str
    limit_text: str
    unit: str
    basis_words: tuple[str, ...] = ()
    note: str = ""
    none_words: str = ""


@dataclass(frozen=True, kw_only=True)
class PublishedSet:
    """A published set of limits beside its source, as it applies at this boiler's pressure."""

    key: str
    title: str
    source: str
    edition: str
    confidence: str
    lines: tuple[SetLine, ...]
    must_confirm: bool = False


@dataclass(frozen=True, kw_only=True)
class LineForm:
    """The entry fields of one line of a new version."""

    analyte: str
    point_name: str
    unit: str
    basis_words: tuple[str, ...]
    low: FieldView
    high: FieldView
    target: FieldView
    source: FieldView | None = None


@dataclass(frozen=True, kw_only=True)
class ProgramVersionScreen:
    """A new version: the published sets side by side, then what this plant will work to."""

    plant_id: str
    program_id: str
    boiler_name: str
    pressure_text: str
    boiler_kind: str
    sets: tuple[PublishedSet, ...]
    lines: tuple[LineForm, ...]
    others: tuple[FieldView, ...]
    key: str
    errors: tuple[str, ...] = ()
