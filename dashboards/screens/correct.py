"""Correcting a result before its sheet is signed, amending it afterwards."""

from dataclasses import dataclass

from dashboards.screens.bench import TestBlock
from dashboards.screens.fields import FieldView
from dashboards.screens.results import ResultView


@dataclass(frozen=True, kw_only=True)
class CorrectScreen:
    """The raw readings again, with the old ones beside them (`FieldView.old`).

    `amends` is true where the sheet is signed: a second person then signs the amendment.
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
    before: ResultView
    block: TestBlock
    reason: FieldView
    key: str
    errors: tuple[str, ...] = ()
