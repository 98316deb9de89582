"""The history of one number, from the typed text to the signature."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView
from dashboards.screens.results import OutcomeView, ResultView
from dashboards.screens.sheets import SignatureView


@dataclass(frozen=True, kw_only=True)
class ReadStep:
    """One reading: as it was typed, and as it was understood."""

    label: str
    typed: str
    normalized: str
    unit: str = ""


@dataclass(frozen=True, kw_only=True)
class MeansStep:
    """An instrument or bottle in its role, and how it stood on the day."""

    role: str
    label: str
    standing: str
    reason: str = ""
    in_order: bool = True


@dataclass(frozen=True, kw_only=True)
class PartOfBudget:
    """One contribution to the uncertainty, in the unit in which the result is kept."""

    name: str
    u: str
    kind: str
    dof: str
    distribution: str
    source: str


@dataclass(frozen=True, kw_only=True)
class NumberStep:
    """A worked result with its budget, and the limit that judged it on its day.

    `facts` are pairs of a label and a text, in order.
    """

    result: ResultView
    kept_text: str
    budget_unit: str
    facts: tuple[tuple[str, str], ...]
    budget: tuple[PartOfBudget, ...]
    judged: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class SealStep:
    """The digest of a row, and the ledger's entry that sealed it ("" where not sealed yet)."""

    row_word: str
    digest: str
    entry_text: str = ""
    holds: bool = True


@dataclass(frozen=True, kw_only=True)
class VersionView:
    """One version of the measurement; `standing` says whether it counts."""

    key: str
    title: str
    standing: str
    counts: bool
    by: str
    at_text: str
    method_text: str
    source: str
    reason: str = ""
    confirmed: tuple[str, ...] = ()
    readings: tuple[ReadStep, ...] = ()
    means: tuple[MeansStep, ...] = ()
    numbers: tuple[NumberStep, ...] = ()
    outcomes: tuple[OutcomeView, ...] = ()
    doubts: tuple[str, ...] = ()
    decisions: tuple[str, ...] = ()
    amendment: SignatureView | None = None
    seals: tuple[SealStep, ...] = ()


@dataclass(frozen=True, kw_only=True)
class HistoryScreen:
    """Everything that is known of one measurement, the oldest version first."""

    plant_id: str
    plant_name: str
    sample_id: str
    sheet_id: str
    boiler_name: str
    point_name: str
    test_name: str
    drawn: tuple[tuple[str, str], ...]
    versions: tuple[VersionView, ...]
    sheet_text: str
    sheet_status: str
    sheet_status_word: str
    signatures: tuple[SignatureView, ...] = ()
    printed_text: str = ""
    look_backs: tuple[tuple[str, str], ...] = ()
    decide_id: str = ""
    decide_form: FormView | None = None
