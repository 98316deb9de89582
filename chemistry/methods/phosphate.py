"""Orthophosphate by color, version 1: photometer or comparator, as PO4 in mg/L.

Molybdenum blue or vanadomolybdate yellow; both see orthophosphate only. Handling: common practice,
no source.
"""

from chemistry.methods import coloring_words as words
from chemistry.methods import parts
from chemistry.methods.base import Entry, InstrumentFacts, Method, Step, Worked
from chemistry.methods.coloring import color_result
from chemistry.methods.coloring_fields import INSTRUMENTS, LOTS, Coloring, color_modes
from chemistry.words import gettext_noop

ASKED = Coloring(
    analyte="phosphate",
    unit="mg/L",
    as_what="PO4",
    highest=1000.0,  # no boiler is kept near this: rule of our own
    floor=0.5,  # limits of error near zero, mg/L: common practice, no source
    forms=("PO4", "P", "P2O5"),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    words.REAGENTS,
    Step(
        gettext_noop(
            "Filter the sample until it is clear: sludge of calcium phosphate would dissolve in "
            "the acid reagent and read as phosphate the water does not hold."
        )
    ),
    words.COOL_TO_ROOM,
    Step(
        gettext_noop(
            "Much silica makes the same color: use the reagent made for boiler water, which holds "
            "it back."
        )
    ),
    words.ZERO,
    words.WAIT,
    words.READ,
    words.BY_EYE,
    words.RINSE_CELLS,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    return (color_result(mode, entry, facts, ASKED),)


METHOD = Method(
    key="phosphate",
    version="1",
    name=gettext_noop("Orthophosphate by color"),
    purpose=gettext_noop(
        "Shows whether enough phosphate is left to bind hardness as soft sludge. Too little lets "
        "scale form; too much can come out on hot tubes."
    ),
    analytes=("phosphate",),
    modes=color_modes(ASKED),
    instruments=INSTRUMENTS,
    lots=LOTS,
    steps=STEPS,
    sample_ml=50.0,
    source="IUPAC 2022 atomic weights (from memory); JCGM 100:2008; handling: common practice, "
    "no source",
    calculate=_calculate,
)
