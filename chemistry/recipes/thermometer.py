"""Thermometer beside a reference thermometer, or in melting ice, version 1.

Melting ice of clean water stands at 0.00 °C: ASTM E563 (from memory). What is accepted and the
handling are common practice, no source.
"""

from dataclasses import replace

from chemistry.conductivity_budget import THERMOMETER_HALF_WIDTH_C
from chemistry.errors import EntryError
from chemistry.methods.base import MISSING, Field, Step
from chemistry.methods.parts import TEMPERATURE_UNITS
from chemistry.recipes import comparing, parts
from chemistry.recipes.base import Found, Given, Recipe, StandardRole
from chemistry.recipes.tolerance import Tolerance
from chemistry.standards import Standard
from chemistry.uncertainty import PRACTICE
from chemistry.words import gettext_noop

TOLERANCE_K = THERMOMETER_HALF_WIDTH_C
"""What the bench tests take a thermometer to be right within, ± K: common practice, no source."""
ICE_C = 0.0
"""Melting ice: ASTM E563, edition not recalled, from memory."""
ICE_U_K = 0.02
"""Standard uncertainty of a bath of ice and distilled water on the bench, K: common practice, no
source."""
BATH_HALF_WIDTH_K = 0.05
"""What two thermometers in one stirred beaker may differ by, ± K: common practice, no source."""

AGAINST = Field(
    key="against",
    carried="against",
    label=gettext_noop("Held against"),
    help=gettext_noop("Ice tells one point only, but needs no second thermometer."),
    choices=(
        ("reference", gettext_noop("A reference thermometer")),
        ("ice", gettext_noop("Melting ice")),
    ),
    default="reference",
)
READING = Field(
    key="reading",
    label=gettext_noop("Reading of the thermometer"),
    unit="degC",
    units=TEMPERATURE_UNITS,
    low=-20.0,
    high=250.0,
    help=gettext_noop("Once it is steady, at the same moment as the reference."),
    decimals=1,
)
REFERENCE = replace(
    READING,
    key="reference",
    label=gettext_noop("Reading of the reference thermometer"),
    help=gettext_noop("As it shows; its correction is added here. Leave it empty with ice."),
    required=False,
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    Step(
        gettext_noop(
            "Hot water scalds: compare at bench temperatures in a beaker, and warmer than 60 °C "
            "(140 °F) only in a bath made for it."
        ),
        caution=True,
    ),
    Step(gettext_noop("Hang both thermometers in one stirred beaker, tips side by side.")),
    Step(
        gettext_noop(
            "For the ice point, fill a wide flask with crushed ice of clean water, pack it with "
            "distilled water until no air is left between, and drain what gathers below."
        )
    ),
    Step(gettext_noop("Wait until neither moves for a minute, then read both within seconds.")),
    Step(
        gettext_noop("Take a second point near the other end of what it is used for, if you can.")
    ),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Set a thermometer that has an adjustment, and check it again as left. One that has "
            "none carries its correction on a tag, or is replaced."
        )
    ),
)
TROUBLE = (
    Step(
        gettext_noop("Stir, shade it from draft and lamp, and dip it as deep as it is marked for.")
    ),
    Step(gettext_noop("Look for a broken thread of liquid; join it by cooling, never by flame.")),
    Step(gettext_noop("Take a fresh battery, see to plug and cable, and repeat.")),
    Step(gettext_noop("Repeat against another reference, or in ice.")),
    Step(
        gettext_noop(
            "Mercury from a broken thermometer is poison: let nobody walk in it, air the room, and "
            "follow your plant's procedure."
        ),
        caution=True,
    ),
    parts.OUT_OF_SERVICE,
)


def _work(given: Given) -> Found:
    if given.choice("against") == "ice":
        return comparing.compare(_in_ice(given), COMPARED)
    if "reference" not in given:
        raise EntryError("missing", MISSING, field="reference")
    if "reference" not in given.standards:
        raise EntryError("standard_needed", REFERENCE_NEEDED, field="reference")
    return comparing.compare(given, COMPARED)


REFERENCE_NEEDED = gettext_noop("Say which reference thermometer this was held against.")
ONE_ICE = gettext_noop("Ice is one point: leave the further readings empty.")


def _in_ice(given: Given) -> Given:
    """Return the same check with the ice's own temperature as the reference's reading."""
    for key in ("reference", "reading_2", "reference_2", "reading_3", "reference_3"):
        if key in given:
            raise EntryError("one_ice", ONE_ICE, field=key)
    seen = replace(given.entry.readings["reading"], field="reference", value=ICE_C, resolution=0.0)
    readings = given.entry.readings | {"reference": seen}
    ice = Standard(0.0, "K", ICE_U_K, steady=True)
    return replace(
        given, entry=replace(given.entry, readings=readings), standards={"reference": ice}
    )


COMPARED = comparing.Compared(
    unit="degC",
    difference_unit="K",
    place_half_width=lambda _: BATH_HALF_WIDTH_K,
    true_zero=False,
    nominal=lambda _, truth: truth,
)

RECIPE = Recipe(
    key="thermometer",
    version="1",
    name=gettext_noop("Thermometer beside a reference"),
    purpose=gettext_noop(
        "Every conductivity and pH leans on a thermometer: half a degree is one percent."
    ),
    kinds=("thermometer",),
    fields=(AGAINST, *comparing.fields(READING, REFERENCE)),
    standards=(
        StandardRole(
            "reference",
            gettext_noop("Reference thermometer: the correction of its certificate"),
            "K",
            "thermometer",
            required=False,
            correction=True,
        ),
    ),
    tolerances=(Tolerance("deviation", "limit", -TOLERANCE_K, TOLERANCE_K, "K", PRACTICE),),
    steps=STEPS,
    adjustment=ADJUSTMENT,
    trouble=TROUBLE,
    source="Ice point: ASTM E563, from memory; JCGM 100:2008; handling: common practice",
    work_given=_work,
    interval_days=365.0,
)
