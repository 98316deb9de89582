"""Low-water cutoff, version 1: does the burner stop when the water goes?

Handling: common practice, no source; the plant's procedure and the code in force decide.
"""

from chemistry.checks import WORKED
from chemistry.errors import EntryError
from chemistry.methods import checking
from chemistry.methods.base import MISSING, Entry, Field, Method, Mode, Outcome, Step
from chemistry.words import gettext_noop

TRIPPED_TOO_LATE = gettext_noop(
    "A cutoff that lets the water leave the glass before it stops the burner did not work. Choose "
    "“did not work” and act on it."
)
BUTTON_NOTE = gettext_noop(
    "A button tries the relay, not the float or probe in the water. It does not stand for a check "
    "with water."
)
OUTCOME = checking.outcome_field(
    gettext_noop("The burner stopped, and the alarm came"),
    gettext_noop("The burner did not stop, or no alarm came"),
)
IN_GLASS = Field(
    key="water_in_glass",
    label=gettext_noop("Was water still in the glass when the burner stopped?"),
    help=gettext_noop("The burner must stop while you can still see the water."),
    choices=(("yes", gettext_noop("Yes")), ("no", gettext_noop("No"))),
    required=False,
)

MODES = (
    Mode(
        "blow_down",
        gettext_noop("Chamber drained"),
        gettext_noop("The drain of the cutoff's chamber is opened while the burner fires."),
        checking.check_fields(OUTCOME),
    ),
    Mode(
        "slow_drain",
        gettext_noop("Level lowered slowly"),
        gettext_noop("Feed off, burner on low fire, the level falls until the burner stops."),
        checking.check_fields(OUTCOME, IN_GLASS),
    ),
    Mode(
        "button",
        gettext_noop("Test button"),
        gettext_noop("For an electronic probe, between the checks with water."),
        checking.check_fields(OUTCOME),
    ),
)

STEPS = (
    checking.ADVISORY,
    checking.SECOND_PERSON,
    checking.STEAM_AND_WATER,
    Step(
        gettext_noop(
            "Stop at once, and shut the fuel off by hand, if the water leaves the glass. Never "
            "feed cold water into a boiler whose level you can't see."
        ),
        caution=True,
    ),
    Step(gettext_noop("See that the level is normal and the burner is firing.")),
    Step(
        gettext_noop(
            "Chamber: open its drain wide and let it blow clear; the burner must stop. Level: "
            "shut the feed at low fire and watch the glass; the burner must stop in time."
        )
    ),
    Step(gettext_noop("Close the drain, open the feed, and watch the level come back.")),
    Step(gettext_noop("Reset by hand where it is made so, and see the burner light again.")),
    Step(
        gettext_noop("Where a second cutoff is fitted, check each on its own and record each."),
    ),
)


def _conclude(mode: str, entry: Entry) -> tuple[Outcome, ...]:
    checking.refuse_idle_reason(entry, "outcome")
    if mode == "button":
        found = checking.concluded("low_water_cutoff_button", entry)
        return (checking.with_note(found, BUTTON_NOTE),)
    found = checking.concluded("low_water_cutoff", entry)
    if mode == "slow_drain" and found.outcome == WORKED:
        seen = entry.choices.get("water_in_glass", "")
        if not seen:
            raise EntryError("missing", MISSING, field="water_in_glass")
        if seen == "no":
            raise EntryError("tripped_too_late", TRIPPED_TOO_LATE, field="outcome")
    return (found,)


METHOD = Method(
    key="low_water_cutoff",
    version="1",
    name=gettext_noop("Low-water cutoff"),
    purpose=gettext_noop(
        "Stops the burner before the tubes run dry. Many boilers were lost to one that had not "
        "been checked."
    ),
    analytes=(),
    modes=MODES,
    instruments=(),
    steps=STEPS,
    sample_ml=0.0,
    source="common practice, no source",
    checks=("low_water_cutoff", "low_water_cutoff_button"),
    conclude=_conclude,
)
