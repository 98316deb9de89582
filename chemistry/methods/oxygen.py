"""Dissolved oxygen by color, version 1: photometer or comparator, in µg/L.

The sample never touches air and is never diluted. Handling: common practice, no source.
"""

from dataclasses import replace

from chemistry.errors import EntryError
from chemistry.methods import coloring_words as words
from chemistry.methods import parts
from chemistry.methods.base import Entry, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.coloring import Notes, color_result
from chemistry.methods.coloring_fields import INSTRUMENTS, LOTS, Coloring, color_modes
from chemistry.oxygen import SATURATION_RANGE_C, saturation_mg_l
from chemistry.words import gettext_noop

ASKED = Coloring(
    analyte="oxygen",
    unit="ug/L",
    as_what="O2",
    highest=20000.0,  # ice-cold water beside air holds 14.6 mg/L: Benson and Krause (1984)
    floor=1.0,  # limits of error near zero, µg/L: common practice, no source
    dilutable=False,
)
MORE_THAN_AIR_GIVES = gettext_noop(
    "Water at %(temperature)s °C takes up at most %(most)s µg/L from air, but this comes to "
    "%(value)s µg/L. Look at the unit (mg/L or µg/L) and read again."
)
HOT_NOTE = gettext_noop(
    "Above %(high)s °C it was not checked whether water can hold that much oxygen."
)
TEMPERATURE = replace(
    parts.SAMPLE_TEMPERATURE,
    help=gettext_noop("Of the water as it runs through the sampler, after the cooler."),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(gettext_noop("This is the first test after drawing. Nothing else waits before it.")),
    Step(
        gettext_noop(
            "The water must never touch air: no drop through air, no bubble in the hose, no "
            "pouring over. Tighten the fittings: a leak draws air in even where water drips out."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Lead the hose to the bottom of the sampler and let the water run over for several "
            "fillings. Read the thermometer in the running water; break the ampoule's tip, or add "
            "the reagent, under it."
        )
    ),
    Step(
        gettext_noop(
            "Broken tips of ampoules cut, and what they hold is poison. Wear gloves and goggles "
            "and put the glass where your plant collects it."
        ),
        caution=True,
    ),
    words.WAIT,
    Step(gettext_noop("Read at the time the card gives, at once: air turns the color further.")),
    words.READ,
    words.BY_EYE,
)


def _modes() -> tuple[Mode, ...]:
    every = color_modes(ASKED)
    return tuple(replace(mode, fields=(TEMPERATURE, *mode.fields)) for mode in every)


_READ_IN = {
    "photometer": "reading",
    "absorbance": "absorbance",
    "comparator": "standard",
    "comparator_between": "upper",
}


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    temp_c = entry.readings["temperature"].value
    found = color_result(mode, entry, facts, ASKED, _hot_notes(temp_c))
    if temp_c <= SATURATION_RANGE_C[1]:
        most = 1000.0 * float(saturation_mg_l(temp_c))
        # what its uncertainty still allows is not refused
        if found.qualifier != "<" and found.value - found.budget.expanded > most:
            params = {
                "temperature": f"{temp_c:.1f}",
                "most": f"{most:.0f}",
                "value": f"{found.value:.0f}",
            }
            at_end = mode == "photometer" and found.qualifier
            where = "range_high" if at_end else _READ_IN[mode]
            raise EntryError("more_than_air_gives", MORE_THAN_AIR_GIVES, params, field=where)
    return (found,)


def _hot_notes(temp_c: float) -> Notes:
    high = SATURATION_RANGE_C[1]
    checked: Notes = () if temp_c <= high else ((HOT_NOTE, {"high": f"{high:g}"}),)
    return (*checked, *parts.warm_notes(temp_c))


METHOD = Method(
    key="oxygen",
    version="1",
    name=gettext_noop("Dissolved oxygen by color"),
    purpose=gettext_noop(
        "Oxygen left in the feedwater pits the boiler and its pipes. Shows whether the deaerator "
        "does its work."
    ),
    analytes=("oxygen",),
    modes=_modes(),
    instruments=(*INSTRUMENTS, parts.THERMOMETER),
    lots=LOTS,
    steps=STEPS,
    sample_ml=500.0,
    source="Benson and Krause, Limnol. Oceanogr. 29:620 (1984); JCGM 100:2008; handling: common "
    "practice, no source",
    calculate=_calculate,
)
