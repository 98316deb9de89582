"""The form of a new program version: limits, schedule, a set laid beside, what it would judge."""

from dataclasses import dataclass

from dashboards.screens.fields import FieldView


@dataclass(frozen=True, kw_only=True)
class ProposalView:
    """A line of a published set beside a limit; `button` takes its figures over."""

    text: str
    set_title: str
    source: str
    confidence: str
    note: str = ""
    button: str = ""


@dataclass(frozen=True, kw_only=True)
class LimitEdit:
    """One limit of the form. Taken out, only its name and the way back are shown."""

    name: str  # "l3": what its fields' names begin with, and its place on the page
    analyte: str
    basis_words: tuple[str, ...]
    hidden: tuple[tuple[str, str], ...]
    out: bool
    ends: tuple[FieldView, ...]
    unit: FieldView
    more: tuple[FieldView, ...]
    about: str
    tag: str = ""
    error: str = ""
    span_text: str = ""
    confirm: FieldView | None = None
    proposals: tuple[ProposalView, ...] = ()
    open: bool = False


@dataclass(frozen=True, kw_only=True)
class LimitGroup:
    """The limits of one sample point in one state."""

    key: str
    title: str
    limits: tuple[LimitEdit, ...]
    open: bool = True


@dataclass(frozen=True, kw_only=True)
class TestTick:
    """A test that can be ticked on a schedule line."""

    __test__ = False  # a test of water; pytest must not collect it

    name: str
    label: str
    ticked: bool


@dataclass(frozen=True, kw_only=True)
class ScheduleEdit:
    """Tests of one sample point and state that are due at the same times."""

    name: str
    title: str
    hidden: tuple[tuple[str, str], ...]
    out: bool
    tests_text: str
    ticks: tuple[TestTick, ...]
    days: FieldView
    times: FieldView
    grace: FieldView
    more: tuple[FieldView, ...]
    weekdays: tuple[TestTick, ...]
    next_times: tuple[str, ...] = ()
    tests_error: str = ""
    open: bool = False
    more_open: bool = False


@dataclass(frozen=True, kw_only=True)
class EventEdit:
    """Tests that something happening asks for at one time after it.

    `watching` holds the trigger where a result is watched.
    """

    name: str
    title: str
    hidden: tuple[tuple[str, str], ...]
    out: bool
    tests_text: str
    ticks: tuple[TestTick, ...]
    times: tuple[FieldView, ...]
    more: tuple[FieldView, ...]
    watching: tuple[FieldView, ...] = ()
    tests_error: str = ""
    open: bool = False


@dataclass(frozen=True, kw_only=True)
class LaidView:
    """What a set said that was laid beside the form, and of what it says nothing."""

    title: str
    source: str
    edition: str
    confidence: str
    told: tuple[str, ...]
    none_words: str = ""


@dataclass(frozen=True, kw_only=True)
class OtherwiseRow:
    """One stored result that these limits would have judged otherwise."""

    when: str
    place: str
    analyte: str
    value: str
    before: str
    after: str


@dataclass(frozen=True, kw_only=True)
class TallyRow:
    """How many results of a point and analyte change, and how."""

    place: str
    analyte: str
    count_text: str
    changes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class LookView:
    """What the last weeks would have looked like under these limits. Nothing is stored."""

    since_text: str
    summary: str
    tallies: tuple[TallyRow, ...]
    rows: tuple[OtherwiseRow, ...]
    more_text: str = ""
    doubt_text: str = ""


@dataclass(frozen=True, kw_only=True)
class Trouble:
    """What is wrong, with the field that it stands beside."""

    anchor: str
    where: str
    text: str


@dataclass(frozen=True, kw_only=True)
class ProgramVersionScreen:
    """A new version of a program: a form whose every button sends, and keeps, all of it."""

    plant_id: str
    program_id: str
    title: str
    about: str
    follows_text: str
    groups: tuple[LimitGroup, ...]
    schedule: tuple[ScheduleEdit, ...]
    events: tuple[EventEdit, ...]
    add_limit: tuple[FieldView, ...]
    add_line: tuple[FieldView, ...]
    add_event: tuple[FieldView, ...]
    next_limit: str
    next_line: str
    next_event: str
    sets: FieldView | None
    in_force_from: FieldView
    note: FieldView
    key: str
    other_sets: tuple[str, ...] = ()
    laid: LaidView | None = None
    look: LookView | None = None
    trouble: tuple[Trouble, ...] = ()
