"""Hydrazine left over in the water, version 1: photometer or comparator, as N2H4 in µg/L.

Yellow with p-dimethylaminobenzaldehyde in acid (ASTM D1385, from memory). Handling: common
practice, no source, except where a source stands beside it.
"""

from chemistry.methods import coloring_words as words
from chemistry.methods import parts
from chemistry.methods.base import Entry, InstrumentFacts, Method, Step, Worked
from chemistry.methods.coloring import color_result
from chemistry.methods.coloring_fields import INSTRUMENTS, LOTS, Coloring, color_modes
from chemistry.words import gettext_noop

ASKED = Coloring(
    analyte="hydrazine",
    unit="ug/L",
    as_what="N2H4",
    highest=500000.0,  # lay-up water holds some 200 mg/L: common practice, no source
    floor=3.0,  # limits of error near zero, µg/L: common practice, no source
)

STEPS = (
    # NIOSH IDLH page 302-01-2 (May 1994) and Pocket Guide: carcinogen; taken up through the skin.
    Step(
        gettext_noop(
            "Hydrazine is poison, is taken up through the skin, and may cause cancer. Never handle "
            "the concentrate for this test; wear goggles and gloves, keep the room aired, and wash "
            "at once what it touched."
        ),
        caution=True,
    ),
    # NIOSH Pocket Guide (1994): ceiling 0.03 ppm in air, far below what can be smelled.
    Step(
        gettext_noop(
            "You can't rely on smelling it: harm is done at far less than the nose can tell. If "
            "concentrate was spilled, leave and follow your plant's spill plan."
        ),
        caution=True,
    ),
    # UFC 3-240-13FN (2005), 3-2.6.2.2: no longer to be used in military plants.
    Step(
        gettext_noop(
            "Never where steam touches food, humidifies rooms or sterilizes. Some owners no longer "
            "allow hydrazine at all: follow your plant's rule."
        ),
        caution=True,
    ),
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(
        gettext_noop(
            "Fill the bottle from the bottom and let it run over; test at once. Air eats hydrazine."
        )
    ),
    words.REAGENTS,
    words.ZERO_INSTEAD_OF_FILTERING,
    words.ZERO,
    words.WAIT,
    words.READ,
    words.BY_EYE,
    words.RINSE_CELLS,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    return (color_result(mode, entry, facts, ASKED),)


METHOD = Method(
    key="hydrazine",
    version="1",
    name=gettext_noop("Hydrazine left over, by color"),
    purpose=gettext_noop(
        "Shows that hydrazine is left to take up oxygen. None left means oxygen goes free; much "
        "of it breaks down to ammonia, which attacks copper."
    ),
    analytes=("hydrazine",),
    modes=color_modes(ASKED),
    instruments=INSTRUMENTS,
    lots=LOTS,
    steps=STEPS,
    sample_ml=50.0,
    source="ASTM D1385 (from memory); NIOSH Pocket Guide and IDLH 302-01-2 (1994); UFC "
    "3-240-13FN (2005), 3-2.6.2.2; JCGM 100:2008; handling: common practice, no source",
    calculate=_calculate,
)
