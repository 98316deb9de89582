"""Other oxygen scavengers left over, version 1: as the instrument displays them, in µg/L.

Most such tests see how much iron the scavenger reduces: each product then counts by its own card,
and every other reducing thing in the water counts along. So the number stays on the basis "as the
instrument shows it". Handling: common practice, no source.
"""

from dataclasses import replace

from chemistry.methods import coloring_words as words
from chemistry.methods import parts
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.coloring import color_result
from chemistry.methods.coloring_fields import INSTRUMENTS, LOTS, Coloring, color_modes
from chemistry.words import gettext_noop

ASKED = Coloring(
    analyte="scavenger",
    unit="ug/L",
    as_what="displayed",
    highest=500000.0,  # far above any residual, lay-up too: rule of our own
    floor=5.0,  # limits of error near zero, µg/L: common practice, no source
)
AS_DISPLAYED_NOTE = gettext_noop(
    "The figure is as displayed: other reducing things in the water, such as sulfite or dissolved "
    "iron, count along."
)
PRODUCT = Field(
    key="product",
    carried="product",
    label=gettext_noop("Which scavenger does the scale show?"),
    help=gettext_noop("Read it off the card or the program of the photometer, not the drum."),
    choices=(
        ("deha", gettext_noop("DEHA (diethylhydroxylamine)")),
        ("erythorbate", gettext_noop("Erythorbate")),
        ("carbohydrazide", gettext_noop("Carbohydrazide")),
        ("scavenger", gettext_noop("Another one")),
    ),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(
        gettext_noop(
            "Fill the bottle from the bottom and let it run over; test at once. Air eats the "
            "scavenger."
        )
    ),
    Step(
        gettext_noop(
            "Carbohydrazide turns to hydrazine in hot water: treat it with the same care, and "
            "never use it where steam touches food."
        ),
        caution=True,
    ),
    words.REAGENTS,
    words.ZERO_INSTEAD_OF_FILTERING,
    words.COOL_TO_ROOM,
    words.ZERO,
    Step(gettext_noop("Keep the vial out of strong light while it waits: light makes color too.")),
    words.WAIT,
    words.READ,
    words.BY_EYE,
    words.RINSE_CELLS,
)


def _modes() -> tuple[Mode, ...]:
    every = color_modes(ASKED)
    return tuple(replace(mode, fields=(PRODUCT, *mode.fields)) for mode in every)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    asked = replace(ASKED, analyte=entry.choices["product"])
    return (color_result(mode, entry, facts, asked, ((AS_DISPLAYED_NOTE, {}),)),)


METHOD = Method(
    key="scavenger",
    version="1",
    name=gettext_noop("Oxygen scavenger left over, by color"),
    purpose=gettext_noop("Shows that scavenger is left to take up oxygen that gets in."),
    analytes=("deha", "erythorbate", "carbohydrazide", "scavenger"),
    modes=_modes(),
    instruments=INSTRUMENTS,
    lots=LOTS,
    steps=STEPS,
    sample_ml=50.0,
    source="JCGM 100:2008; handling: common practice, no source",
    calculate=_calculate,
)
