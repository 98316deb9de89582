"""Conductivity meter and cell held against a standard, version 1.

The deviation is worked at the standard's own temperature: a meter that refers to 25 °C by itself is
asked what it ought to show there with the coefficient set in it, since KCl rises by less than the 2
percent per K that most meters take. So the cell's fault is told from the coefficient's. Sources:
JCGM 100:2008; KCl: CRC Handbook p. 5-73. The 1300 to 1500 and the handling are common practice, no
source.
"""

from dataclasses import replace

from chemistry.conductivity_budget import REPEATABILITY_PERCENT
from chemistry.methods.base import Field, Step
from chemistry.methods.conductivity import (
    CELL_CONSTANT,
    CONDUCTIVITY_UNITS,
    METER_COEFFICIENT,
    METER_COEFFICIENT_PER_K,
    UNKNOWN_COEFFICIENT_NOTE,
)
from chemistry.recipes import parts
from chemistry.recipes.base import (
    Effect,
    EffectKind,
    Figure,
    Found,
    Given,
    Recipe,
    Remark,
    StandardRole,
)
from chemistry.recipes.tolerance import Tolerance
from chemistry.standards import REFERENCE_C
from chemistry.uncertainty import PRACTICE, Budget, Component, last_digit
from chemistry.words import gettext_noop

ACCEPTED_FROM, ACCEPTED_TO, ACCEPTED_FOR = 1300.0, 1500.0, 1400.0
"""What a meter may show for a standard of 1400 µmho/cm at 25 °C: common practice, no source."""
LOW_PERCENT = (ACCEPTED_FROM - ACCEPTED_FOR) / ACCEPTED_FOR * 100.0
"""The same as a share of the standard, for any strength: common practice, no source."""
HIGH_PERCENT = (ACCEPTED_TO - ACCEPTED_FOR) / ACCEPTED_FOR * 100.0
"""The same as a share of the standard, for any strength: common practice, no source."""

READINGS = parts.further(
    Field(
        key="reading",
        label=gettext_noop("Reading in the standard"),
        unit="uS/cm",
        units=CONDUCTIVITY_UNITS,
        low=0.01,  # pure water at 0 °C shows 0.0115 µS/cm: IAPWS G1-90
        high=200000.0,
        help=gettext_noop("What the meter shows once it is steady, before anything is adjusted."),
        decimals=0,
    ),
    3,
)
CORRECTION = Field(
    key="correction",
    carried="correction",
    label=gettext_noop("Does the meter refer its reading to 25 °C?"),
    help=gettext_noop("A meter whose knob is set to the standard's temperature does so too."),
    choices=(
        ("yes", gettext_noop("Yes, by itself or by its knob")),
        ("no", gettext_noop("No, it shows the value at the standard's temperature")),
    ),
    default="yes",
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    parts.NEVER_BACK,
    Step(
        gettext_noop(
            "Pick a standard near what this meter is used for: one of 1400 µmho/cm says nothing "
            "about a meter that is read at 5."
        )
    ),
    Step(gettext_noop("Let standard and cell come to one temperature, best near 25 °C (77 °F).")),
    Step(
        gettext_noop(
            "Rinse cell, thermometer and beaker with distilled or deionized water, then twice with "
            "a little of the standard; pour that away."
        )
    ),
    Step(
        gettext_noop(
            "Pour fresh standard over the cell's vents and move the cell up and down until no "
            "bubble is left. Keep it clear of the sides and the bottom."
        )
    ),
    Step(
        gettext_noop("Read thermometer and meter once both are steady. Repeat with fresh standard.")
    ),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Set the cell constant found here, or turn the meter's adjustment until it shows what "
            "it ought to. Then rinse, take fresh standard, and check again as left."
        )
    ),
    Step(
        gettext_noop(
            "Never adjust a meter to a standard that you doubt, and never twice in a row without "
            "finding out why it moved."
        ),
        caution=True,
    ),
)
TROUBLE = (
    Step(gettext_noop("Rinse cell and beaker well with distilled or deionized water.")),
    Step(gettext_noop("Move the cell up and down, tap it gently: a bubble reads low and wanders.")),
    Step(gettext_noop("Pour fresh standard and repeat the reading, twice.")),
    Step(gettext_noop("See that the cell is plugged in, dry at the plug, and deep enough.")),
    parts.FRESH_STANDARD,
    Step(
        gettext_noop(
            "Never scrub, wipe or scrape platinized electrodes: their black coat comes off and the "
            "cell is ruined."
        ),
        caution=True,
    ),
    parts.OUT_OF_SERVICE,
)


def _work(given: Given) -> Found:
    temp_c, nominal = given["temperature"], given.standards["standard"].value
    reading, expected = parts.mean(given, READINGS), _expected(given, temp_c)
    ratio = reading / expected
    budget = _budget(given, reading / expected * nominal)
    deviation = Figure(
        key="deviation",
        label=gettext_noop("Deviation at 25 °C"),
        value=nominal * (ratio - 1.0),
        at=nominal,
        unit="uS/cm",
        budget=budget,
    )
    share = Figure(
        key="deviation_percent",
        label=gettext_noop("Deviation"),
        value=100.0 * (ratio - 1.0),
        unit="percent",
        budget=parts.scaled(budget, 100.0 / nominal),
    )
    return parts.concluded(
        (given.judged(deviation, nominal), share, *_cell_constant(given, ratio, budget)),
        Effect(EffectKind.FACTOR, ratio, u=budget.combined / nominal),
        unsettled=parts.unsettled(reading * REPEATABILITY_PERCENT / 100.0, given, READINGS),
        remarks=_remarks(given),
        levels=(nominal,),
        level_unit="uS/cm",
    )


def _expected(given: Given, temp_c: float) -> float:
    """Return what a faultless meter would show in the standard, µS/cm."""
    kappa = given.standard_at("standard", temp_c, "temperature").value
    if given.choice("correction") == "no":
        return kappa
    return kappa / (1.0 + _coefficient(given) * (temp_c - REFERENCE_C))


def _coefficient(given: Given) -> float:
    return given["coefficient"] / 100.0 if "coefficient" in given else METER_COEFFICIENT_PER_K


def _remarks(given: Given) -> tuple[Remark, ...]:
    corrected = given.choice("correction") == "yes"
    unknown = corrected and "coefficient" not in given and given["temperature"] != REFERENCE_C
    return ((UNKNOWN_COEFFICIENT_NOTE, {}),) if unknown else ()


def _cell_constant(given: Given, ratio: float, budget: Budget) -> tuple[Figure, ...]:
    """The constant that would have shown the standard as it is; the last one tells its drift."""
    if "cell_constant" not in given:
        return ()
    constant = given["cell_constant"] / ratio
    nominal = given.standards["standard"].value
    found = Figure(
        key="cell_constant",
        label=gettext_noop("Cell constant found"),
        value=constant,
        unit="1/cm",
        budget=parts.scaled(budget, constant / ratio / nominal),
    )
    if "cell_constant" not in given.last:
        return (found,)
    moved = Figure(
        key="cell_constant_drift",
        label=gettext_noop("Cell constant, since the last check"),
        value=100.0 * (constant / given.last["cell_constant"] - 1.0),
        unit="percent",
        budget=parts.scaled(budget, 100.0 / ratio / nominal),
    )
    return (found, given.judged(moved))


def _budget(given: Given, shown: float) -> Budget:
    """Return the budget of the deviation at 25 °C, µS/cm; `shown` is the reading carried there."""
    temp_c, keys = given["temperature"], [each.key for each in READINGS if each.key in given]
    at = given.standard_at("standard", temp_c, "temperature")
    per_reading = shown / parts.mean(given, READINGS)
    every = (
        Component(gettext_noop("standard"), shown * at.u / at.value, source=parts.CERTIFICATE),
        parts.thermometer(given, shown * abs(_per_k(given, temp_c))),
        last_digit(per_reading * max(map(given.resolution, keys)) / 2.0),
        parts.repeatability(shown * REPEATABILITY_PERCENT / 100.0, given, READINGS),
    )
    return parts.budget_of(*every)


def _per_k(given: Given, temp_c: float) -> float:
    """Return the relative change of what the meter ought to show for 1 K misread, 1/K."""
    at = given.standard_at("standard", temp_c, "temperature")
    of_standard = at.per_k / at.value
    if given.choice("correction") == "no":
        return of_standard
    coefficient = _coefficient(given)
    return of_standard - coefficient / (1.0 + coefficient * (temp_c - REFERENCE_C))


RECIPE = Recipe(
    key="conductivity",
    version="1",
    name=gettext_noop("Conductivity against a standard"),
    purpose=gettext_noop(
        "Shows whether meter and cell still tell the truth, and the cell constant that they need."
    ),
    kinds=("conductivity_meter", "conductivity_cell"),
    fields=(
        *READINGS,
        parts.SOLUTION_TEMPERATURE,
        CORRECTION,
        METER_COEFFICIENT,
        replace(
            CELL_CONSTANT,
            label=gettext_noop("Cell constant set in the meter"),
            help=gettext_noop("As it stands now. Leave it empty where it can't be read."),
            default="",
        ),
    ),
    standards=(StandardRole("standard", gettext_noop("Conductivity standard"), "uS/cm"),),
    tolerances=(Tolerance("deviation", "percent", LOW_PERCENT, HIGH_PERCENT, source=PRACTICE),),
    steps=STEPS,
    adjustment=ADJUSTMENT,
    trouble=TROUBLE,
    source="JCGM 100:2008; KCl: CRC Handbook p. 5-73; ISO 5725-6:1994; handling: common practice",
    work_given=_work,
    interval_days=90.0,
    quick_days=7.0,
)
