"""pH electrode in two or three buffers, read in millivolts, version 1: slope and offset.

The slope is held against Nernst's, ln(10) R T / F, with the constants of the SI (2019). What is
accepted of slope and offset, and the handling, are common practice, no source.
"""

from collections.abc import Callable, Sequence

import numpy as np

from chemistry.errors import EntryError
from chemistry.methods.base import Field
from chemistry.ph import ISOPOTENTIAL_PH, KELVIN_AT_0_C, THERMOMETER_HALF_WIDTH_C
from chemistry.recipes import buffers, parts
from chemistry.recipes.base import NO_PLAIN_EFFECT, Figure, Found, Given, Recipe
from chemistry.recipes.tolerance import Tolerance
from chemistry.uncertainty import (
    PRACTICE,
    Budget,
    Component,
    Input,
    last_digit,
    propagated,
    rectangular,
)
from chemistry.words import gettext_noop

NERNST_MV_PER_K = 0.1984214
"""ln(10) R / F in mV per pH and K: constants of the SI Brochure, 9th edition (2019), from
memory."""
SLOPE_FROM, SLOPE_TO = 92.0, 102.0
"""Slope that is accepted, percent of Nernst's: common practice, no source."""
OFFSET_MV = 30.0
"""Reading at pH 7 that is accepted, ± mV: common practice, no source."""
BEND_PH = 0.1
"""How far the middle of three buffers may lie off the line through the others, ± pH: common
practice, no source."""
SWAPPED_PERCENT = -50.0
"""A slope that far down stands for buffers in the wrong order, not for a bad electrode: rule of our
own."""
METER_HALF_WIDTH_MV = 0.5
"""Limits of error of a meter's millivolts, ±: common practice, no source."""
REPEATABILITY_MV = 0.5
"""Standard uncertainty of one settled reading, mV: common practice, no source."""

SWAPPED = gettext_noop(
    "The higher buffer must read lower in millivolts. Were the two buffers swapped, or a sign "
    "left out?"
)


def _millivolts(number: int, label: str, required: bool) -> Field:
    return Field(
        key=f"mv_{number}",
        label=label,
        unit="mV",
        units=("mV",),
        low=-500.0,  # pH 0 to 14 takes less than ± 450 mV up to 50 °C, see NERNST_MV_PER_K
        high=500.0,
        help=gettext_noop("With its sign, once it is steady. Set the meter to millivolts."),
        required=required,
        decimals=1,
    )


FIELDS = (
    _millivolts(1, gettext_noop("Reading in the first buffer"), required=True),
    _millivolts(2, gettext_noop("Reading in the second buffer"), required=True),
    _millivolts(3, gettext_noop("Reading in the third buffer"), required=False),
    buffers.TEMPERATURE,
    buffers.WATER_PH,
)


Worked = Callable[[Sequence[float]], float]


def _work(given: Given) -> Found:
    numbers = buffers.pairs(given, "mv")
    at = buffers.buffer_values(given, numbers)
    inputs = _inputs(given, numbers, at)
    slope = _figure("slope", gettext_noop("Slope"), "percent", inputs, _slope)
    _refuse_swapped(slope.value, numbers, at)
    offset = _figure("offset", gettext_noop("Offset at pH 7"), "mV", inputs, _offset)
    every = [given.judged(slope), given.judged(offset), *_drifts(given, slope, offset)]
    if len(numbers) == 3:
        bend = _figure("bend", gettext_noop("Middle buffer off the line"), "pH", inputs, _bend)
        every.append(given.judged(bend))
    return parts.concluded(
        tuple(every),
        # what was shown hung on how the meter was set; that stands in no reading of this check
        NO_PLAIN_EFFECT,
        remarks=buffers.remarks(given, at, [given[f"mv_{number}"] for number in numbers]),
        levels=tuple(sorted(at)),
        level_unit="pH",
    )


def _inputs(given: Given, numbers: list[int], at: list[float]) -> tuple[Input, ...]:
    """The temperature, then for each buffer its pH and its millivolts."""
    temp_c = given["temperature"]
    thermometer = parts.thermometer(given, 1.0, THERMOMETER_HALF_WIDTH_C)
    found = [Input(temp_c, thermometer)]
    for number, value in zip(numbers, at, strict=True):
        role, key = f"buffer_{number}", f"mv_{number}"
        found.append(Input(value, parts.of_standard(role, given, temp_c, "temperature")))
        found.append(Input(given[key], _reading_part(given.resolution(key))))
    return tuple(found)


def _reading_part(resolution: float) -> Component:
    name = gettext_noop("reading in millivolts")
    every = (
        rectangular(name, METER_HALF_WIDTH_MV),
        Component(name, REPEATABILITY_MV),
        last_digit(resolution / 2.0),
    )
    return Component(name, Budget(every).combined, kind="random", source=PRACTICE)


def _figure(key: str, label: str, unit: str, inputs: Sequence[Input], worked: Worked) -> Figure:
    value = worked([each.value for each in inputs])
    return Figure(key, label, value, unit, propagated(worked, inputs))


def _line(values: Sequence[float]) -> tuple[float, float]:
    """Return mV per pH and mV at pH 7 of the least-squares line through the buffers."""
    ph, mv = np.array(values[1::2]), np.array(values[2::2])
    away = ph - ph.mean()
    slope = float(np.sum(away * (mv - mv.mean())) / np.sum(away**2))
    return slope, float(mv.mean() + slope * (ISOPOTENTIAL_PH - ph.mean()))


def _slope(values: Sequence[float]) -> float:
    """Percent of Nernst's slope; the reading falls with the pH."""
    return -100.0 * _line(values)[0] / (NERNST_MV_PER_K * (values[0] + KELVIN_AT_0_C))


def _offset(values: Sequence[float]) -> float:
    return _line(values)[1]


def _bend(values: Sequence[float]) -> float:
    """How far the middle of three buffers reads off the line through the outer two, pH."""
    (low, at_low), (middle, at_middle), (high, at_high) = sorted(
        zip(values[1::2], values[2::2], strict=True)
    )
    slope = (at_high - at_low) / (high - low)
    shown = at_low + slope * (middle - low)
    nernst = NERNST_MV_PER_K * (values[0] + KELVIN_AT_0_C)
    return (shown - at_middle) / nernst


def _drifts(given: Given, slope: Figure, offset: Figure) -> list[Figure]:
    """What moved since the last check, where its figures are known."""
    drifts = (
        ("slope_drift", gettext_noop("Slope, since the last check"), slope),
        ("offset_drift", gettext_noop("Offset, since the last check"), offset),
    )
    return [
        given.judged(Figure(key, label, now.value - given.last[now.key], now.unit, now.budget))
        for key, label, now in drifts
        if now.key in given.last
    ]


def _refuse_swapped(slope: float, numbers: list[int], at: list[float]) -> None:
    if slope < SWAPPED_PERCENT:
        highest = numbers[at.index(max(at))]
        raise EntryError("swapped", SWAPPED, field=f"mv_{highest}")


RECIPE = Recipe(
    key="ph_electrode",
    version="1",
    name=gettext_noop("pH electrode: slope and offset"),
    purpose=gettext_noop(
        "Shows how well the electrode still answers, long before a reading looks wrong."
    ),
    kinds=("ph_meter", "ph_electrode"),
    fields=FIELDS,
    standards=buffers.ROLES,
    tolerances=(
        Tolerance("slope", "limit", SLOPE_FROM, SLOPE_TO, "percent", PRACTICE),
        Tolerance("offset", "limit", -OFFSET_MV, OFFSET_MV, "mV", PRACTICE),
        Tolerance("bend", "limit", -BEND_PH, BEND_PH, "pH", PRACTICE),
    ),
    steps=buffers.STEPS,
    adjustment=buffers.ADJUSTMENT,
    trouble=buffers.TROUBLE,
    source=(
        "Nernst, with the constants of the SI Brochure (2019); buffers as in the pH test; "
        "JCGM 100:2008; acceptance and handling: common practice, no source"
    ),
    work_given=_work,
    interval_days=30.0,
)
