"""What a failed check reaches, and the decision about it."""

from dataclasses import dataclass

from dashboards.screens.fields import FieldView, FormView


@dataclass(frozen=True, kw_only=True)
class Supposition:
    """What a result would have been under one supposition; `other` that its verdict changes."""

    title: str
    text: str
    other: bool = False


@dataclass(frozen=True, kw_only=True)
class ReachedRow:
    """One result that the look-back reaches; `box` is ticked to decide about it."""

    measurement_id: str
    name: str
    drawn_text: str
    point_name: str
    value_text: str
    side_word: str
    what_ifs: tuple[Supposition, ...] = ()
    changes: bool = False
    decided_text: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class LookBackScreen:
    """A look-back: the check that failed, what it reaches, what was decided, and the form.

    `refused` says for which results nothing can be worked, and why.
    """

    plant_id: str
    look_back_id: str
    instrument_id: str
    title: str
    facts: tuple[tuple[str, str], ...]
    reasons: tuple[str, ...]
    summary: str
    waiting: tuple[ReachedRow, ...]
    decided: tuple[ReachedRow, ...] = ()
    refused: tuple[str, ...] = ()
    left_out_text: str = ""
    sheets: tuple[tuple[str, str], ...] = ()
    decisions: tuple[str, ...] = ()
    form: FormView | None = None
    scope: FieldView | None = None
    picked: tuple[str, ...] = ()
