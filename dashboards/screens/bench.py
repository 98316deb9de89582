"""The bench sheet: one sample's tests, worked as they are typed."""

from dataclasses import dataclass

from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.results import OutcomeView, ResultView


@dataclass(frozen=True, kw_only=True)
class StepView:
    """One step of a procedure; cautions are set apart."""

    text: str
    caution: bool = False


@dataclass(frozen=True, kw_only=True)
class ModeView:
    """One honest mode of a method; `help` says when it is the right one."""

    key: str
    label: str
    help: str = ""
    selected: bool = False


@dataclass(frozen=True, kw_only=True)
class InstrumentView:
    """The choice of one instrument by its role and the state of the chosen one.

    `state` is one of ok, due_soon, overdue, failed, out_of_service, none; `state_word` says it.
    `reason` is always there and is shown while `needs_reason`: the chosen one may not be used
    without it.
    """

    choice: FieldView
    state: str = "ok"
    state_word: str = ""
    reason: FieldView | None = None
    needs_reason: bool = False


@dataclass(frozen=True, kw_only=True)
class FieldError:
    """What is wrong with one field, for the field with that id."""

    field_id: str
    message: str


@dataclass(frozen=True, kw_only=True)
class WorkedView:
    """The live area of one test.

    `waiting` says what is still to be entered. `errors` must hold one entry per field of the block,
    with an empty message where nothing is wrong, so that an old message is taken away. `trouble` is
    for what belongs to no single field. `confirm` asks to confirm an unlikely value.
    """

    block_key: str
    result: ResultView | None = None
    more: tuple[ResultView, ...] = ()
    outcomes: tuple[OutcomeView, ...] = ()
    waiting: str = ""
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    trouble: tuple[str, ...] = ()
    errors: tuple[FieldError, ...] = ()
    confirm: FieldView | None = None


@dataclass(frozen=True, kw_only=True)
class TestBlock:
    """One test on the bench sheet; `mode_name` is the name under which the mode is sent.

    `mode_question` is what the choice of mode asks. `standing` are the fields whose figures seldom
    change. What is as it was the last time is folded: the choice of mode, those fields, and the
    instruments, each with a line that says what it holds.
    """

    __test__ = False  # the name is a term of the trade; pytest must not collect it

    key: str
    name: str
    purpose: str
    mode_name: str
    modes: tuple[ModeView, ...]
    fields: tuple[FieldView, ...]
    instruments: tuple[InstrumentView, ...]
    steps: tuple[StepView, ...]
    worked: WorkedView
    shown_name: str = ""
    shown_mode: str = ""
    fields_anew: bool = False
    source: str = ""
    sample_text: str = ""
    mode_question: str = ""
    standing: tuple[FieldView, ...] = ()
    mode_text: str = ""
    standing_text: str = ""
    means_text: str = ""
    modes_folded: bool = False
    standing_folded: bool = False
    means_folded: bool = False


@dataclass(frozen=True, kw_only=True)
class StateMismatch:
    """The sample does not fit the boiler's recorded state: offer the change, refuse nothing."""

    boiler_id: str
    text: str
    choices: tuple[Choice, ...]
    key: str


@dataclass(frozen=True, kw_only=True)
class BenchReply:
    """What of a bench sheet comes anew after it was saved: only the tests that changed."""

    drawn: FieldView
    blocks: tuple[TestBlock, ...]
    saved_text: str = ""


@dataclass(frozen=True, kw_only=True)
class BenchScreen:
    """Everything that the bench sheet shows; `revision` is the server's count of saved changes.

    `slot_id` is that of the draw that was due, where it was begun for one.
    """

    plant_id: str
    draft_id: str
    revision: int
    boiler_name: str
    pressure_text: str
    state_word: str
    point_name: str
    drawn: FieldView
    blocks: tuple[TestBlock, ...]
    saved_text: str = ""
    cautions: tuple[str, ...] = ()
    why: str = ""
    due_text: str = ""
    slot_id: str = ""
    mismatch: StateMismatch | None = None
    remark: FieldView | None = None
    addable: tuple[Choice, ...] = ()
    errors: tuple[str, ...] = ()
