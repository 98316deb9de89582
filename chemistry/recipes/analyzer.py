"""Online analyzer beside a grab sample, version 1: of conductivity, of pH, of traces.

Both values have an uncertainty: E_n is their difference over both expanded uncertainties together,
and beyond 1 they disagree: ISO/IEC 17043:2010, B.3.1.3, from memory. What is accepted of the
difference, and the handling, are common practice, no source.
"""

from dataclasses import dataclass
from math import hypot

from chemistry.methods.base import Field, Step
from chemistry.recipes import parts
from chemistry.recipes.base import Effect, EffectKind, Figure, Found, Given, Recipe, StandardRole
from chemistry.recipes.tolerance import Tolerance
from chemistry.uncertainty import PRACTICE, Budget, Component, last_digit, rectangular
from chemistry.words import gettext_noop

AGREE = 1.0
"""E_n up to which two values agree, ±: ISO/IEC 17043:2010, B.3.1.3, from memory."""
COVERAGE = 2.0
"""Coverage factor of both expanded uncertainties in E_n: ISO/IEC 17043:2010, from memory."""
ANALYZER_PERCENT = 3.0
"""Limits of error of an analyzer whose maker's figure is not typed, ± percent of reading: common
practice, no source."""
PH_ANALYZER = 0.1
"""The same of a pH analyzer, ± pH: common practice, no source."""
ACCEPTED_PERCENT = 10.0
"""How far an analyzer may lie from a grab sample, ± percent: common practice, no source."""
ACCEPTED_TRACE_PERCENT = 20.0
"""The same of traces, ± percent: common practice, no source."""
ACCEPTED_PH = 0.2
"""The same of pH, ±: common practice, no source."""
MOVING_PERCENT = 2.0
"""Limits of what the water moves by between the two, ± percent: common practice, no source."""
MOVING_PH = 0.05
"""The same of pH, ±: common practice, no source."""

MOVING = gettext_noop(
    "The water was moving while it was compared, so this tells nothing. Wait for a steady hour."
)


@dataclass(frozen=True)
class Kind:
    """One quantity: its unit, its range, the limits of error, what is accepted, and what the water
    may move by: shares in percent, or where `additive` amounts in the unit itself."""

    unit: str
    units: tuple[str, ...]
    high: float
    decimals: int
    limits: float
    accepted: float
    moving: float
    additive: bool = False

    def half_width(self, share: float, value: float) -> float:
        """Return a share as limits in the unit, at a value."""
        return share if self.additive else abs(value) * share / 100.0


CONDUCTIVITY = Kind(
    "uS/cm",
    ("uS/cm", "umho/cm", "mS/cm"),
    200000.0,
    2,
    ANALYZER_PERCENT,
    ACCEPTED_PERCENT,
    MOVING_PERCENT,
)
PH = Kind("pH", ("pH",), 14.0, 2, PH_ANALYZER, ACCEPTED_PH, MOVING_PH, additive=True)
TRACE = Kind(
    "ug/L",
    ("ug/L", "mg/L"),
    1e6,
    1,
    ANALYZER_PERCENT,
    ACCEPTED_TRACE_PERCENT,
    MOVING_PERCENT,
)

STEADY = Field(
    key="steady",
    label=gettext_noop("Was the water steady?"),
    help=gettext_noop("No dosing, no blowdown, no change of load within the last hour."),
    choices=(("yes", gettext_noop("Yes")), ("no", gettext_noop("No"))),
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    Step(
        gettext_noop(
            "The sample line may be hot and under pressure. Draw only behind the cooler, and wear "
            "the eye and hand protection your plant asks for."
        ),
        caution=True,
    ),
    Step(gettext_noop("Choose an hour in which dosing, blowdown and load stand still.")),
    Step(gettext_noop("See that the analyzer has its flow, its temperature and fresh reagents.")),
    Step(
        gettext_noop(
            "Draw the grab sample at the analyzer's own outlet, in the same minute as you read it. "
            "Keep air out where that changes it, as in pure water."
        )
    ),
    Step(
        gettext_noop(
            "Test the grab sample at once, by the bench method, with instruments that are in date; "
            "both values must mean the same: at 25 °C, as the same ion, neutralized or not."
        )
    ),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Never set an analyzer to one grab sample. Repeat first; then calibrate it with its "
            "standards as its maker says, and compare again as left."
        ),
        caution=True,
    ),
)
TROUBLE = (
    Step(gettext_noop("See to flow, temperature and bubbles at the analyzer's cell.")),
    Step(gettext_noop("Rinse its cell with distilled or deionized water, change the filter.")),
    Step(gettext_noop("Draw and test a second grab sample, best by another tester.")),
    Step(
        gettext_noop(
            "Check the bench instrument with its standard, then the analyzer with its own."
        )
    ),
    Step(
        gettext_noop(
            "Tell the control room before you touch it: alarms and dosing may hang on it."
        ),
        caution=True,
    ),
    parts.OUT_OF_SERVICE,
)


def _fields(kind: Kind) -> tuple[Field, ...]:
    return (
        Field(
            key="reading",
            label=gettext_noop("Reading of the analyzer"),
            unit=kind.unit,
            units=kind.units,
            low=0.0,
            high=kind.high,
            help=gettext_noop("In the minute in which the sample was drawn."),
            decimals=kind.decimals,
        ),
        Field(
            key="limits",
            carried="limits",
            label=gettext_noop("Limits of error that its maker states, ±"),
            unit=kind.unit if kind.additive else "percent",
            units=(kind.unit,) if kind.additive else ("percent",),
            low=0.01,
            high=2.0 if kind.additive else 50.0,
            help=gettext_noop(
                "Leave it empty where it is not known; a usual figure is then taken."
            ),
            required=False,
            default=f"{kind.limits:g}",
            decimals=1,
        ),
        STEADY,
    )


def _work(given: Given, kind: Kind) -> Found:
    grab, reading = given.standards["grab"], given["reading"]
    own = rectangular(gettext_noop("analyzer"), kind.half_width(given["limits"], reading))
    difference = Figure(
        key="deviation",
        label=gettext_noop("Analyzer less grab sample"),
        value=reading - grab.value,
        unit=kind.unit,
        budget=_budget(given, kind),
        at=grab.value,
    )
    both = COVERAGE * hypot(own.u, difference.budget.combined)
    score = Figure(
        key="en_score",
        label=gettext_noop("Difference over both uncertainties"),
        value=difference.value / both,
        unit="",
        budget=Budget(()),
        decimals=2,
    )
    moving = given.choice("steady") == "no"
    return parts.concluded(
        (given.judged(difference, grab.value), given.judged(score)),
        _effect(difference, grab.value, kind),
        unsettled=((MOVING, {}),) if moving else (),
        levels=(grab.value,),
        level_unit=kind.unit,
    )


def _budget(given: Given, kind: Kind) -> Budget:
    """The analyzer's own error is what is looked for, and no part of this."""
    grab = given.standards["grab"]
    every = (
        Component(gettext_noop("grab sample"), grab.u, source=gettext_noop("its own budget")),
        last_digit(given.resolution("reading") / 2.0),
        rectangular(
            gettext_noop("the water moving between the two"),
            kind.half_width(kind.moving, grab.value),
            kind="random",
            source=PRACTICE,
        ),
    )
    return parts.budget_of(*every)


def _effect(difference: Figure, grab: float, kind: Kind) -> Effect:
    u = difference.budget.combined
    if kind.additive:
        return Effect(EffectKind.OFFSET, difference.value, kind.unit, u)
    return Effect(EffectKind.FACTOR, 1.0 + difference.value / grab, u=u / grab)


def _recipe(key: str, name: str, kind: Kind) -> Recipe:
    unit = kind.unit if kind.additive else ""
    return Recipe(
        key=key,
        version="1",
        name=name,
        purpose=gettext_noop(
            "Shows whether what the analyzer says all day is what the bench finds in its water."
        ),
        kinds=("online_analyzer",),
        fields=_fields(kind),
        standards=(StandardRole("grab", gettext_noop("Result of the grab sample"), kind.unit, ""),),
        tolerances=(
            Tolerance(
                "deviation",
                "limit" if kind.additive else "percent",
                -kind.accepted,
                kind.accepted,
                unit,
                PRACTICE,
            ),
            Tolerance(
                "en_score",
                "limit",
                -AGREE,
                AGREE,
                "",
                gettext_noop("ISO/IEC 17043:2010, from memory"),
            ),
        ),
        steps=STEPS,
        adjustment=ADJUSTMENT,
        trouble=TROUBLE,
        source="ISO/IEC 17043:2010, from memory; JCGM 100:2008; acceptance: common practice",
        work_given=lambda given: _work(given, kind),
        interval_days=7.0,
    )


RECIPES = (
    _recipe(
        "analyzer_conductivity",
        gettext_noop("Conductivity analyzer beside a grab sample"),
        CONDUCTIVITY,
    ),
    _recipe("analyzer_ph", gettext_noop("pH analyzer beside a grab sample"), PH),
    _recipe("analyzer_trace", gettext_noop("Trace analyzer beside a grab sample"), TRACE),
)
