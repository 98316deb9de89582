"""Total hardness by titration with EDTA at pH 10, version 1. Result in mg/L as CaCO3.

One 0.05 mL drop of 0.01 M EDTA in 50 mL is 1 mg/L: the budget says so, and a limit below that is
not judged by this test.
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
    gettext_noop("Where the last tinge of red goes and the blue stays. Blue at once means zero."),
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
        gettext_noop(
            "Of softened water and condensate take 100 mL or more, or a weaker EDTA: in 50 mL one "
            "drop of 0.01 M is already 1 mg/L."
        )
    ),
    Step(
        gettext_noop(
            "The buffer smells of ammonia and burns, and cyanide inhibitors are deadly in acid. "
            "Use good air and eye protection, and never mix the waste with acid."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Add the buffer for pH 10. If iron or copper spoil the color, add the inhibitor of "
            "your procedure. Finish within five minutes of adding the buffer."
        )
    ),
    Step(gettext_noop("Add the indicator: red means hardness; blue at once means none.")),
    titrating.READ_BURETTE,
    titrating.TITRATE_SLOWLY,
    Step(
        gettext_noop(
            "The change is slow near the end and in the cold: wait a few seconds after every drop."
        )
    ),
    titrating.RINSE_AFTER,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    seen = titrating.titrate(TITRIMETRY, mode, entry, facts)
    basis = Basis("", "", "CaCO3")
    return (seen.plain_result("total_hardness", basis, "end", notes=seen.one_drop_note),)


METHOD = Method(
    key="hardness_total",
    version="1",
    name=gettext_noop("Total hardness by EDTA"),
    purpose=gettext_noop(
        "Shows calcium and magnesium that make scale: a spent softener, or raw water leaking into "
        "the condensate."
    ),
    analytes=("total_hardness",),
    modes=titrating.titration_modes(TITRIMETRY),
    instruments=titrating.INSTRUMENTS,
    lots=titrating.LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "Standard Methods 2340 C and EPA 130.2 (both from memory); JCGM 100:2008; handling: common "
        "practice, no source"
    ),
    calculate=_calculate,
    mode_question=titrating.MODE_QUESTION,
)
