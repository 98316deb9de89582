"""Invented rounds and bench sheets."""

from dashboards.screens.bench import (
    BenchScreen,
    FieldError,
    InstrumentView,
    ModeView,
    StateMismatch,
    StepView,
    TestBlock,
    WorkedView,
)
from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.round import DoneRow, DraftRow, DueRow, RoundScreen, UnscheduledPoint
from tests.dashboards.fabricated import DOUBT, HIGH, NEAR, NOT_JUDGED, PLANT, result, uid
from tests.dashboards.fabricated_untested import MISSED


def due(n: int, boiler: str, at: str, late: str = "", **more: str) -> DueRow:
    """Return one row of what is due."""
    return DueRow(
        slot_id=uid(100 + n),
        point_id=uid(200 + n),
        method="conductivity",
        key=uid(300 + n),
        boiler_name=boiler,
        point_name="Drum sample, cooled",
        tests=("Conductivity",),
        due_text=at,
        late_words=late,
        state_word=more.pop("state", "steaming"),
        **more,
    )


ROUND = RoundScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    shift_text="Day shift, Wednesday, November 25, 2026",
    now_text="14:12",
    overdue=(due(1, "Boiler 1", "12:00", "2 h 12 min late"),),
    retests=(
        due(2, "Boiler 3", "14:00", "12 min late", why="Retest: 1420 µS/cm at 12:05, blown down."),
        due(6, "Boiler 4", "14:05", "7 min late", why="30 min after the dose at 13:35."),
    ),
    not_tested=MISSED[1:2],
    due=(due(3, "Boiler 2", "14:00", held_by="Milo Reed"),),
    later=(due(4, "Boiler 1", "16:00"), due(5, "Boiler 4", "16:00", state="wet lay-up")),
    drafts=(
        DraftRow(
            draft_id=uid(50),
            boiler_name="Boiler 4",
            point_name="Drum sample, cooled",
            tests=("Conductivity",),
            begun_text="13:58",
            saved_text="Reading entered, temperature still to come.",
        ),
    ),
    done=tuple(
        DoneRow(
            sample_id=uid(60 + i),
            boiler_name=f"Boiler {i}",
            point_name="Drum sample, cooled",
            drawn_text=at,
            tester_name="Ada Brook",
            result=res,
            late_mark=late,
        )
        for i, (at, res, late) in enumerate(
            [
                ("08:03", result(1090), ""),
                ("08:15", result(1284, NEAR), ""),
                ("12:05", result(1420, HIGH), "entered late"),
                ("12:11", result(640, NOT_JUDGED), ""),
                ("12:20", result(1150, DOUBT), ""),
            ],
            start=1,
        )
    ),
    extra=(
        UnscheduledPoint(
            point_id=uid(201), label="Boiler 1, drum", method="conductivity", key=uid(399)
        ),
    ),
    next_text="Next: Boiler 1 at 16:00.",
    sheet_id=uid(70),
    sheet_status_word="draft",
)
ROUND_EMPTY = RoundScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    shift_text="Night shift, Wednesday, November 25, 2026",
    now_text="22:01",
    next_text="Next: Boiler 1 at 00:00.",
)


def number(key: str, label: str, value: str = "", **more: object) -> FieldView:
    """Return a numeric field of the conductivity block."""
    return FieldView(
        name=f"conductivity-{key}",
        id=f"f-{key}",
        label=label,
        value=value,
        kind="number",
        required=True,
        **more,  # type: ignore[arg-type]
    )


CONDUCTIVITY_UNITS = (
    Choice(value="uS/cm", label="µS/cm"),
    Choice(value="mS/cm", label="mS/cm", selected=True),
    Choice(value="umho/cm", label="µmho/cm"),
)
MODES = (
    ModeView(
        key="set_on_meter",
        label="Set by hand on the meter",
        help="You turn the meter's dial to the sample's temperature.",
    ),
    ModeView(
        key="automatic",
        label="By the meter itself",
        help="The meter has its own temperature probe and shows the value at 25 °C.",
        selected=True,
    ),
    ModeView(
        key="uncompensated",
        label="Not at all",
        help="The meter shows what it measures; it is corrected here.",
    ),
)
STEPS = (
    StepView(text="Let the sample run through the cooler until it is below 38 °C."),
    StepView(text="Hot water and flashing steam scald. Stand aside of the outlet.", caution=True),
    StepView(text="Rinse the cell three times with the sample."),
    StepView(text="Move the cell up and down until no bubble clings to it, then read."),
)


INSTRUMENTS = (
    InstrumentView(
        choice=FieldView(
            name="conductivity-meter",
            id="f-meter",
            label="Meter",
            kind="select",
            required=True,
            choices=(Choice(value=uid(80), label="M-2, bench meter", selected=True),),
        ),
        state="overdue",
        state_word="check overdue since November 20",
        needs_reason=True,
        reason=FieldView(
            name="conductivity-meter-reason",
            id="f-meter-reason",
            required=True,
            label="Why use it all the same?",
            help="The result will be in doubt until a chemist decides.",
        ),
    ),
    InstrumentView(
        choice=FieldView(
            name="conductivity-cell",
            id="f-cell",
            label="Cell",
            kind="select",
            required=True,
            choices=(Choice(value=uid(81), label="C-1, constant 1.0", selected=True),),
        ),
        state_word="checked, next due December 4",
    ),
)


def block(worked: WorkedView, *, reading: str = "1,42", error: str = "") -> TestBlock:
    """Return the conductivity block with one reading typed."""
    return TestBlock(
        key="conductivity",
        name="Conductivity",
        purpose="How much is dissolved in the water, and so how much must be blown down.",
        mode_name="conductivity-mode",
        mode_question="How does the meter handle temperature?",
        modes=MODES,
        fields=(
            number(
                "reading",
                "Reading on the meter",
                reading,
                units=CONDUCTIVITY_UNITS,
                unit_name="conductivity-reading-unit",
                error=error,
            ),
            number("temperature", "Temperature of the sample", "31.5", unit="°C"),
            number(
                "dial",
                "Temperature set on the meter",
                unit="°C",
                modes=("set_on_meter",),
                shown=False,
            ),
            FieldView(
                name="conductivity-neutralized",
                id="f-neutralized",
                kind="radio",
                required=True,
                label="Neutralized before reading?",
                choices=(
                    Choice(value="no", label="No", selected=True),
                    Choice(value="yes", label="Yes"),
                ),
            ),
        ),
        instruments=INSTRUMENTS,
        steps=STEPS,
        worked=worked,
        source="common practice, no source",
        sample_text="At least 200 mL.",
    )


WORKED = WorkedView(
    block_key="conductivity",
    result=result(1420, HIGH, expanded=36),
    warnings=("260 higher than the last result (1160 at 08:03). Read it again.",),
    notes=("The meter's own correction of 2.0 %/°C is taken as it stands.",),
    errors=(FieldError(field_id="f-reading", message=""),),
    confirm=FieldView(
        name="conductivity-confirm",
        id="f-confirm",
        kind="checkbox",
        label="I read it again: it is right",
    ),
)
WORKED_BAD = WorkedView(
    block_key="conductivity",
    waiting="Worked as soon as the reading can be understood.",
    errors=(FieldError(field_id="f-reading", message="Write 1420 or 1.42, not “1,4e”."),),
)


def bench(worked: WorkedView = WORKED, **more: object) -> BenchScreen:
    """Return a bench sheet of one test."""
    return BenchScreen(
        plant_id=PLANT,
        draft_id=uid(50),
        revision=7,
        boiler_name="Boiler 3",
        pressure_text="600 psig",
        state_word="steaming",
        point_name="Drum sample, cooled",
        due_text="due 14:00, 12 min late",
        saved_text="Saved 14:12:08",
        drawn=FieldView(
            name="drawn_at",
            id="drawn_at",
            label="Drawn at",
            kind="datetime-local",
            value="2026-11-25T14:05",
            required=True,
        ),
        cautions=(
            "The sample is boiler water: it scalds, and it is caustic.",
            "Cooling water on before the sample valve opens.",
        ),
        blocks=(block(worked, **more),),  # type: ignore[arg-type]
    )


BENCH = bench()
BENCH_BAD = bench(WORKED_BAD, reading="1,4e", error="Write 1420 or 1.42, not “1,4e”.")
BENCH_MISMATCH = BenchScreen(
    **{
        **BENCH.__dict__,
        "mismatch": StateMismatch(
            boiler_id=uid(12),
            text="Boiler 3 is recorded as in wet lay-up since Monday 06:00.",
            choices=(Choice(value="steaming", label="steaming", selected=True),),
            key=uid(90),
        ),
    }
)
