"""The look of the sample, version 1: clear, cloudy, colored, oil or foam, seen by eye.

It has an outcome and no number, so no verdict; oil is a finding of the stop branch. Handling:
common practice, no source.
"""

from dataclasses import replace

from chemistry.checks import APPEARANCE_WORDS, OIL_FILM
from chemistry.errors import EntryError
from chemistry.methods import checking
from chemistry.methods.base import Entry, Field, Method, Mode, Outcome, Step
from chemistry.words import gettext_noop

OIL_NOTE = gettext_noop(
    "Oil in the water comes before everything else: call, and follow the plant's procedure. Draw "
    "again with a clean bottle at once."
)
FOAM_NOTE = gettext_noop(
    "A foam that stays tells of oil, soap or too much dissolved: the boiler may prime. Tell the "
    "supervisor."
)
LOOK = Field(
    key="look",
    label=gettext_noop("How does the sample look?"),
    help=gettext_noop("Clean, colorless bottle, against the light and against white."),
    choices=tuple(APPEARANCE_WORDS.items()),
)
REMARK = replace(
    checking.REMARK,
    help=gettext_noop(
        "What color, what settles, a smell that you notice; don't sniff at it. Needed for a "
        "colored sample."
    ),
)
STEPS = (
    Step(
        gettext_noop(
            "Boiler water scalds and is caustic. Cool the sample below 100 °F (38 °C) and wear eye "
            "protection and gloves."
        ),
        caution=True,
    ),
    Step(gettext_noop("Take a bottle free of grease: wiped with a finger it shows oil itself.")),
    Step(gettext_noop("Fill it, let it stand a minute, and look at the surface from the side.")),
    Step(gettext_noop("A film of rainbow colors or drops that run together are oil.")),
    Step(gettext_noop("Shake it: a foam that stays longer than a few seconds is foaming.")),
    Step(gettext_noop("Hold it against white: say what color, and whether anything settles.")),
)


def _conclude(mode: str, entry: Entry) -> tuple[Outcome, ...]:
    look, remark = entry.choices["look"], entry.texts.get("remark", "")
    if look == "colored" and not remark:
        raise EntryError("remark_needed", checking.REMARK_NEEDED, field="remark")
    note = {OIL_FILM: OIL_NOTE, "foaming": FOAM_NOTE}.get(look)
    found = Outcome(check="appearance", outcome=look, remark=remark)
    return (checking.with_note(found, note) if note else found,)


METHOD = Method(
    key="appearance",
    version="1",
    name=gettext_noop("Look of the sample"),
    purpose=gettext_noop("Oil, mud and foam are seen before any test finds them."),
    analytes=(),
    modes=(
        Mode(
            "by_eye",
            gettext_noop("By eye"),
            gettext_noop("In a clean, colorless bottle."),
            (LOOK, REMARK),
        ),
    ),
    instruments=(),
    steps=STEPS,
    sample_ml=100.0,
    source="common practice, no source",
    checks=("appearance",),
    conclude=_conclude,
)
