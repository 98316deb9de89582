"""An invented program: in force, changed, and being written anew."""

from dataclasses import replace

from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.program import (
    ChangeRow,
    EventLine,
    LimitLine,
    LimitPlace,
    ProgramChangesScreen,
    ProgramScreen,
    VersionView,
)
from dashboards.screens.program_edit import (
    EventEdit,
    LaidView,
    LimitEdit,
    LimitGroup,
    LookView,
    OtherwiseRow,
    ProgramVersionScreen,
    ProposalView,
    ScheduleEdit,
    TallyRow,
    TestTick,
    Trouble,
)
from tests.dashboards.fabricated import PLANT, result, uid
from tests.dashboards.fabricated_plants import bare

WHERE = "Boiler 3, Boiler water, steaming"
LINE = LimitLine(
    analyte="Conductivity",
    limit_text="at most 1300 µS/cm",
    target_text="1100",
    unit="µS/cm",
    basis_words=("at 25 °C", "not neutralized"),
    source="common practice",
    confidence="common practice, no source",
    strip=replace(result(1).strip, value=None, value_text="", verdict=None),
    guard_text="guard band 20 µS/cm",
)
VERSION = VersionView(
    version_id=uid(21),
    number="2",
    in_force_text="in force from November 1, 2026",
    recorded_text="October 28",
    by="Dr. Ivo Marsh",
    note="Target lowered after the carryover in October.",
    standing="in force",
)
PLACES = (LimitPlace(title=WHERE, lines=(LINE,)),)
PROGRAM = ProgramScreen(
    plant_id=PLANT,
    program_id=uid(20),
    boiler_name="Boiler 3",
    about="Watertube, 600 psig",
    current=VERSION,
    places=PLACES,
    versions=(VERSION, replace(VERSION, version_id=uid(22), number="1", standing="")),
    schedule=("Boiler 3: Conductivity, every day at 06:00",),
    events=(EventLine(text="After a dose: Phosphate, 30 min later", source="Plant decision"),),
    can_change=True,
)
CHANGES = ProgramChangesScreen(
    plant_id=PLANT,
    program_id=uid(20),
    boiler_name="Boiler 3",
    version=VERSION,
    earlier_text="Compared with version 1.",
    limits=(
        ChangeRow(
            place=WHERE, what="Conductivity", how="changed", details=("1400 → 1300", "target: 1100")
        ),
    ),
    tests=(ChangeRow(place=WHERE, what="pH", how="added", details=("every day at 06:00",)),),
    draws=(ChangeRow(place=WHERE, what="After a dose: Phosphate", how="added", details=()),),
    places=PLACES,
    schedule=PROGRAM.schedule,
    events=PROGRAM.events,
)


def _field(name: str, label: str, value: str = "", **more: object) -> FieldView:
    return replace(bare(name, label, value, **more), id=f"f-{name}")


def _pick(name: str, label: str) -> FieldView:
    return _field(
        name, label, kind="select", choices=(Choice(value="a", label="One", selected=True),)
    )


def _limit(name: str, **more: object) -> LimitEdit:
    ends = (("low", "At least"), ("high", "At most"), ("target", "Target"))
    return LimitEdit(
        name=name,
        analyte="Conductivity",
        basis_words=("at 25 °C",),
        hidden=((f"{name}.point", "p"),),
        ends=tuple(_field(f"{name}.{key}", label, kind="number") for key, label in ends),
        unit=_pick(f"{name}.unit", "Unit"),
        more=(
            _field(f"{name}.source", "Source of this limit", error="Say where it comes from."),
            _pick(f"{name}.confidence", "How sure it is"),
        ),
        about="Common practice",
        **{"out": False, **more},  # type: ignore[arg-type]
    )


def _event(name: str, **more: object) -> EventEdit:
    return EventEdit(
        name=name,
        title="Conductivity of Condensate above a trigger: draw Condensate",
        hidden=((f"{name}.event", "result_above"),),
        tests_text="Total hardness",
        ticks=(TestTick(name=f"{name}.test.ph", label="pH by electrode", ticked=True),),
        watching=(
            _field(f"{name}.trigger", "Above", "35", kind="number", error="Not a number."),
            _pick(f"{name}.unit", "Unit"),
        ),
        times=(_field(f"{name}.after", "How long after", "0", kind="number", unit="min"),),
        more=(_field(f"{name}.source", "Source of this draw"),),
        **{"out": False, **more},  # type: ignore[arg-type]
    )


_PROPOSAL = ProposalView(
    text="at most 3000 µS/cm",
    set_title="A set",
    source="Invented, table 1",
    confidence="published",
    note="Only with a superheater.",
    button="use.0.set:1",
)
_CONFIRM = _field(
    "l0.confirmed", "I have confirmed this limit", kind="checkbox", error="Confirm it here."
)
_LOOK = LookView(
    since_text="August 27",
    summary="3 of 120 results would have been judged otherwise.",
    tallies=(
        TallyRow(place=WHERE, analyte="pH", count_text="0 of 60", changes=()),
        TallyRow(place=WHERE, analyte="Conductivity", count_text="3 of 60", changes=("3: in",)),
    ),
    rows=(
        OtherwiseRow(
            when="Nov 3",
            place=WHERE,
            analyte="Conductivity",
            value="1290 µS/cm",
            before="In range",
            after="High",
        ),
    ),
    more_text="and 2 more",
    doubt_text="1 result in doubt is left out.",
)
NEW_VERSION = ProgramVersionScreen(
    plant_id=PLANT,
    program_id=uid(20),
    title="Boiler 3",
    about="watertube, 900 psig",
    follows_text="Begun from version 2.",
    groups=(
        LimitGroup(
            key="limits-0",
            title=WHERE,
            limits=(
                _limit("l0", tag="new", confirm=_CONFIRM, proposals=(_PROPOSAL,), error="Twice."),
                _limit("l1", out=True),
            ),
        ),
    ),
    schedule=(
        ScheduleEdit(
            name="s0",
            title=WHERE,
            hidden=(("s0.point", "p"),),
            out=False,
            tests_text="pH by electrode",
            ticks=(TestTick(name="s0.test.ph", label="pH by electrode", ticked=True),),
            days=_pick("s0.days", "On which days"),
            times=_field("s0.times", "Times of the day", "06:00"),
            grace=_field("s0.grace", "May be late by", "90", kind="number", unit="min"),
            more=(_field("s0.rule", "A rule of its own"),),
            weekdays=(TestTick(name="s0.day.MO", label="Monday", ticked=False),),
            next_times=("Thu 26 Nov 2026, 06:00",),
            tests_error="Tick at least one test.",
        ),
    ),
    events=(
        _event("e0", tests_error="Tick at least one test.", open=True),
        _event("e1", out=True),
    ),
    add_event=(_pick("when.event", "What happened"), _pick("when.point", "Where to draw")),
    next_event="e2",
    add_limit=(_pick("add.point", "Sample point"), _pick("add.what", "What is limited")),
    add_line=(_pick("plan.point", "Sample point"),),
    next_limit="l2",
    next_line="s1",
    sets=_pick("set", "Limit set"),
    other_sets=("A set for firetube boilers",),
    in_force_from=_field("in_force_from", "In force from", kind="datetime-local", required=True),
    note=_field("note", "Why it changes"),
    key=uid(97),
    laid=LaidView(
        title="A set: Boiler 3",
        source="Invented",
        edition="1994",
        confidence="from memory",
        told=("Added to the form: pH.",),
        none_words="This set knows no limit at this pressure.",
    ),
    look=_LOOK,
    trouble=(Trouble(anchor="f-l0.source", where=WHERE, text="Say where it comes from."),),
)
