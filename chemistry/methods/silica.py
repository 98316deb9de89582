"""Reactive silica by color, version 1: photometer or comparator, as SiO2 in mg/L.

Molybdate yellow or blue; colloidal silica does not react and is not seen. Handling: common
practice, no source.
"""

from chemistry.methods import coloring_words as words
from chemistry.methods import parts
from chemistry.methods.base import Entry, InstrumentFacts, Method, Step, Worked
from chemistry.methods.coloring import color_result
from chemistry.methods.coloring_fields import INSTRUMENTS, LOTS, Coloring, color_modes
from chemistry.words import gettext_noop

ASKED = Coloring(
    analyte="silica",
    unit="mg/L",
    as_what="SiO2",
    highest=1000.0,  # no boiler is kept near this: rule of our own
    floor=0.02,  # limits of error near zero, mg/L: common practice, no source
    forms=("SiO2", "Si"),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(
        gettext_noop(
            "Draw and test in plastic. Glass gives silica to the water, to hot and alkaline water "
            "most of all."
        )
    ),
    words.REAGENTS,
    words.FILTER,
    words.COOL_TO_ROOM,
    words.ZERO,
    words.WAIT,
    Step(
        gettext_noop(
            "Phosphate makes the same color. Once the color has come, add the acid that takes that "
            "of phosphate away (oxalic, tartaric or citric) when the card says so, and keep to its "
            "own waiting time: it slowly takes the silica's color too."
        )
    ),
    words.READ,
    words.BY_EYE,
    words.RINSE_CELLS,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    return (color_result(mode, entry, facts, ASKED),)


METHOD = Method(
    key="silica",
    version="1",
    name=gettext_noop("Silica by color"),
    purpose=gettext_noop(
        "Silica goes over with the steam and settles on turbine blades, and makes hard scale. "
        "Only the silica that reacts is seen; colloidal silica is not."
    ),
    analytes=("silica",),
    modes=color_modes(ASKED),
    instruments=INSTRUMENTS,
    lots=LOTS,
    steps=STEPS,
    sample_ml=50.0,
    source="IUPAC 2022 atomic weights (from memory); JCGM 100:2008; handling: common practice, "
    "no source",
    calculate=_calculate,
)
