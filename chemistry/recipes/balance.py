"""Balance with a check weight, version 1.

The conventional mass of a weight is what a good balance shows for it in air of 1.2 kg/m³: OIML D 28
(2004), from memory; so no buoyancy is worked. Acceptance and handling: common practice, no source.
"""

from math import sqrt

from chemistry.methods.base import Field, Step
from chemistry.recipes import parts
from chemistry.recipes.base import Effect, EffectKind, Figure, Found, Given, Recipe, StandardRole
from chemistry.recipes.tolerance import Tolerance
from chemistry.uncertainty import PRACTICE, Component, last_digit
from chemistry.words import gettext_noop

TOLERANCE_PERCENT = 0.1
"""What a balance for titrants and standards may be off by, ± percent: common practice, no
source."""
REPEATABILITY_DIGITS = 0.6
"""Standard uncertainty of one weighing, in units of the last digit shown: common practice, no
source."""

MASS_UNITS = ("g", "mg", "kg")
ZERO_FAR = gettext_noop(
    "Empty, the balance shows %(zero)s g. It was taken off here, but set it to zero before you "
    "weigh."
)


def _shown(key: str, label: str, text: str, low: float) -> Field:
    return Field(
        key=key,
        label=label,
        unit="g",
        units=MASS_UNITS,
        low=low,
        high=50000.0,
        help=text,
        decimals=4,
    )


ZERO = _shown(
    "zero", gettext_noop("Reading with nothing on it"), gettext_noop("Before the weight."), -1000.0
)
READINGS = parts.further(
    _shown(
        "reading",
        gettext_noop("Reading with the check weight"),
        gettext_noop("With the weight in the middle of the pan, once it is steady."),
        0.0001,
    ),
    3,
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    Step(
        gettext_noop("Never touch a check weight with bare fingers: take forceps or clean gloves."),
        caution=True,
    ),
    Step(gettext_noop("Level the balance, close its door, keep draft and shaking away.")),
    Step(gettext_noop("Let balance and weight stand in the same room for an hour, switched on.")),
    Step(gettext_noop("Press the pan lightly once, then read it empty.")),
    Step(gettext_noop("Set the weight in the middle of the pan, read, take it off. Repeat twice.")),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Run the balance's own calibration with the weight that it asks for, then check again "
            "as left with the check weight."
        )
    ),
)
TROUBLE = (
    Step(gettext_noop("Look under and around the pan: nothing may touch it, no crumb, no cable.")),
    Step(gettext_noop("Level it again, shut out drafts, wait half an hour, and repeat.")),
    Step(gettext_noop("Repeat with a second check weight: a dropped weight is a wrong weight.")),
    parts.OUT_OF_SERVICE,
)


def _work(given: Given) -> Found:
    weight = given.standards["weight"]
    mass = parts.mean(given, READINGS) - given["zero"]
    resolution = max(given.resolution(each.key) for each in READINGS if each.key in given)
    single = REPEATABILITY_DIGITS * resolution
    every = (
        Component(gettext_noop("standard"), weight.u, source=parts.CERTIFICATE),
        last_digit(resolution * sqrt(2.0) / 2.0),  # of both readings
        parts.repeatability(single, given, READINGS),
    )
    budget = parts.budget_of(*every)
    deviation = Figure(
        key="deviation",
        label=parts.DEVIATION[""],
        value=mass - weight.value,
        unit="g",
        budget=budget,
        at=weight.value,
    )
    zero = given["zero"]
    return parts.concluded(
        (given.judged(deviation, weight.value),),
        Effect(EffectKind.FACTOR, mass / weight.value, u=budget.combined / weight.value),
        unsettled=parts.unsettled(single, given, READINGS),
        remarks=((ZERO_FAR, {"zero": f"{zero:g}"}),) if abs(zero) > resolution else (),
        levels=(weight.value,),
        level_unit="g",
    )


RECIPE = Recipe(
    key="balance",
    version="1",
    name=gettext_noop("Balance with a check weight"),
    purpose=gettext_noop("Whatever is weighed for a titrant or a standard leans on this balance."),
    kinds=("balance",),
    fields=(ZERO, *READINGS),
    standards=(StandardRole("weight", gettext_noop("Check weight"), "g", "weight"),),
    tolerances=(
        Tolerance("deviation", "percent", -TOLERANCE_PERCENT, TOLERANCE_PERCENT, source=PRACTICE),
    ),
    steps=STEPS,
    adjustment=ADJUSTMENT,
    trouble=TROUBLE,
    source="OIML D 28 (2004), from memory; JCGM 100:2008; acceptance: common practice",
    work_given=_work,
    interval_days=90.0,
    quick_days=1.0,
)
