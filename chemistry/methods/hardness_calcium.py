"""Calcium hardness by titration with EDTA above pH 12, version 1. Result in mg/L as CaCO3.

Magnesium falls out as hydroxide and is not titrated. One 0.05 mL drop of 0.01 M EDTA in 50 mL is
1 mg/L: the budget says so.
"""

from chemistry.analytes import Basis
from chemistry.hardness import EDTA_MG_CACO3_PER_MOLE
from chemistry.methods import parts, titrating
from chemistry.methods.base import Entry, InstrumentFacts, Method, Step, Worked
from chemistry.methods.titrating import EndPoint, Titrimetry
from chemistry.methods.titrating_fields import strength_field
from chemistry.words import gettext_noop

END = EndPoint(
    "end",
    gettext_noop("At the end point"),
    gettext_noop("Where the indicator takes its last color and keeps it."),
)
TITRIMETRY = Titrimetry(
    strength=strength_field(gettext_noop("Strength of the EDTA"), "M", "0.01", 0.0005, 1.0),
    mg_per_equivalent=EDTA_MG_CACO3_PER_MOLE,
    ends=(END,),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    titrating.MEASURE_SAMPLE,
    Step(
        gettext_noop("Caustic burns skin and blinds eyes. Wear gloves and eye protection."),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Add caustic until the sample is at pH 12 to 13, so that magnesium falls out. Titrate "
            "within five minutes of adding it."
        )
    ),
    Step(gettext_noop("Add the calcium indicator and stir until it has dissolved.")),
    titrating.READ_BURETTE,
    titrating.TITRATE_SLOWLY,
    Step(
        gettext_noop(
            "Once you have read it, check the end by one or two drops more: no further change "
            "means you were there. Those drops don't count."
        )
    ),
    titrating.RINSE_AFTER,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    seen = titrating.titrate(TITRIMETRY, mode, entry, facts)
    basis = Basis("", "", "CaCO3")
    return (seen.plain_result("calcium_hardness", basis, "end", notes=seen.one_drop_note),)


METHOD = Method(
    key="hardness_calcium",
    version="1",
    name=gettext_noop("Calcium hardness by EDTA"),
    purpose=gettext_noop(
        "Shows the calcium alone: the part of hardness that makes the hardest scale and uses up "
        "phosphate."
    ),
    analytes=("calcium_hardness",),
    modes=titrating.titration_modes(TITRIMETRY),
    instruments=titrating.INSTRUMENTS,
    lots=titrating.LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "Standard Methods 3500-Ca B (from memory); JCGM 100:2008; handling: common practice, no "
        "source"
    ),
    calculate=_calculate,
    mode_question=titrating.MODE_QUESTION,
)
