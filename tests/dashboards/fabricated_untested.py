"""Invented tests that were due and not done."""

from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.untested import MissedRow, NotTestedScreen
from tests.dashboards.fabricated import PLANT, form, uid

MISSED = (
    MissedRow(
        due_text="16:00",
        boiler_name="Boiler 2",
        point_name="drum",
        tests="Conductivity, pH",
        word="Missed",
        on_shift="On shift: Ada Brook, Milo Reed",
        slot_id=uid(110),
    ),
    MissedRow(
        due_text="17:00",
        boiler_name="Feedwater",
        point_name="deaerator outlet",
        tests="Dissolved oxygen",
        word="Could not test",
        reason="Out of a reagent: the last ampoule broke",
        said_by="Milo Reed, 17:05",
    ),
    MissedRow(
        due_text="02:00",
        boiler_name="Boiler 1",
        point_name="drum",
        tests="Conductivity",
        word="Missed",
    ),
)
_TESTS = FieldView(
    name="slots",
    id="f-slots",
    label="Which tests",
    kind="checkboxes",
    required=True,
    choices=(
        Choice(value=uid(110), label="Conductivity", selected=True),
        Choice(value=uid(111), label="pH"),
    ),
)
_REASON = FieldView(
    name="reason",
    id="f-reason",
    label="Why",
    kind="radio",
    required=True,
    error="Say why: pick one of the reasons.",
    choices=(
        Choice(value="unsafe", label="Not safe to draw"),
        Choice(value="other", label="Another reason"),
    ),
)
_WORDS = FieldView(
    name="words", id="f-words", label="In your own words", kind="textarea", value="the tap leaks"
)
NOT_TESTED = NotTestedScreen(
    plant_id=PLANT,
    slot_id=uid(110),
    missed=False,
    boiler_name="Boiler 2",
    point_name="drum",
    due_text="16:00",
    late_words="20 min late",
    why="30 min after the dose at 15:30.",
    back="round",
    back_url="/plants",
    notes=("A test that is not done is not in range.",),
    form=form(_TESTS, _REASON, _WORDS),
)
