"""Correcting a result or a check before its sheet is signed, amending it afterwards."""

from dataclasses import dataclass

from dashboards.screens.bench import TestBlock
from dashboards.screens.fields import FieldView
from dashboards.screens.results import OutcomeView, ResultView


@dataclass(frozen=True, kw_only=True)
class CorrectScreen:
    """The raw readings again, with the old ones beside them (`FieldView.old`).

    `amends` is true where the sheet is signed: a second person then signs the amendment. `before`
    are the results as they stand, `showed` what the checks did; `stays` says what becomes of them.
    """

    plant_id: str
    measurement_id: str
    sample_id: str
    sheet_id: str
    amends: bool
    boiler_name: str
    point_name: str
    drawn_text: str
    tester_name: str
    title: str
    stays: str
    block: TestBlock
    reason: FieldView
    key: str
    before: tuple[ResultView, ...] = ()
    showed: tuple[OutcomeView, ...] = ()
    errors: tuple[str, ...] = ()
