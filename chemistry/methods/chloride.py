"""Chloride by titration with silver nitrate and chromate (Mohr), version 1.

Results: mg/L of the ion, and epm. The end point holds at pH 7 to 10 only; sulfite and phosphate
take silver as chloride does, so where they are left in the sample the result is "less than".
"""

from chemistry.analytes import Basis
from chemistry.chloride import CHLORIDE_MG_PER_EQUIVALENT
from chemistry.errors import EntryError
from chemistry.methods import parts, titrating
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Step, Worked
from chemistry.methods.titrating import EndPoint, Notes, Titration, Titrimetry
from chemistry.methods.titrating_fields import strength_field
from chemistry.titration import equivalents_per_million
from chemistry.words import gettext_noop

PH_OUT = gettext_noop(
    "Outside pH 7 to 10 the end point is false. Bring the sample there with dilute acid or caustic "
    "that holds no chloride, and titrate again."
)
NOTHING_CAN_BE_SAID = gettext_noop(
    "The titrant ran out, and sulfite or phosphate takes part of it: nothing can be said of "
    "chloride. Treat the sample, take less of it, and titrate again."
)
LEFT_NOTE = gettext_noop(
    "Sulfite or phosphate may still be in the sample and takes silver too: chloride is less than "
    "this. Treat the sample and repeat."
)
NO_BLANK_NOTE = gettext_noop(
    "No blank was taken off. If the label or card doesn't allow for it, this reads high."
)

END = EndPoint(
    "end",
    gettext_noop("At the end point"),
    gettext_noop("Where the yellow first turns to a pinkish yellow that stays."),
)
PH = Field(
    key="ph_ready",
    label=gettext_noop("Is the sample between pH 7 and 10?"),
    help=gettext_noop(
        "Boiler water is above it: neutralize to phenolphthalein with sulfuric acid."
    ),
    choices=(
        ("yes", gettext_noop("Yes, or brought there")),
        ("no", gettext_noop("No, or not known")),
    ),
)
SULFITE = Field(
    key="sulfite",
    label=gettext_noop("Sulfite"),
    help=gettext_noop("A few drops of hydrogen peroxide destroy it; wait a minute."),
    choices=(
        ("none", gettext_noop("None in this water")),
        ("destroyed", gettext_noop("Destroyed with peroxide")),
        ("left", gettext_noop("May still be there")),
    ),
)
PHOSPHATE = Field(
    key="phosphate",
    label=gettext_noop("Phosphate"),
    # ISO 9297:1989, Table 1, read in an abstract: 25 mg/L PO4 adds about 2 % to 70 mg/L chloride
    help=gettext_noop(
        "Above about 25 mg/L it takes silver; an added bismuth or zinc salt, itself free of "
        "chloride, binds it."
    ),
    choices=(
        ("none", gettext_noop("25 mg/L or less")),
        ("bound", gettext_noop("Bound")),
        ("left", gettext_noop("May still be there")),
    ),
)

TITRIMETRY = Titrimetry(
    strength=strength_field(
        gettext_noop("Strength of the silver nitrate"), "eq/L", "0.0141", 0.001, 2.0
    ),
    mg_per_equivalent=CHLORIDE_MG_PER_EQUIVALENT,
    result_units=("mg/L",),
    ends=(END,),
    before=(PH, SULFITE, PHOSPHATE),
    blank_required=True,
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    titrating.MEASURE_SAMPLE,
    Step(
        gettext_noop(
            "Silver nitrate stains skin and clothes and harms eyes; peroxide and acid burn; "
            "chromate is poisonous and causes cancer. Wear gloves and eye protection, and collect "
            "the waste."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Destroy sulfite with a few drops of hydrogen peroxide and stir for a minute. Bind "
            "phosphate with a salt that holds no chloride."
        )
    ),
    Step(
        gettext_noop(
            "Add phenolphthalein; if the sample is pink, add dilute sulfuric acid until it is just "
            "clear. Then add the chromate indicator."
        )
    ),
    titrating.READ_BURETTE,
    titrating.TITRATE_SLOWLY,
    Step(
        gettext_noop(
            "Titrate a blank of distilled water in the same way and to the same shade; 0.2 to 0.3 "
            "mL is usual."
        )
    ),
    titrating.RINSE_AFTER,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    if entry.choices["ph_ready"] != "yes":
        raise EntryError("ph_out", PH_OUT, field="ph_ready")
    seen = titrating.titrate(TITRIMETRY, mode, entry, facts)
    left = "left" in (entry.choices["sulfite"], entry.choices["phosphate"])
    if left and seen.ran_out:
        raise EntryError("nothing_known", NOTHING_CAN_BE_SAID, field="end_point")
    notes: Notes = ((LEFT_NOTE, {}),) if left else ()
    if not entry.readings["blank"].value:
        notes = (*notes, (NO_BLANK_NOTE, {}))
    qualifier = "<" if left else ""
    return (
        _result(seen, "chloride", Basis("", "", "ion"), "mg/L", 1.0, qualifier, notes),
        _result(seen, "chloride_epm", Basis(""), "epm", EPM_PER_MG, qualifier, notes),
    )


EPM_PER_MG = float(equivalents_per_million(1.0, CHLORIDE_MG_PER_EQUIVALENT))


def _result(
    seen: Titration,
    analyte: str,
    basis: Basis,
    unit: str,
    scale: float,
    qualifier: str,
    notes: Notes,
) -> Worked:
    return seen.plain_result(
        analyte,
        basis,
        "end",
        unit=unit,
        scale=scale,
        other_qualifier=qualifier,
        notes=notes,
    )


METHOD = Method(
    key="chloride",
    version="1",
    name=gettext_noop("Chloride by silver nitrate"),
    purpose=gettext_noop(
        "Shows leaks of raw or sea water, and how far the boiler has concentrated its feedwater: "
        "chloride neither falls out nor boils off."
    ),
    analytes=("chloride", "chloride_epm"),
    modes=titrating.titration_modes(TITRIMETRY),
    instruments=titrating.INSTRUMENTS,
    lots=titrating.LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "Standard Methods 4500-Cl- B (from memory); ISO 9297:1989 (abstract); JCGM 100:2008; "
        "binding of phosphate and handling: common practice, no source"
    ),
    calculate=_calculate,
    mode_question=titrating.MODE_QUESTION,
)
