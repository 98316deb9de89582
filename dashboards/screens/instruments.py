"""The register of instruments, one instrument, its check, and the lots of standards."""

from dataclasses import dataclass

from dashboards.screens.bench import StepView
from dashboards.screens.fields import FieldView, FormView

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class InstrumentRow:
    """One instrument in a list; `state` is a class of tag, `state_word` says it."""

    instrument_id: str
    name: str
    kind: str
    place: str
    state: str
    state_word: str
    last_text: str
    due_text: str
    waiting_text: str = ""
    look_back_id: str = ""
    plant_id: str = ""
    plant_name: str = ""
    can_check: bool = False


@dataclass(frozen=True, kw_only=True)
class InstrumentsScreen:
    """All instruments of a plant; `counts` says in words what is not in order."""

    plant_id: str
    plant_name: str
    rows: tuple[InstrumentRow, ...]
    counts: tuple[str, ...] = ()
    can_keep: bool = False


@dataclass(frozen=True, kw_only=True)
class FigureLine:
    """One figure of a check: what it is, its value, its tolerance, whether it lies within."""

    label: str
    text: str
    tolerance: str = ""
    word: str = ""
    outside: bool = False


@dataclass(frozen=True, kw_only=True)
class RunView:
    """What one run of a check came to, as found or as left."""

    title: str
    word: str
    figures: tuple[FigureLine, ...]
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class CheckRow:
    """One check on record."""

    when: str
    by: str
    name: str
    ending: str
    failed: bool
    runs: tuple[RunView, ...]
    standards: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    typed: Pairs = ()
    look_back_id: str = ""


@dataclass(frozen=True, kw_only=True)
class EventRow:
    """What happened to an instrument."""

    when: str
    word: str
    why: str
    by: str


@dataclass(frozen=True, kw_only=True)
class RecipeLink:
    """One way of checking an instrument."""

    key: str
    name: str
    purpose: str


@dataclass(frozen=True, kw_only=True)
class InstrumentScreen:
    """One instrument: how it stands, its card, its checks, what happened to it."""

    plant_id: str
    instrument_id: str
    name: str
    kind: str
    state: str
    state_word: str
    facts: Pairs
    recipes: tuple[RecipeLink, ...]
    checks: tuple[CheckRow, ...]
    events: tuple[EventRow, ...]
    event_form: FormView | None = None
    can_keep: bool = False
    can_check: bool = False
    interval_title: str = ""
    interval_reasons: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class CardScreen:
    """A form for a new instrument or lot, or for a new card of one; earlier cards stand below."""

    plant_id: str
    title: str
    about: str
    back_url: str
    button: str
    form: FormView
    open_form: FormView | None = None
    open_url: str = ""
    facts: Pairs = ()
    earlier: tuple[EventRow, ...] = ()


@dataclass(frozen=True, kw_only=True)
class StandardView:
    """The choice of one standard; the reason is shown while the chosen one is not in order."""

    fields: tuple[FieldView, ...]
    reason: FieldView | None = None


@dataclass(frozen=True, kw_only=True)
class CheckScreen:
    """The guided form of one check; `worked` is what came of it so far."""

    plant_id: str
    instrument_id: str
    instrument_name: str
    recipe_key: str
    name: str
    purpose: str
    source: str
    key: str
    head: tuple[FieldView, ...]
    standards: tuple[StandardView, ...]
    found: tuple[FieldView, ...]
    adjusted: FieldView
    adjusted_open: bool
    left: tuple[FieldView, ...]
    adjustment: FieldView
    note: FieldView
    steps: tuple[StepView, ...]
    adjusting: tuple[StepView, ...]
    trouble: tuple[StepView, ...]
    trouble_open: bool = False
    worked: tuple[RunView, ...] = ()
    ending: str = ""
    ending_grave: bool = False
    consequence: str = ""
    waiting: str = ""
    errors: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LotRow:
    """One lot in the list."""

    lot_id: str
    name: str
    kind: str
    number: str
    worth: str
    last_day: str
    state: str
    state_word: str
    left: str = ""
    opened: str = ""


@dataclass(frozen=True, kw_only=True)
class LotsScreen:
    """All standards and reagents of a plant by lot."""

    plant_id: str
    plant_name: str
    rows: tuple[LotRow, ...]
    can_keep: bool = False


@dataclass(frozen=True, kw_only=True)
class AuditScreen:
    """The instruments of all plants, as the filters have it; `findings` say what to look into."""

    now_text: str
    count_text: str
    rows: tuple[InstrumentRow, ...]
    filters: tuple[FieldView, ...]
    asked_text: str
    findings: tuple[str, ...] = ()
