"""Bottom blow, version 1: does the valve blow sludge off, and shut tight again?

How long it stood open is kept where it was clocked; how much water left is not guessed from it.
Handling: common practice, no source, except where one stands beside it.
"""

from chemistry.checks import NOT_DONE
from chemistry.methods import checking
from chemistry.methods.base import (
    Entry,
    Field,
    InstrumentFacts,
    Method,
    Mode,
    Outcome,
    Step,
    Worked,
)
from chemistry.methods.dials import plant_result
from chemistry.uncertainty import PRACTICE, last_digit, rectangular
from chemistry.words import gettext_noop

STOPWATCH_HALF_WIDTH_S = 1.0
"""How well a valve's opening is clocked, ± s: common practice, no source."""

OUTCOME = checking.outcome_field(
    gettext_noop("It blew freely and shut tight"),
    gettext_noop("It was choked, stuck, or leaks"),
)
SECONDS = Field(
    key="open_time",
    label=gettext_noop("How long the valve was open, all blows together"),
    unit="s",
    units=("s", "min"),
    low=0.5,
    high=600.0,
    help=gettext_noop("Leave it empty if you did not clock it."),
    required=False,
)
STEPS = (
    checking.ADVISORY,
    checking.SECOND_PERSON,
    checking.STEAM_AND_WATER,
    Step(
        gettext_noop(
            "Never leave the valve while it is open, and never blow two boilers at once. If you "
            "can't see the glass from the valve, someone watches it for you."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Blow only at the load your procedure allows. Never blow a header or water wall while "
            "the burner fires: the tubes can run dry."
        ),
        caution=True,
    ),
    # Ohio Administrative Code 4101:4-4-04 (2013): tank to 5 psig, water to 140 °F (60 °C).
    Step(
        gettext_noop(
            "The blow goes to the blowoff tank or another approved place, never straight to a "
            "drain: many codes allow 60 °C (140 °F) there at most."
        ),
        caution=True,
    ),
    Step(gettext_noop("Bring the level a little above normal.")),
    Step(
        gettext_noop(
            "Open the valve next to the boiler first, then the other, slowly; short full blows "
            "move more sludge than a long weak one. Close in the opposite order."
        )
    ),
    Step(gettext_noop("Watch the level come back, and feel later that the pipe has gone cool.")),
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    clocked = entry.readings.get("open_time")
    if clocked is None or entry.choices["outcome"] == NOT_DONE:
        return ()
    stopwatch = rectangular(gettext_noop("stopwatch"), STOPWATCH_HALF_WIDTH_S, source=PRACTICE)
    parts = (stopwatch, last_digit(clocked.resolution / 2.0))
    return (plant_result("bottom_blow_time", clocked.value, "s", parts),)


def _conclude(mode: str, entry: Entry) -> tuple[Outcome, ...]:
    checking.refuse_idle_reason(entry, "outcome")
    return (checking.concluded("bottom_blow", entry),)


METHOD = Method(
    key="bottom_blow",
    version="1",
    name=gettext_noop("Bottom blow"),
    purpose=gettext_noop("Takes the sludge off the bottom before it bakes on."),
    analytes=("bottom_blow_time",),
    modes=(
        Mode(
            "blow",
            gettext_noop("Blow"),
            gettext_noop("The bottom blowoff valves are opened and closed again."),
            checking.check_fields(OUTCOME, SECONDS),
        ),
    ),
    instruments=(),
    steps=STEPS,
    sample_ml=0.0,
    source="Ohio Administrative Code 4101:4-4-04 (2013); else common practice, no source",
    calculate=_calculate,
    checks=("bottom_blow",),
    conclude=_conclude,
)
