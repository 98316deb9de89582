"""P and M alkalinity of a water sample by titration with acid, version 1.

Results in mg/L as CaCO3. Hydroxide, carbonate and bicarbonate follow from P and M only where
nothing else takes acid: where phosphate, silica, sulfite or an amine may be in the water they are
withheld, never guessed and never clamped.
"""

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT, split
from chemistry.analytes import Basis
from chemistry.errors import EntryError
from chemistry.methods import parts, titrating
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Step, Worked
from chemistry.methods.titrating import EndPoint, Notes, Titration, Titrimetry
from chemistry.methods.titrating_fields import strength_field
from chemistry.words import gettext_noop

AS_CACO3 = Basis("", "", "CaCO3")

P_BEYOND_M = gettext_noop(
    "With the blank taken off, M alkalinity comes out below P. Titrate the blank and the sample "
    "again."
)
WITHHELD_NOTE = gettext_noop(
    "Hydroxide, carbonate and bicarbonate are not worked out: phosphate, silica, sulfite and "
    "amines take acid too, and 2P - M would show hydroxide that is not there, or hide what is."
)
UNKNOWN_NOTE = gettext_noop(
    "Hydroxide, carbonate and bicarbonate are not worked out, since it is not known whether the "
    "water holds phosphate, silica, sulfite or an amine."
)
RAN_OUT_NOTE = gettext_noop(
    "Hydroxide, carbonate and bicarbonate are not worked out: M is only known to be more than this."
)
TOO_LITTLE_NOTE = gettext_noop(
    "Hydroxide, carbonate and bicarbonate are not worked out: P and M are too close to tell apart, "
    "or M is less than one drop."
)
ACID_NOTE = gettext_noop(
    "The water took no acid at all, so it may be acid itself. Measure its pH now and do what your "
    "plant's procedure says for low pH."
)
P_ZERO_NOTE = gettext_noop("No pink with phenolphthalein: the water is at pH 8.3 or below.")

P_END = EndPoint(
    "p_end",
    gettext_noop("At the P end point (pH 8.3)"),
    gettext_noop("Where the pink of phenolphthalein goes. If it never turned pink: as at start."),
    takes_blank=False,
)
M_END = EndPoint(
    "m_end",
    gettext_noop("At the M end point (pH 4.5), counted from the start"),
    gettext_noop("All the acid since the start, the part for P included."),
)
OTHERS = Field(
    key="others",
    carried="others",
    label=gettext_noop("Does this water hold phosphate, silica, sulfite or an amine?"),
    help=gettext_noop("Treated boiler water nearly always does. They take acid as hydroxide does."),
    choices=(
        ("unknown", gettext_noop("Don't know")),
        ("yes", gettext_noop("Yes")),
        ("no", gettext_noop("No, none of them")),
    ),
    default="unknown",
)

TITRIMETRY = Titrimetry(
    strength=strength_field(gettext_noop("Strength of the acid"), "eq/L", "0.02", 0.001, 2.0),
    mg_per_equivalent=CACO3_MG_PER_EQUIVALENT,
    ends=(P_END, M_END),
    after=(OTHERS,),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(gettext_noop("Fill the bottle to the brim. Test at once: air lowers P.")),
    titrating.MEASURE_SAMPLE,
    titrating.ACID_BURNS,
    titrating.READ_BURETTE,
    Step(
        gettext_noop(
            "Add phenolphthalein. If the sample turns pink, titrate, swirling all the time and "
            "drop by drop as it pales, until the pink is just gone, and read (P). If it stays "
            "clear, P is zero: write the start again."
        )
    ),
    Step(
        gettext_noop(
            "Don't fill up in between. Add the indicator for pH 4.5: methyl orange goes from "
            "yellow to orange, bromcresol green with methyl red from blue-green to gray or pink. "
            "Go on drop by drop to the first change that stays, and read (M)."
        )
    ),
    titrating.RINSE_AFTER,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    seen = titrating.titrate(TITRIMETRY, mode, entry, facts)
    gap = titrating.difference(seen.net["m_end"], seen.net["p_end"])
    if gap < -titrating.BLANK_SLACK_DROPS * seen.given.drop:
        raise EntryError("p_beyond_m", P_BEYOND_M, field="blank")
    why = _why_withheld(seen, gap, entry.choices["others"])
    acid: Notes = ((ACID_NOTE, {}),) if seen.net["m_end"] <= 0.0 and not seen.ran_out else ()
    m_result = seen.plain_result("m_alkalinity", AS_CACO3, "m_end", notes=(*why, *acid))
    if why:
        return _p_result(seen), m_result
    return _p_result(seen), m_result, *_split_results(seen)


def _why_withheld(seen: Titration, gap: float, others: str) -> Notes:
    """Return the note that says why the split is withheld, or none where it stands."""
    if others != "no":
        return ((WITHHELD_NOTE if others == "yes" else UNKNOWN_NOTE, {}),)
    if seen.ran_out:
        return ((RAN_OUT_NOTE, {}),)
    if gap < 0.0 or seen.net["m_end"] <= 0.0:
        return ((TOO_LITTLE_NOTE, {}),)
    return ()


def _p_result(seen: Titration) -> Worked:
    """Return P alkalinity. No pink is a zero, not a small amount: P is zero at pH 8.3 and below
    (IUPAC Gold Book, entry 09038)."""
    p = seen.found({"p_end": 1.0})
    notes: Notes = ((P_ZERO_NOTE, {}),) if p == 0.0 else ()
    return seen.result("p_alkalinity", AS_CACO3, p, {"p_end": 1.0}, notes=notes)


def _split_results(seen: Titration) -> tuple[Worked, ...]:
    p, m = seen.found({"p_end": 1.0}), seen.found({"m_end": 1.0})
    found = split(p, m)
    carbonate = {"p_end": -2.0, "m_end": 2.0} if 2.0 * p > m else {"p_end": 2.0}
    every = (
        ("hydroxide_alkalinity", found.hydroxide, {"p_end": 2.0, "m_end": -1.0}),
        ("carbonate_alkalinity", found.carbonate, carbonate),
        ("bicarbonate_alkalinity", found.bicarbonate, {"p_end": -2.0, "m_end": 1.0}),
    )
    return tuple(
        seen.result(analyte, AS_CACO3, float(value), weights) for analyte, value, weights in every
    )


METHOD = Method(
    key="alkalinity",
    version="1",
    name=gettext_noop("P and M alkalinity by acid"),
    purpose=gettext_noop(
        "Shows how alkaline the water is and of what kind. Too little lets steel corrode; too much "
        "foams, and caustic attacks steel."
    ),
    analytes=(
        "p_alkalinity",
        "m_alkalinity",
        "hydroxide_alkalinity",
        "carbonate_alkalinity",
        "bicarbonate_alkalinity",
    ),
    modes=titrating.titration_modes(TITRIMETRY),
    instruments=titrating.INSTRUMENTS,
    lots=titrating.LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "Standard Methods 2320 B and EPA 310.1 (both from memory); JCGM 100:2008; handling: common "
        "practice, no source"
    ),
    calculate=_calculate,
    mode_question=titrating.MODE_QUESTION,
)
