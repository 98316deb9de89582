"""Iron by color, version 1: photometer or comparator, as Fe in mg/L.

How the sample was prepared decides what was found, so each has an analyte of its own: a limit for
total iron is never held against iron that was not digested. Handling: common practice, no source.
"""

from dataclasses import replace

from chemistry.methods import coloring_words as words
from chemistry.methods import parts
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.coloring import Notes, color_result
from chemistry.methods.coloring_fields import INSTRUMENTS, LOTS, Coloring, color_modes
from chemistry.words import gettext_noop

ASKED = Coloring(
    analyte="iron",
    unit="mg/L",
    as_what="Fe",
    highest=100.0,  # far above any condensate: rule of our own
    floor=0.005,  # limits of error near zero, mg/L: common practice, no source
)
UNDIGESTED_NOTE = gettext_noop(
    "Rust that was not digested is not in this figure: the total is higher. It is not held against "
    "a limit for total iron."
)
PREPARED = Field(
    key="prepared",
    label=gettext_noop("How was the sample prepared?"),
    help=gettext_noop("Most iron in condensate is fine rust, which only shows once digested."),
    choices=(
        ("digested", gettext_noop("Digested with acid: total iron")),
        ("filtered", gettext_noop("Filtered at the point: dissolved iron")),
        ("as_drawn", gettext_noop("As drawn: what reacts undigested")),
    ),
    required=True,
)
_ANALYTE = {"digested": "iron", "filtered": "iron_dissolved", "as_drawn": "iron_reactive"}

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(
        gettext_noop(
            "Let the line run at its usual flow for a good while first: opening or shutting a "
            "valve shakes rust loose, and the sample then shows the valve and not the water."
        )
    ),
    Step(
        gettext_noop(
            "Use a bottle rinsed with acid. For total iron, acidify it at once and digest the "
            "sample as your plant's method says; never filter it."
        )
    ),
    Step(
        gettext_noop(
            "Digesting means hot acid: work under the hood with goggles and gloves, and pour acid "
            "into water, never water into acid."
        ),
        caution=True,
    ),
    words.REAGENTS,
    words.ZERO,
    words.WAIT,
    words.READ,
    words.BY_EYE,
    words.RINSE_CELLS,
)


def _modes() -> tuple[Mode, ...]:
    every = color_modes(ASKED)
    return tuple(replace(mode, fields=(PREPARED, *mode.fields)) for mode in every)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    prepared = entry.choices["prepared"]
    notes: Notes = () if prepared == "digested" else ((UNDIGESTED_NOTE, {}),)
    asked = replace(ASKED, analyte=_ANALYTE[prepared])
    return (color_result(mode, entry, facts, asked, notes),)


METHOD = Method(
    key="iron",
    version="1",
    name=gettext_noop("Iron by color"),
    purpose=gettext_noop(
        "Iron in condensate and feedwater tells that pipes corrode; it settles in the boiler."
    ),
    analytes=("iron", "iron_dissolved", "iron_reactive"),
    modes=_modes(),
    instruments=INSTRUMENTS,
    lots=LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source="JCGM 100:2008; handling: common practice, no source",
    calculate=_calculate,
)
