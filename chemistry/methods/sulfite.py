"""Sulfite by titration with iodide-iodate, version 1. Result in mg/L as SO3.

The sample must be below 50 °C (EPA 377.1), cooled out of contact with air, and tested first after
drawing: air uses sulfite up.
"""

from dataclasses import replace

from chemistry.analytes import Basis
from chemistry.errors import EntryError
from chemistry.methods import parts, titrating
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.titrating import EndPoint, Titration, Titrimetry
from chemistry.methods.titrating_fields import strength_field
from chemistry.sulfite import (
    DETECTION_MG_PER_LITER,
    SO3_MG_PER_EQUIVALENT,
    TOO_WARM_C,
    as_so3,
)
from chemistry.words import gettext_noop

TOO_WARM = gettext_noop(
    "At %(temperature)s °C sulfite is lost before you can titrate it. Cool the sample below 50 °C "
    "(122 °F) through the cooler, out of contact with air, and draw again."
)
STATED_AS = Field(
    key="stated_as",
    carried="stated_as",
    label=gettext_noop("What the label or card is made for"),
    help=gettext_noop("The result is as SO3. Some labels count sodium sulfite (Na2SO3) instead."),
    choices=(
        ("SO3", gettext_noop("Sulfite as SO3")),
        ("Na2SO3", gettext_noop("Sodium sulfite, as Na2SO3")),
    ),
    default="SO3",
)
END = EndPoint(
    "end",
    gettext_noop("At the end point"),
    gettext_noop("Where the first faint blue stays. Blue at the first drop means zero."),
)
TITRIMETRY = Titrimetry(
    strength=strength_field(
        gettext_noop("Strength of the iodide-iodate"), "eq/L", "0.0125", 0.001, 0.5
    ),
    mg_per_equivalent=SO3_MG_PER_EQUIVALENT,
    result_units=("mg/L",),
    ends=(END,),
    before=(parts.SAMPLE_TEMPERATURE,),
)
STATED_MODES = ("drops", "factor")
"""The ways in which a label or card may state a result, and so may mean Na2SO3."""

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    Step(
        gettext_noop(
            "Flush the sample line, then cool the sample in the cooler, out of contact with air: "
            "to 38 °C (100 °F) or less, never as warm as 50 °C."
        )
    ),
    Step(
        gettext_noop(
            "Fill the bottle from the bottom until it overflows, and close it. Test sulfite first "
            "of all, at once: every minute in air lowers it."
        )
    ),
    Step(gettext_noop("Acid burns. Keep your eyes covered."), caution=True),
    titrating.READ_BURETTE,
    # Nitrite, copper: EPA 377.1 (1974, rev. 1978), 3.4 and 3.5.
    Step(
        gettext_noop(
            "Put acid and indicator into the flask first, with sulfamic acid where the water may "
            "hold nitrite and EDTA where it may hold copper: both use sulfite up."
        )
    ),
    # Not filtered, little air, tip below the surface: EPA 377.1 (1974, rev. 1978), 3.2.
    Step(
        gettext_noop(
            "Measure the sample in a cylinder rinsed with it, and pour it in gently along the "
            "wall. Don't filter it, don't shake it. Read the thermometer in what is left in the "
            "bottle."
        )
    ),
    Step(
        gettext_noop(
            "Titrate at once, swirling gently, with the tip under the surface, until the first "
            "faint blue that stays, and read again."
        )
    ),
    # Ferrous iron, sulfide, organics, and the blank: EPA 377.1 (1974, rev. 1978), 3.3 and 3.6.
    Step(
        gettext_noop(
            "Titrate a blank of distilled water in the same way. Dissolved iron, sulfide and "
            "organic matter take titrant too and read as sulfite."
        )
    ),
    titrating.RINSE_AFTER,
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    temperature = entry.readings["temperature"].value
    if temperature >= TOO_WARM_C:
        params = {"temperature": f"{temperature:.1f}"}
        raise EntryError("too_warm", TOO_WARM, params, field="temperature")
    seen = _stated_as_so3(mode, entry, titrating.titrate(TITRIMETRY, mode, entry, facts))
    found = seen.plain_result(
        "sulfite",
        Basis("", "", "SO3"),
        "end",
        least=DETECTION_MG_PER_LITER,
        notes=parts.warm_notes(temperature),
    )
    return (found,)


def _stated_as_so3(mode: str, entry: Entry, seen: Titration) -> Titration:
    """Return the titration with what a label says of Na2SO3 turned into SO3."""
    stated = mode == "factor" or entry.choices.get("drop_means") == "result"
    if stated and entry.choices["stated_as"] == "Na2SO3":
        return replace(seen, per_unit=float(as_so3(seen.per_unit)))
    return seen


def _with_stated_as() -> tuple[Mode, ...]:
    return tuple(
        replace(mode, fields=(*mode.fields, STATED_AS)) if mode.key in STATED_MODES else mode
        for mode in titrating.titration_modes(TITRIMETRY)
    )


METHOD = Method(
    key="sulfite",
    version="1",
    name=gettext_noop("Sulfite by iodide-iodate"),
    purpose=gettext_noop(
        "Shows how much sulfite is left to take up oxygen. Without it, oxygen pits the boiler."
    ),
    analytes=("sulfite",),
    modes=_with_stated_as(),
    instruments=(*titrating.INSTRUMENTS, parts.THERMOMETER),
    lots=titrating.LOTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "EPA 377.1 (1974, rev. 1978): temperature, interferences and detection limit read, "
        "equation from memory; JCGM 100:2008; other handling: common practice, no source"
    ),
    calculate=_calculate,
    mode_question=titrating.MODE_QUESTION,
)
