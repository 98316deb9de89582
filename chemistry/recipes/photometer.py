"""Photometer with a blank and check standards, version 1: of concentration, and of absorbance.

The blank tells an offset, the standards a factor. Acceptance and handling: common practice, no
source.
"""

from dataclasses import dataclass, replace

from chemistry.errors import EntryError
from chemistry.methods.base import MISSING, Field, Step
from chemistry.photometry_budget import REPEATABILITY_PERCENT
from chemistry.recipes import parts
from chemistry.recipes.base import (
    NO_PLAIN_EFFECT,
    EffectKind,
    Figure,
    Found,
    Given,
    Recipe,
    StandardRole,
)
from chemistry.recipes.tolerance import Acceptance, Tolerance
from chemistry.uncertainty import PRACTICE, Budget, Component, last_digit
from chemistry.words import gettext_noop

STANDARD_PERCENT = 10.0
"""What a check standard may be found off by, ± percent: common practice, no source."""
FILTER_PERCENT = 2.0
"""What a glass filter may be found off by, ± percent: common practice, no source."""
BLANK_MG_L = 0.05
"""What a blank may show, ± mg/L: common practice, no source."""
BLANK_ABSORBANCE = 0.01
"""What a blank may show, ±: common practice, no source."""
FILTER_REPEATABILITY_PERCENT = 0.3
"""Standard uncertainty of one reading of a glass filter, percent: common practice, no source."""

NO_STANDARD = gettext_noop("Say which standard this was read in.")
NOT_READ = gettext_noop("A standard is named but nothing was read in it. Read it, or take it away.")


@dataclass(frozen=True)
class Scale:
    """What a photometer shows: the unit, what its blank may show, and how readings repeat."""

    unit: str
    units: tuple[str, ...]
    high: float
    decimals: int
    blank: float
    percent: float
    repeatability_percent: float


CONCENTRATION = Scale(
    "mg/L", ("mg/L", "ug/L"), 1000.0, 2, BLANK_MG_L, STANDARD_PERCENT, REPEATABILITY_PERCENT
)
ABSORBANCE = Scale(
    "absorbance",
    ("absorbance",),
    3.0,
    3,
    BLANK_ABSORBANCE,
    FILTER_PERCENT,
    FILTER_REPEATABILITY_PERCENT,
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    parts.NEVER_BACK,
    Step(
        gettext_noop(
            "Some reagents and standards are poison or acid. Wear goggles and gloves, and keep the "
            "waste as your plant asks."
        ),
        caution=True,
    ),
    Step(gettext_noop("Let the lamp warm up as long as its maker says.")),
    Step(
        gettext_noop(
            "Wipe the cell with a soft tissue, free of scratches and bubbles, and set it in the "
            "same way round each time."
        )
    ),
    Step(gettext_noop("Zero with the blank, then read the blank once more as a sample.")),
    Step(
        gettext_noop(
            "Read a standard in the lower part of the range that is used, then one in the upper "
            "part."
        )
    ),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Set the photometer's user calibration with fresh standards, as its maker says, and "
            "check again as left. Most faults are in cells and reagents: replace those first."
        )
    ),
)
TROUBLE = (
    Step(gettext_noop("Wash the cell, rinse with distilled water, and look at it against light.")),
    Step(gettext_noop("Tap bubbles off the wall, wait, and read again.")),
    Step(gettext_noop("Make a new blank with fresh reagent; zero and repeat.")),
    parts.FRESH_STANDARD,
    Step(gettext_noop("Change lamp or battery, clean the window with a dry swab only.")),
    parts.OUT_OF_SERVICE,
)


def _fields(scale: Scale) -> tuple[Field, ...]:
    def shown(key: str, label: str, text: str, required: bool) -> Field:
        return Field(
            key=key,
            label=label,
            unit=scale.unit,
            units=scale.units,
            low=-scale.high / 10.0,  # a blank may read below zero: rule of our own
            high=scale.high,
            help=text,
            required=required,
            decimals=scale.decimals,
        )

    steady = gettext_noop("Once it is steady, undiluted.")
    empty = gettext_noop("May stay empty: another strength tells an offset from a factor.")
    return (
        shown(
            "blank",
            gettext_noop("Reading of the blank"),
            gettext_noop("Read as a sample after zeroing."),
            True,
        ),
        shown("reading", gettext_noop("Reading of the first standard"), steady, True),
        shown("reading_2", gettext_noop("Reading of the second standard"), empty, False),
        shown("reading_3", gettext_noop("Reading of the third standard"), empty, False),
    )


def _work(given: Given, scale: Scale) -> Found:
    points = _points(given)
    truths = [given.standards[f"standard{point}"].value for point in points]
    blank = given.judged(_blank(given, scale))
    figures = tuple(
        _deviation(given, point, truth, scale) for point, truth in zip(points, truths, strict=True)
    )
    judged = tuple(
        given.judged(figure, truth) for figure, truth in zip(figures, truths, strict=True)
    )
    clean = blank.acceptance is not Acceptance.NOT_ACCEPTED
    effect = parts.agreeing(parts.factors(figures, truths), EffectKind.FACTOR)
    return parts.concluded(
        (*judged, blank),
        effect if clean else NO_PLAIN_EFFECT,
        levels=tuple(sorted(truths)),
        level_unit=scale.unit,
    )


def _points(given: Given) -> list[str]:
    """Return the points read; reading and standard come together. Errors: EntryError beside what is
    missing."""
    found = []
    for point in parts.POINTS:
        reading, role = f"reading{point}", f"standard{point}"
        if reading in given and role not in given.standards:
            raise EntryError("standard_needed", NO_STANDARD, field=role)
        if role in given.standards and reading not in given:
            raise EntryError("missing", NOT_READ if point else MISSING, field=reading)
        if reading in given:
            found.append(point)
    return found


def _blank(given: Given, scale: Scale) -> Figure:
    return Figure(
        key="blank",
        label=gettext_noop("Blank"),
        value=given["blank"],
        unit=scale.unit,
        budget=Budget((last_digit(given.resolution("blank") / 2.0),)),
    )


def _deviation(given: Given, point: str, truth: float, scale: Scale) -> Figure:
    reading = given[f"reading{point}"]
    every = (
        Component(
            gettext_noop("standard"),
            given.standards[f"standard{point}"].u,
            source=parts.CERTIFICATE,
        ),
        last_digit(given.resolution(f"reading{point}") / 2.0),
        Component(
            gettext_noop("repeatability"),
            truth * scale.repeatability_percent / 100.0,
            kind="random",
            source=PRACTICE,
        ),
    )
    return Figure(
        key=f"deviation{point}",
        label=parts.DEVIATION[point],
        value=reading - truth,
        unit=scale.unit,
        budget=parts.budget_of(*every),
        at=truth,
    )


def _recipe(key: str, name: str, purpose: str, scale: Scale) -> Recipe:
    first = StandardRole("standard", gettext_noop("First standard"), scale.unit)
    again = (
        replace(first, key="standard_2", label=gettext_noop("Second standard"), required=False),
        replace(first, key="standard_3", label=gettext_noop("Third standard"), required=False),
    )
    return Recipe(
        key=key,
        version="1",
        name=name,
        purpose=purpose,
        kinds=("photometer",),
        fields=_fields(scale),
        standards=(first, *again),
        tolerances=(
            Tolerance("deviation", "percent", -scale.percent, scale.percent, source=PRACTICE),
            Tolerance("blank", "limit", -scale.blank, scale.blank, scale.unit, PRACTICE),
        ),
        steps=STEPS,
        adjustment=ADJUSTMENT,
        trouble=TROUBLE,
        source="JCGM 100:2008; acceptance and handling: common practice, no source",
        work_given=lambda given: _work(given, scale),
        interval_days=30.0,
    )


RECIPES = (
    _recipe(
        "photometer",
        gettext_noop("Photometer with check standards"),
        gettext_noop("Shows whether photometer, reagent and tester together find what is there."),
        CONCENTRATION,
    ),
    _recipe(
        "photometer_filters",
        gettext_noop("Photometer with glass filters"),
        gettext_noop("Shows whether the photometer itself, without reagents, tells the truth."),
        ABSORBANCE,
    ),
)
