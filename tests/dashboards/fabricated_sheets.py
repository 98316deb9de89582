"""Invented samples, remedies and log sheets."""

from dataclasses import replace

from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.results import CheckRow, CorrectionView, Figure, OutcomeView
from dashboards.screens.sample import (
    ConfirmView,
    RefusalView,
    RemedyPlanView,
    RemedyView,
    SampleResult,
    SampleScreen,
    StopFinding,
    StopView,
    WayView,
)
from dashboards.screens.sheets import (
    AmendmentView,
    Corrected,
    NoteView,
    ResultGroup,
    ResultRow,
    SheetRow,
    SheetScreen,
    SignatureView,
)
from tests.dashboards.fabricated import (
    ACTIONS,
    CORRECTION,
    DOUBT,
    FOLLOW_UPS,
    HIGH,
    IN_RANGE,
    LOW,
    NEAR,
    NOT_JUDGED,
    PLANT,
    RAW,
    form,
    result,
    two_sided,
    uid,
)
from tests.dashboards.fabricated_untested import MISSED

REMEDY_FORM = form(
    FieldView(
        name="steam",
        id="r-steam",
        label="Steam flow now",
        kind="number",
        value="12000",
        units=(Choice(value="kg/h", label="kg/h"), Choice(value="lb/h", label="lb/h")),
        unit_name="steam-unit",
        required=True,
    ),
    FieldView(
        name="feed",
        id="r-feed",
        label="Feedwater conductivity",
        kind="number",
        value="45",
        unit="µS/cm",
        help="Measured today at 08:10.",
        required=True,
    ),
)
PLAN = RemedyPlanView(
    headline="Open the continuous blowdown to 710 kg/h for 2 h, then hold 520 kg/h.",
    steps=(
        "Open the continuous blowdown valve until it passes about 710 kg/h.",
        "Leave it there for 2 h and watch the gauge glass.",
        "Set it back to 520 kg/h, draw again and enter what you find.",
    ),
    figures=(
        Figure(label="Blowdown now", value="360", unit="kg/h", note="from the balance"),
        Figure(label="Cycles now", value="31.6", note="24.4 at the target"),
        Figure(label="Share of the feedwater", value="4.3", unit="%"),
        Figure(label="Extra water", value="700", unit="kg"),
        Figure(label="Heat lost with it", value="160", unit="kWh"),
    ),
    predicted=result(1100, IN_RANGE, expanded=60),
    retest_text="Draw again at 14:40.",
    assumptions=(
        "Conductivity stands for what is dissolved.",
        "Feedwater and load stay as they are.",
    ),
    source="mass balance of the drum; UFC 3-240-13FN",
)
REMEDY = RemedyView(
    form=REMEDY_FORM,
    advisory=(
        "This is advice, not an order. Your plant's procedures, local codes, the maker's "
        "instructions and licensed practice come first.",
    ),
    cautions=(
        "Blowdown scalds: drain to the blow-off tank or an approved drain only.",
        "Watch the gauge glass all the time and never leave the valve.",
        "Never blow a water-wall header while firing.",
    ),
    cautions_title="Before you touch a valve",
    button="Work out the blowdown",
    plan=PLAN,
)
STOP = StopView(
    findings=(
        StopFinding(
            name="Hardness break-through",
            means="The softener is exhausted, or raw water comes past.",
            first=("Call now.", "Change over the softener, as the plant's procedure says."),
            source="the limit in force",
        ),
    ),
    cautions=("This is advice and orders nothing.",),
    call="Call: the chemist, extension 100",
)
RESULT = SampleResult(
    measurement_id=uid(64),
    result=result(1420, HIGH, expanded=36),
    method_name="Conductivity by meter and cell",
    mode_label="temperature handled by the meter itself",
    raw=RAW,
    instruments=("meter M-2", "cell C-1"),
    notes=("The meter's own correction is taken as it stands.",),
    corrections=(CORRECTION,),
    can_correct=True,
    correct_word="Correct",
)
ACTION_FORM = form(
    FieldView(name="what", id="a-what", label="What was done", kind="textarea", required=True),
    FieldView(
        name="at",
        id="a-at",
        label="When",
        kind="datetime-local",
        value="2026-11-25T12:20",
        required=True,
    ),
    FieldView(name="flow", id="a-flow", label="Blowdown set to", kind="number", unit="kg/h"),
)
WAY = WayView(
    way_id="way-conductivity",
    result_id=uid(65),
    heading="Conductivity: High",
    item=RESULT,
    confirm=ConfirmView(
        text="Confirmed: the draw of 11:40 said the same.", done=True, other_id=uid(66)
    ),
    remedy=REMEDY,
    actions=ACTIONS,
    action_form=ACTION_FORM,
    follow_ups=FOLLOW_UPS,
)
UNCONFIRMED = WayView(
    way_id="way-phosphate",
    result_id=uid(67),
    heading="Orthophosphate: Low",
    ids="w1",
    item=replace(RESULT, result=result(12, LOW, expanded=2)),
    confirm=ConfirmView(
        text="First draw a fresh sample and read it again: act if it repeats.",
        done=False,
        draw=True,
        without=form(
            FieldView(name="reason", id="a-why", label="Why it can be acted on", required=True)
        ),
    ),
    advice="Advice comes once a second draw has confirmed this.",
    action_form=ACTION_FORM,
)
CHECK = CheckRow(
    measurement_id=uid(66),
    drawn_text="12:05",
    place="Boiler 3",
    tester_name="Ada Brook",
    outcome=OutcomeView(name="Gauge glass", word="Did not work", grave=True, witness="Milo"),
    corrections=(
        CorrectionView(
            value_text="Gauge glass: Worked",
            unit="",
            reason="looked at the wrong boiler",
            by="Ada Brook",
            at_text="12:20",
        ),
    ),
    correct_word="Correct",
)
SAMPLE = SampleScreen(
    plant_id=PLANT,
    sample_id=uid(63),
    boiler_name="Boiler 3",
    point_name="drum",
    state_word="steaming",
    drawn_text="today 12:05",
    tester_name="Ada Brook",
    results=(replace(RESULT, result=result(1100, IN_RANGE, expanded=30)),),
    sheet_id=uid(70),
    sheet_status_word="draft",
    late_mark="entered late",
    checks=(CHECK,),
    sent_mark="sent with the token Laboratory 2",
    ways=(WAY, UNCONFIRMED),
    actions=ACTIONS,
    follow_ups=FOLLOW_UPS,
)
REFUSED = replace(
    SAMPLE,
    actions=(),
    stop=STOP,
    ways=(
        replace(
            WAY,
            remedy=replace(
                REMEDY,
                plan=None,
                refusal=RefusalView(
                    reason="Without the steam flow the balance of the drum can't be struck.",
                    missing=("Steam flow now", "Water in the drum at working level"),
                    call="Call the chemist before you change the blowdown.",
                ),
            ),
        ),
    ),
)


def row(n: int, at: str, verdict_result: object, **more: object) -> ResultRow:
    """Return one line of a log sheet."""
    return ResultRow(
        measurement_id=uid(400 + n),
        sample_id=uid(500 + n),
        drawn_text=at,
        boiler_name=f"Boiler {1 + n % 4}",
        point_name="drum",
        test_name=verdict_result.name,  # type: ignore[attr-defined]
        raw=RAW,
        result=verdict_result,  # type: ignore[arg-type]
        tester_name="Ada Brook" if n % 2 else "Milo Reed",
        **more,  # type: ignore[arg-type]
    )


ROWS = (
    row(0, "08:03", result(1090)),
    row(1, "08:15", result(1284, NEAR), corrections=(CORRECTION,), correct_word="Correct"),
    row(2, "12:05", result(1420, HIGH, expanded=36), late_mark="entered late"),
    row(3, "12:11", result(640, NOT_JUDGED, expanded=16)),
    row(4, "12:20", result(1150, DOUBT)),
    row(5, "12:31", two_sided(10.31, LOW)),
    row(6, "12:40", result(2650, HIGH, expanded=66)),
)
SHEET = SheetScreen(
    plant_id=PLANT,
    sheet_id=uid(70),
    plant_name="Alder Falls Mill",
    organization_name="Fernhill Paper (invented)",
    shift_text="Day, 06:00 to 18:00",
    date_text="Wednesday, November 25, 2026",
    status="handed_in",
    status_word="Handed in",
    digest="9f2c41d07b3e" + "0" * 52,
    digest_short="9f2c 41d0 7b3e",
    results=ROWS,
    groups=(
        ResultGroup(key="place-0", title="Boiler 1, drum", rows=ROWS[:3]),
        ResultGroup(key="place-1", title="Boiler 2, drum", rows=ROWS[3:]),
    ),
    stops=FOLLOW_UPS,
    exceptions=(
        ResultGroup(key="out", title="Out of range", rows=(ROWS[2], ROWS[5], ROWS[6])),
        ResultGroup(key="doubt", title="In doubt", rows=(ROWS[4],)),
        ResultGroup(key="near", title="Near a limit", rows=(ROWS[1],)),
        ResultGroup(key="not-judged", title="Not judged", rows=(ROWS[3],)),
    ),
    without_limit=("Boiler 1, Steam flow",),
    corrected=(
        Corrected(
            drawn_text="08:15",
            boiler_name="Boiler 2",
            test_name="Conductivity",
            new_text="1284 µS/cm",
            old=CORRECTION,
        ),
    ),
    late=(ROWS[2],),
    notes=(NoteView(text="Softener 2 rinses\nuntil 19:00", by="Ada Brook", at_text="17:50"),),
    alone_by="Ada Brook",
    checks=(CHECK,),
    untested=MISSED,
    actions=ACTIONS,
    follow_ups=FOLLOW_UPS,
    testers=("Ada Brook", "Milo Reed"),
    signatures=(
        SignatureView(
            name="Ada Brook",
            role_word="tester",
            meaning="Handed in",
            at_text="today 17:52",
            digest_short="9f2c 41d0 7b3e",
        ),
    ),
    ledger_head="c0de17aa52f1" + "0" * 52,
    ledger_sequence="118",
    sign=form(
        FieldView(
            name="password",
            id="s-pw",
            label="Password",
            kind="password",
            required=True,
            autocomplete="current-password",
        )
    ),
    send_back=form(
        FieldView(
            name="comment",
            id="s-comment",
            label="What is to be done",
            kind="textarea",
            required=True,
        )
    ),
    printed_text="Printed November 25, 2026, 18:03",
)
SHEET_OWN = replace(
    SHEET,
    sign=None,
    send_back=None,
    cannot_sign="You tested on this sheet, so someone else signs it.",
    stale=True,
    amendments=(
        AmendmentView(
            amendment_id=uid(72),
            text="Boiler 2, conductivity, 08:15: 124 becomes 1240 µS/cm",
            reason="Decimal slip, read 1240 on the dial.",
            by="Ada Brook",
            at_text="today 18:20",
            form=form(FieldView(name="password", id="m-pw", label="Password", kind="password")),
        ),
    ),
)
SHEET_DRAFT = replace(
    SHEET,
    status="draft",
    status_word="Draft",
    signatures=(),
    sign=None,
    send_back=None,
    hand_in=form(FieldView(name="pin", id="h-pin", label="PIN", kind="pin", required=True)),
)
SHEET_ROWS = tuple(
    SheetRow(
        sheet_id=uid(70 + i),
        shift_text=shift,
        date_text=day,
        status=status,  # type: ignore[arg-type]
        status_word=word,
        results=12,
        out_of_range=out,
        missed=missed,
        testers="Ada Brook, Milo Reed",
        signed_by=by,
        waits_for_me=waits,
    )
    for i, (day, shift, status, word, out, missed, by, waits) in enumerate(
        [
            ("Nov 25", "Day", "draft", "Draft", 1, 0, "", False),
            ("Nov 24", "Night", "handed_in", "Handed in", 0, 1, "", True),
            ("Nov 24", "Day", "changed", "Changed since hand-in", 2, 0, "", True),
            ("Nov 23", "Night", "returned", "Returned", 0, 0, "", False),
            ("Nov 23", "Day", "signed", "Signed", 0, 0, "by Rosa Lund", False),
        ]
    )
)
