"""Gauge glass and water column, version 1: does the level that is seen tell the level that is?

Handling: common practice, no source; the plant's procedure and the code in force decide.
"""

from chemistry.methods import checking
from chemistry.methods.base import Entry, Method, Mode, Outcome, Step
from chemistry.words import gettext_noop

GLASS = checking.outcome_field(
    gettext_noop("The water came back to its level at once"),
    gettext_noop("It came back slowly, not at all, or to another level"),
    key="glass",
    label=gettext_noop("Gauge glass: what did blowing it show?"),
)
COLUMN = checking.outcome_field(
    gettext_noop("The water came back to its level at once"),
    gettext_noop("It came back slowly, not at all, or to another level"),
    key="column",
    label=gettext_noop("Water column: what did blowing it show?"),
)
MODES = (
    Mode(
        "glass_and_column",
        gettext_noop("Glass and column"),
        gettext_noop("Both are blown, the column first."),
        checking.check_fields(COLUMN, GLASS),
    ),
    Mode(
        "glass",
        gettext_noop("Glass only"),
        gettext_noop("The boiler has no column, or only the glass was blown."),
        checking.check_fields(GLASS),
    ),
)
STEPS = (
    checking.ADVISORY,
    checking.STEAM_AND_WATER,
    Step(
        gettext_noop(
            "A gauge glass can burst. Keep its guard on, stand to the side, and never tighten or "
            "tap it under pressure."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Blowing the column may trip the low-water cutoff: tell the control room before."
        ),
        caution=True,
    ),
    Step(gettext_noop("Open the column's drain, let it blow clear, close it, and watch.")),
    Step(
        gettext_noop(
            "Glass: open its drain. Shut the water side, so that steam blows through; open it "
            "again and shut the steam side, so that water blows. Then close the drain and open "
            "both sides, slowly."
        )
    ),
    Step(gettext_noop("The level must come back at once. Slow means a way is choking up.")),
    Step(gettext_noop("Hold the level against the second glass or the try cocks.")),
    Step(gettext_noop("See that every valve to glass and column is open and sealed again.")),
)


def _conclude(mode: str, entry: Entry) -> tuple[Outcome, ...]:
    asked = ("glass",) if mode == "glass" else ("column", "glass")
    checking.refuse_idle_reason(entry, *asked)
    names = {"glass": "gauge_glass", "column": "water_column"}
    return tuple(checking.concluded(names[key], entry, key) for key in asked)


METHOD = Method(
    key="gauge_glass",
    version="1",
    name=gettext_noop("Gauge glass and water column"),
    purpose=gettext_noop("A choked glass shows a level that is not there."),
    analytes=(),
    modes=MODES,
    instruments=(),
    steps=STEPS,
    sample_ml=0.0,
    source="common practice, no source",
    checks=("gauge_glass", "water_column"),
    conclude=_conclude,
)
