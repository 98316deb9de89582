"""Invented terminals, plants and programs."""

from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.plants import (
    BoilerRow,
    DeskScreen,
    OpenResult,
    WaitingAmendment,
)
from dashboards.screens.setup import PlantSetUpScreen, SetUpGroup
from dashboards.screens.terminal import PersonButton, TerminalScreen
from tests.dashboards.fabricated import (
    DOUBT,
    FOLLOW_UPS,
    HIGH,
    PLANT,
    form,
    result,
    uid,
)
from tests.dashboards.fabricated_sheets import (
    SHEET,
    SHEET_ROWS,
)

PEOPLE = (
    PersonButton(user_id="1", name="Ada Brook", role_word="tester", has_draft=True),
    PersonButton(user_id="2", name="Milo Reed", role_word="tester"),
    PersonButton(user_id="3", name="Rosa Lund", role_word="supervisor"),
    PersonButton(user_id="4", name="Ines Varga", role_word="tester", locked_until="14:27"),
)
TERMINAL = TerminalScreen(
    state="names",
    plant_name="Alder Falls Mill",
    terminal_name="Sample bench",
    now_text="14:12",
    now_iso="2026-11-25T14:12:05+00:00",
    people=PEOPLE,
    overdue_words="2 samples overdue",
)


def bare(name: str, label: str, value: str = "", **more: object) -> FieldView:
    """Return a plain field."""
    return FieldView(
        name=name,
        id=f"x-{name}",
        label=label,
        value=value,
        **more,  # type: ignore[arg-type]
    )


DESK = DeskScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    kind="Paper mill (invented)",
    now_text="14:12",
    to_sign=SHEET_ROWS[1:3],
    not_handed_in=SHEET_ROWS[3:4],
    doubts=(
        OpenResult(
            sample_id=uid(64),
            boiler_name="Boiler 2",
            point_name="drum",
            drawn_text="11:05",
            result=result(1150, DOUBT),
        ),
    ),
    amendments=(
        WaitingAmendment(
            sheet_id=uid(70), text="Boiler 2, conductivity, 08:15", by="Ada Brook", at_text="18:20"
        ),
    ),
    open_results=(
        OpenResult(
            sample_id=uid(63),
            boiler_name="Boiler 3",
            point_name="drum",
            drawn_text="12:05",
            result=result(1420, HIGH, expanded=36),
            next_text="Blown down at 12:20, retest due 14:00.",
        ),
    ),
    follow_ups=FOLLOW_UPS,
    missed=SHEET.untested,
    missed_count=4,
    boilers=(
        BoilerRow(
            boiler_id=uid(10),
            name="Boiler 1",
            kind="watertube",
            pressure_text="600 psig",
            state_word="steaming",
            program_id=uid(20),
            program_text="version 2",
            latest=result(1090),
            latest_text="today 08:03",
            sample_id=uid(61),
        ),
        BoilerRow(
            boiler_id=uid(11),
            name="Boiler 4",
            kind="watertube",
            pressure_text="900 psig",
            state_word="wet lay-up",
            state_since="since Monday",
        ),
    ),
    can_manage_people=True,
)
SET_UP = PlantSetUpScreen(
    plant_id=PLANT,
    plant_name="Alder Falls Mill",
    next_steps=("Register the meters, cells and thermometers of the bench.",),
    groups=tuple(
        SetUpGroup(
            key=key,
            title=title,
            lines=lines,
            none_words="Nothing yet.",
            add_title="Add one",
            add_word="Add it",
            form=form(
                bare("what", "", key, kind="hidden"),
                bare("name", "Name", required=True, error=error),
                FieldView(
                    name="superheater",
                    id="x-superheater",
                    kind="checkbox",
                    label="Superheater",
                    choices=(Choice(value="on", label="", selected=True),),
                ),
            ),
        )
        for key, title, lines, error in [
            ("boiler", "Boilers", (("Boiler 1", "watertube, 600 psig"),), ""),
            ("instrument", "Instruments", (), "Two instruments can't share a name."),
        ]
    ),
)
