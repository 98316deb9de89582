"""An invented handover, the invented history of a number, and invented paper forms."""

from dataclasses import replace

from dashboards.screens.fields import FieldView
from dashboards.screens.handover import (
    BoilerStateLine,
    ComingDraw,
    HandoverScreen,
    OutOfOrder,
    UnfinishedSheet,
)
from dashboards.screens.history import (
    HistoryScreen,
    MeansStep,
    NumberStep,
    PartOfBudget,
    ReadStep,
    SealStep,
    VersionView,
)
from dashboards.screens.paper import PaperField, PaperForm, PaperScreen, PaperTest
from tests.dashboards.fabricated import ACTIONS, FOLLOW_UPS, HIGH, PLANT, form, result, uid
from tests.dashboards.fabricated_plants import DESK
from tests.dashboards.fabricated_sheets import SHEET
from tests.dashboards.fabricated_untested import MISSED

HANDOVER_QUIET = HandoverScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    shift="before",
    shift_text="Night shift, Tuesday, November 24, 2026",
    span_text="18:00–06:00",
    now_text="Wed Nov 25 2026, 14:12",
)
HANDOVER = replace(
    HANDOVER_QUIET,
    shift="now",
    people=("Ada Brook", "Milo Reed"),
    stops=FOLLOW_UPS,
    owed=FOLLOW_UPS,
    out_of_range=DESK.open_results,
    actions=ACTIONS,
    boilers=(
        BoilerStateLine(
            name="Boiler 1",
            state_word="Steaming",
            since_text="since 07:10",
            changes=("06:20: Raising steam, recorded by Ada Brook",),
        ),
        BoilerStateLine(name="Boiler 4", state_word="Wet lay-up"),
    ),
    untested=MISSED,
    out_of_order=(OutOfOrder(name="Meter M-2", kind="Conductivity meter", word="Check overdue"),),
    coming=(
        ComingDraw(due_text="14:00", place="Boiler 1, drum", tests="pH", late_words="12 min late"),
        ComingDraw(due_text="18:00", place="Boiler 2, drum", tests="Conductivity, pH"),
    ),
    unfinished=(
        UnfinishedSheet(
            begun_text="13:50", tester_name="Milo Reed", place="Boiler 2, drum", tests="pH"
        ),
    ),
    notes=SHEET.notes,
    notes_before=SHEET.notes,
    note_form=form(
        FieldView(
            name="text",
            id="f-text",
            label="What the next shift has to know",
            kind="textarea",
            required=True,
            error="Write what the next shift has to know.",
        )
    ),
    note_help="It stands on the log sheet of this shift.",
    sheet_id=uid(70),
    sheet_status_word="Being written",
    whom_to_call="the chemist, extension 100",
    printed_text="Printed November 25, 2026, 14:12",
)
_NUMBER = NumberStep(
    result=result(1420, HIGH, expanded=36),
    kept_text="1420 ± 36 µS/cm",
    budget_unit="µS/cm",
    facts=(("Coverage factor", "2.000"), ("Degrees of freedom", "∞")),
    budget=(
        PartOfBudget(
            name="meter", u="14.2", kind="systematic", dof="∞", distribution="rectangular",
            source="the maker's limits of error",
        ),
    ),
    judged=(("Program of that day", "Boiler 3, version 2"),),
)  # fmt: skip
_FIRST = VersionView(
    key=uid(64),
    title="As first entered",
    standing="Replaced",
    counts=False,
    by="Ada Brook",
    at_text="Wed Nov 25 2026, 12:10",
    method_text="Conductivity, version 1: automatic",
    source="JCGM 100:2008",
    confirmed=("1420 (conductivity: decimal slip)",),
    readings=(
        ReadStep(label="Reading on the meter", typed="1,42", normalized="1.42", unit="mS/cm"),
        ReadStep(label="Cell constant", typed="", normalized="1", unit="1/cm"),
    ),
    means=(
        MeansStep(role="Meter", label="M-2", standing="Check overdue", reason="only one left",
                  in_order=False),
    ),
    numbers=(_NUMBER,),
    doubts=("M-2: check overdue",),
    seals=(
        SealStep(row_word="Measurement", digest="9f2c" * 16, entry_text="entry 12, 18:03"),
        SealStep(row_word="Result", digest="c0de" * 16, entry_text="entry 13", holds=False),
        SealStep(row_word="Verdict", digest="52f1" * 16),
    ),
)  # fmt: skip
HISTORY = HistoryScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    sample_id=uid(63),
    sheet_id=uid(70),
    boiler_name="Boiler 3",
    point_name="drum",
    test_name="Conductivity",
    drawn=(("Drawn", "Wed Nov 25 2026, 12:05"), ("By", "Ada Brook")),
    versions=(
        _FIRST,
        replace(_FIRST, key=uid(65), title="Amendment", standing="This one counts", counts=True,
                reason="Decimal slip", amendment=SHEET.signatures[0]),
    ),
    sheet_text="Day shift, Wednesday, November 25, 2026",
    sheet_status="signed",
    sheet_status_word="Signed",
    signatures=SHEET.signatures,
)  # fmt: skip
_FORM = PaperForm(
    point_id=uid(40),
    title="Boiler 3, drum",
    state_word="Steaming",
    version_text="program version 2",
    draw_text="draw at least 240 mL",
    tests=(
        PaperTest(
            name="Conductivity",
            usual_way="The meter corrects by itself",
            other_ways=("Set by hand",),
            fields=(
                PaperField(label="Reading on the meter", units=("µmho/cm", "mS/cm")),
                PaperField(label="Neutralized?", choices=("yes", "no"), required=False),
                PaperField(label="Cell constant", units=("1/cm",)),
                PaperField(label="Remark"),
            ),
            means=("Meter",),
            cautions=("Never scrub the cell.",),
            limits=("Conductivity: at most 1300 µmho/cm",),
        ),
    ),
)
PAPER = PaperScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    organization_name="Fernhill Paper (invented)",
    forms=(_FORM, replace(_FORM, point_id=uid(41), title="Feedwater", state_word="")),
    one_picked=True,
    cautions=("Cooling water first.",),
    whom_to_call="the chemist, extension 100",
)
