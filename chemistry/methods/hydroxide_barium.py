"""Hydroxide alkalinity by acid after barium chloride, version 1.

Barium takes carbonate, sulfite and phosphate out of the titration, so hydroxide is met directly.
Its own limits enter the result: hydrogen phosphate gives up its acid as it falls out, so the result
is the hydroxide beyond trisodium phosphate; silica falls out only in part and may add to it; an
amine adds to it by an unknown amount, and the result is then shown as "less than".
"""

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT, PHOSPHATE_AS_CACO3, SILICA_AS_CACO3
from chemistry.analytes import Basis
from chemistry.errors import EntryError
from chemistry.methods import parts, titrating
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Step, Worked
from chemistry.methods.titrating import EndPoint, Notes, Titrimetry
from chemistry.methods.titrating_fields import strength_field
from chemistry.uncertainty import Component, rectangular
from chemistry.words import gettext_noop

UNKNOWN_PHOSPHATE = 60.0
"""mg/L PO4 allowed for where it is not known: rule of our own."""
UNKNOWN_SILICA = 50.0
"""mg/L SiO2 allowed for where it is not known: rule of our own."""

PHOSPHATE_NOTE = gettext_noop(
    "With phosphate in the water this is the hydroxide beyond trisodium phosphate: barium "
    "phosphate falls out and takes up to %(most)s mg/L of hydroxide with it."
)
SILICA_NOTE = gettext_noop("Silica may add up to %(most)s mg/L to this.")
UNKNOWN_NOTE = gettext_noop(
    "Silica or phosphate is not known: up to 50 mg/L of silica and 60 mg/L of phosphate were "
    "allowed for. Enter what the last tests found, and this becomes surer."
)
AMINE_NOTE = gettext_noop("An amine takes acid too: hydroxide is less than this.")
AMINE_UNKNOWN_NOTE = gettext_noop("If an amine is fed, hydroxide is less than this.")
NOTHING_CAN_BE_SAID = gettext_noop(
    "The titrant ran out, and an amine takes part of it: nothing can be said of hydroxide. Take a "
    "smaller sample and titrate again."
)

END = EndPoint(
    "end",
    gettext_noop("At the end point (pH 8.3)"),
    gettext_noop("Where the pink of phenolphthalein first goes. Don't wait for it to come back."),
)


def _known(key: str, label: str, text: str, high: float) -> Field:
    return Field(
        key=key,
        label=label,
        unit="mg/L",
        units=("mg/L",),
        low=0.0,
        high=high,
        help=text,
        required=False,
    )


PHOSPHATE = _known(
    "phosphate",
    gettext_noop("Phosphate in this water, as PO4"),
    gettext_noop("From the same sample if you can. 0 when none is fed; empty when not known."),
    1000.0,
)
SILICA = _known(
    "silica",
    gettext_noop("Silica in this water, as SiO2"),
    gettext_noop("From the last test. Empty when not known."),
    1000.0,
)
AMINE = Field(
    key="amine",
    carried="amine",
    label=gettext_noop("Is an amine or ammonia fed?"),
    help=gettext_noop("Neutralizing amines and ammonia take acid at this end point too."),
    choices=(
        ("unknown", gettext_noop("Don't know")),
        ("yes", gettext_noop("Yes")),
        ("no", gettext_noop("No")),
    ),
    default="unknown",
)

TITRIMETRY = Titrimetry(
    strength=strength_field(gettext_noop("Strength of the acid"), "eq/L", "0.02", 0.001, 2.0),
    mg_per_equivalent=CACO3_MG_PER_EQUIVALENT,
    ends=(END,),
    after=(PHOSPHATE, SILICA, AMINE),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(
        gettext_noop(
            "Fill the bottle to the brim. Test at once: air takes hydroxide away. Dilute only with "
            "distilled water that was freshly boiled and cooled."
        )
    ),
    titrating.MEASURE_SAMPLE,
    Step(
        gettext_noop(
            "Barium chloride is poisonous. Wear gloves, never pipet it by mouth, and put the waste "
            "where your plant collects barium."
        ),
        caution=True,
    ),
    titrating.ACID_BURNS,
    Step(
        gettext_noop(
            "Add barium chloride solution that is itself neutral to phenolphthalein, more than "
            "enough for all carbonate and phosphate. Stir, and let it stand a minute or two: the "
            "sample turns milky. Don't filter it."
        )
    ),
    titrating.READ_BURETTE,
    Step(
        gettext_noop(
            "Add phenolphthalein. No pink means no hydroxide: write the start again. Else titrate "
            "without delay, swirling, drop by drop as it pales, until the pink first goes, and "
            "read. It comes back as the white matter dissolves: the first disappearance counts."
        )
    ),
    titrating.RINSE_AFTER,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    seen = titrating.titrate(TITRIMETRY, mode, entry, facts)
    amine = entry.choices["amine"]
    if seen.ran_out and amine == "yes":
        raise EntryError("nothing_known", NOTHING_CAN_BE_SAID, field="end_point")
    found = seen.plain_result(
        "hydroxide_alkalinity",
        Basis("", "", "CaCO3"),
        "end",
        notes=(*_other_notes(entry), *_AMINE_NOTES[amine]),
        more=_other_parts(entry),
        other_qualifier="<" if amine == "yes" else "",
    )
    return (found,)


_AMINE_NOTES: dict[str, Notes] = {
    "no": (),
    "yes": ((AMINE_NOTE, {}),),
    "unknown": ((AMINE_UNKNOWN_NOTE, {}),),
}


def _most(entry: Entry) -> dict[str, float]:
    """Return the most hydroxide that phosphate and silica can take or add, mg/L as CaCO3."""
    return {
        key: (entry.readings[key].value if key in entry.readings else unknown) * factor
        for key, factor, unknown in (
            ("phosphate", PHOSPHATE_AS_CACO3, UNKNOWN_PHOSPHATE),
            ("silica", SILICA_AS_CACO3, UNKNOWN_SILICA),
        )
    }


def _other_notes(entry: Entry) -> Notes:
    templates = {"phosphate": PHOSPHATE_NOTE, "silica": SILICA_NOTE}
    notes = tuple(
        (templates[key], {"most": f"{most:.2g}"}) for key, most in _most(entry).items() if most
    )
    known = all(key in entry.readings for key in templates)
    return notes if known else (*notes, (UNKNOWN_NOTE, {}))


def _other_parts(entry: Entry) -> tuple[Component, ...]:
    """Return what phosphate and silica do to the result, each anywhere from nothing to its most."""
    names = {"phosphate": gettext_noop("phosphate"), "silica": gettext_noop("silica")}
    source = gettext_noop("stoichiometry, at the most")
    return tuple(rectangular(names[key], most, source=source) for key, most in _most(entry).items())


METHOD = Method(
    key="hydroxide_barium",
    version="1",
    name=gettext_noop("Hydroxide alkalinity with barium chloride"),
    purpose=gettext_noop(
        "Shows the caustic in treated boiler water, where P and M alone can't. Too much attacks "
        "steel under deposits and at leaking seams."
    ),
    analytes=("hydroxide_alkalinity",),
    modes=titrating.titration_modes(TITRIMETRY),
    instruments=titrating.INSTRUMENTS,
    lots=titrating.LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "Titration to phenolphthalein after barium chloride: common practice, no source; equation "
        "as in EPA 310.1 (from memory); JCGM 100:2008"
    ),
    calculate=_calculate,
    mode_question=titrating.MODE_QUESTION,
)
