"""Every page with an invented screen: what tests render and pictures are taken of."""

from dataclasses import replace

from dashboards.screens.correct import CorrectScreen
from dashboards.screens.entry import HelpLink, HelpScreen, LoginScreen, SetupScreen
from dashboards.screens.fields import Choice
from dashboards.screens.people import (
    PeopleScreen,
    PersonRow,
    PersonScreen,
    RoleHeld,
    TerminalRow,
    TerminalsScreen,
)
from dashboards.screens.plants import (
    BoilerTrouble,
    PlantRow,
    PlantsScreen,
)
from dashboards.screens.sheets import (
    SheetListScreen,
)
from dashboards.screens.terminal import TerminalScreen
from tests.dashboards.fabricated import (
    IN_RANGE,
    PLANT,
    chrome,
    form,
    result,
    uid,
)
from tests.dashboards.fabricated_handover import (
    HANDOVER,
    HANDOVER_QUIET,
    HISTORY,
    PAPER,
)
from tests.dashboards.fabricated_plants import DESK, PEOPLE, SET_UP, TERMINAL, bare
from tests.dashboards.fabricated_programs import CHANGES, NEW_VERSION, PROGRAM
from tests.dashboards.fabricated_round import (
    BENCH,
    BENCH_BAD,
    BENCH_MISMATCH,
    ROUND,
    ROUND_EMPTY,
    WORKED,
    block,
)
from tests.dashboards.fabricated_sheets import (
    CHECK,
    REFUSED,
    SAMPLE,
    SHEET,
    SHEET_DRAFT,
    SHEET_OWN,
    SHEET_ROWS,
)
from tests.dashboards.fabricated_untested import NOT_TESTED

PAGES = {
    "round": ("round", ROUND, chrome("Round", terminal=True)),
    "round_empty": ("round", ROUND_EMPTY, chrome("Round", terminal=True)),
    "bench": ("bench", BENCH, chrome("Round", terminal=True)),
    "bench_bad": ("bench", BENCH_BAD, chrome("Round", terminal=True)),
    "bench_mismatch": ("bench", BENCH_MISMATCH, chrome("Round", terminal=True)),
    "not_tested": ("not_tested", NOT_TESTED, chrome("Round", terminal=True)),
    "not_tested_closed": ("not_tested", replace(NOT_TESTED, missed=True, form=None),
                          chrome("Desk")),
    "sample": ("sample", SAMPLE, chrome("Round", terminal=True)),
    "sample_refused": ("sample", REFUSED, chrome("Round")),
    "sheets": ("sheets", SheetListScreen(plant_id=PLANT, plant_name="Alder Falls Mill",
                                         rows=SHEET_ROWS, older_url="?before=1"),
               chrome("Log sheets")),
    "sheet": ("sheet", SHEET, chrome("Log sheets")),
    "sheet_own": ("sheet", SHEET_OWN, chrome("Log sheets")),
    "sheet_draft": ("sheet", SHEET_DRAFT, chrome("Log sheets", terminal=True)),
    "correct": ("correct", CorrectScreen(
        plant_id=PLANT, measurement_id=uid(64), sample_id=uid(63), sheet_id=uid(70), amends=True,
        boiler_name="Boiler 3", point_name="drum", drawn_text="today 12:05",
        tester_name="Ada Brook", title="Amend a signed result", stays="The old one stays readable.",
        before=(result(124, IN_RANGE, expanded=3),), showed=(CHECK.outcome,), block=block(WORKED),
        reason=bare("reason", "Why it is corrected", kind="textarea", required=True),
        key=uid(96)), chrome("Log sheets")),
    "paper_forms": ("paper_forms", PAPER, chrome("Round")),
    "paper_forms_none": ("paper_forms", replace(PAPER, forms=()), chrome("Round")),
    "handover": ("handover", HANDOVER, chrome("Handover", terminal=True)),
    "handover_quiet": ("handover", HANDOVER_QUIET, chrome("Handover")),
    "history": ("history", HISTORY, chrome("Log sheets")),
    "terminal": ("terminal", TERMINAL, chrome(terminal=True, locked=True)),
    "terminal_pin": ("terminal", replace(TERMINAL, state="pin", chosen=PEOPLE[0],
                     error="That PIN is not right.", tries_left_words="3 tries left."),
                     chrome(terminal=True, locked=True)),
    "terminal_locked": ("terminal", replace(TERMINAL, state="locked", chosen=PEOPLE[3]),
                        chrome(terminal=True, locked=True)),
    "terminal_strange": ("terminal", TerminalScreen(state="not_enrolled"), chrome(locked=True)),
    "plants": ("plants", PlantsScreen(
        organization_name="Fernhill Paper (invented)", now_text="14:12",
        rows=(
            PlantRow(plant_id=PLANT, name="Alder Falls Mill", kind="paper mill",
                     boilers_text="4 boilers", out_of_range=1, overdue=2, sheets_waiting=2,
                     follow_ups=1, last_text="today 12:40",
                     doubts=1, sheets_not_handed_in=1, in_order=("Boiler 1", "Boiler 2"),
                     troubles=(BoilerTrouble(
                         name="Boiler 3", state_word="Steaming", overdue=2,
                         out_of_range=("Conductivity 1420 µS/cm, High",), doubts=("pH",)),)),
            PlantRow(plant_id=uid(2), name="Saint Orrin Hospital", kind="hospital",
                     boilers_text="2 boilers", last_text="today 11:30"),
        )), chrome("Plants")),
    "plant": ("plant", DESK, chrome("Desk")),
    "program": ("program", PROGRAM, chrome("Desk")),
    "program_changes": ("program_changes", CHANGES, chrome("Desk")),
    "program_version": ("program_version", NEW_VERSION, chrome("Desk")),
    "plant_setup": ("plant_setup", SET_UP, chrome("Set-up")),
    "people": ("people", PeopleScreen(
        plant_id=PLANT, plant_name="Alder Falls Mill",
        rows=(PersonRow(user_id=uid(40), name="Ada Brook", username="ada", roles=("tester",),
                        has_pin=True),
              PersonRow(user_id=uid(41), name="Rosa Lund", username="rosa",
                        roles=("supervisor", "tester"), locked_words="locked out until 14:27")),
        form=form(bare("name", "Name", required=True),
                  bare("username", "User name", required=True),
                  bare("roles", "Roles", kind="checkboxes", required=True,
                       choices=(Choice(value="tester", label="Tester", selected=True),
                                Choice(value="supervisor", label="Supervisor"))),
                  bare("pin", "PIN", kind="pin"), errors=("That user name is taken.",))),
               chrome("Desk")),
    "person": ("person", PersonScreen(
        plant_id=PLANT, plant_name="Alder Falls Mill", user_id=uid(41), name="Rosa Lund",
        username="rosa", pin_text="No PIN is set at this plant.",
        roles=(RoleHeld(role="tester", word="Tester", since_text="since Nov 2"),
               RoleHeld(role="supervisor", word="Supervisor", since_text="since Nov 2",
                        blocked="Your role does not allow you to end this role.")),
        locked_words="locked out until 14:27",
        pin_form=form(bare("pin", "New PIN", kind="pin", required=True)),
        give=form(bare("give", "Role", kind="select", required=True,
                       choices=(Choice(value="tester", label="Tester", selected=True),))),
        errors=("A plant keeps at least one administrator.",)), chrome("Desk")),
    "person_left": ("person", PersonScreen(
        plant_id=PLANT, plant_name="Alder Falls Mill", user_id=uid(42), name="Emil Gone",
        username="emil", pin_text="", roles=()), chrome("Desk")),
    "terminals": ("terminals", TerminalsScreen(
        plant_id=PLANT, plant_name="Alder Falls Mill",
        rows=(TerminalRow(terminal_id=uid(30), name="Sample bench", enrolled_text="Nov 2",
                          enrolled_by="by Rosa Lund", last_seen_text="seen today 14:10",
                          this_one=True, revoke_key=uid(98)),),
        form=form(bare("name", "Name of this terminal", required=True))), chrome("Desk")),
    "login": ("login", LoginScreen(
        form=form(bare("username", "User name", required=True, autocomplete="username"),
                  bare("password", "Password", kind="password", required=True,
                       autocomplete="current-password")), can_use_terminal=True), None),
    "setup": ("setup", SetupScreen(
        form=form(bare("code", "One-time code", required=True),
                  bare("organization", "Organization", required=True),
                  bare("name", "Your name", required=True))), None),
    "help": ("help", HelpScreen(
        title="The round", body="<h1>The round</h1><p>What is due, overdue first.</p>",
        pages=(HelpLink(slug="round", title="The round", current=True),
               HelpLink(slug="sheet", title="The log sheet"))), chrome()),
}  # fmt: skip
