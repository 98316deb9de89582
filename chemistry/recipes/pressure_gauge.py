"""Pressure gauge beside a reference gauge, version 1.

What is accepted is a share of the gauge's scale: ASME B40.100 (2013), grade 1A, from memory.
"""

from dataclasses import replace

from chemistry.methods.base import Field, Step
from chemistry.plant_budget import GAUGE_PERCENT_OF_SCALE
from chemistry.recipes import comparing, parts
from chemistry.recipes.base import Found, Given, Recipe, StandardRole
from chemistry.recipes.tolerance import Tolerance
from chemistry.words import gettext_noop

GAUGE_UNITS = ("psig", "barg", "kPag")
LINE_PERCENT = 0.1
"""What two gauges on one line may differ by though both are right, ± percent of the pressure:
common practice, no source."""

READING = Field(
    key="reading",
    label=gettext_noop("Reading of the gauge"),
    unit="kPag",
    units=GAUGE_UNITS,
    low=0.0,
    high=25000.0,
    help=gettext_noop("After a light tap, with the pressure rising slowly."),
    decimals=0,
)
REFERENCE = replace(
    READING,
    key="reference",
    label=gettext_noop("Reading of the reference gauge"),
    help=gettext_noop("As it shows; its correction is added here."),
)
FULL_SCALE = replace(
    READING,
    key="full_scale",
    carried="full_scale",
    label=gettext_noop("Top of the gauge's scale"),
    low=10.0,
    help=gettext_noop("The highest figure on its dial: what is accepted is a share of that."),
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    Step(
        gettext_noop(
            "A gauge on a boiler is under steam: take it off, or open a test connection, only as "
            "your plant's procedure says, isolated and drained. Never close off the only gauge of "
            "a boiler that is under pressure."
        ),
        caution=True,
    ),
    Step(gettext_noop("Put both gauges on one test pump, upright, at one height, bled of air.")),
    Step(gettext_noop("Raise the pressure slowly to the point, tap both lightly, and read both.")),
    Step(gettext_noop("Take points near the low end, at what it is used for, and near the top.")),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Only who may repair gauges moves a pointer or a link. Then check again as left, at "
            "all points."
        )
    ),
)
TROUBLE = (
    Step(gettext_noop("Bleed the line; see that siphon and valve are not plugged, and repeat.")),
    Step(gettext_noop("Tap it: a pointer that jumps has a worn movement.")),
    Step(gettext_noop("See that the pointer goes back to its rest at no pressure.")),
    parts.OUT_OF_SERVICE,
)

COMPARED = comparing.Compared(
    unit="kPag",
    difference_unit="kPag",
    place_half_width=lambda truth: abs(truth) * LINE_PERCENT / 100.0,
    true_zero=True,
    nominal=lambda given, _: given["full_scale"],
)


def _work(given: Given) -> Found:
    return comparing.compare(given, COMPARED)


RECIPE = Recipe(
    key="pressure_gauge",
    version="1",
    name=gettext_noop("Pressure gauge beside a reference"),
    purpose=gettext_noop("Shows whether the gauge that the boiler is run by tells the truth."),
    kinds=("pressure_gauge",),
    fields=(FULL_SCALE, *comparing.fields(READING, REFERENCE)),
    standards=(
        StandardRole(
            "reference",
            gettext_noop("Reference gauge: the correction of its certificate"),
            "kPag",
            "pressure_gauge",
            correction=True,
        ),
    ),
    tolerances=(
        Tolerance(
            "deviation",
            "percent",
            -GAUGE_PERCENT_OF_SCALE,
            GAUGE_PERCENT_OF_SCALE,
            source=gettext_noop("ASME B40.100 (2013), grade 1A, from memory: percent of its scale"),
        ),
    ),
    steps=STEPS,
    adjustment=ADJUSTMENT,
    trouble=TROUBLE,
    source="ASME B40.100 (2013), from memory; JCGM 100:2008; handling: common practice",
    work_given=_work,
    interval_days=365.0,
)
