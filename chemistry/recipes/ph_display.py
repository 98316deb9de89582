"""pH meter as it stands, read in one, two or three buffers, version 1: what it shows too much.

The quick verification between two settings, and the as-found check before one. Only where all
buffers agree on one error is it a plain offset; an error that grows with the pH is a slope, which
hangs on how the meter was set. Acceptance and handling: common practice, no source.
"""

from itertools import pairwise

from chemistry.errors import EntryError
from chemistry.methods.base import Field
from chemistry.ph import LEAST_BUFFER_SPAN, REPEATABILITY, THERMOMETER_HALF_WIDTH_C
from chemistry.recipes import buffers, parts
from chemistry.recipes.base import (
    NO_PLAIN_EFFECT,
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
from chemistry.uncertainty import PRACTICE, Component, last_digit
from chemistry.words import gettext_noop

TOLERANCE_PH = 0.1
"""What a meter may show too much or too little in a buffer, ± pH: common practice, no source."""

ONE_BUFFER = gettext_noop(
    "One buffer alone can't tell an offset from a slope. Read a second one before you judge the "
    "results since the last check."
)
SWAPPED = gettext_noop("The higher buffer must show the higher pH. Were the two buffers swapped?")


def _shown(number: int, label: str) -> Field:
    return Field(
        key=f"shown_{number}",
        label=label,
        unit="pH",
        units=("pH",),
        low=0.0,
        high=14.0,
        help=gettext_noop("What the meter shows in the buffer, before anything is set."),
        required=number == 1,
        decimals=2,
    )


FIELDS = (
    _shown(1, gettext_noop("pH shown in the first buffer")),
    _shown(2, gettext_noop("pH shown in the second buffer")),
    _shown(3, gettext_noop("pH shown in the third buffer")),
    buffers.TEMPERATURE,
    buffers.WATER_PH,
)
ROLES = (
    buffers.ROLES[0],
    *(StandardRole(each.key, each.label, each.unit, required=False) for each in buffers.ROLES[1:]),
)


def _work(given: Given) -> Found:
    numbers = buffers.pairs(given, "shown")
    at = buffers.buffer_values(given, numbers)
    figures = tuple(
        given.judged(_deviation(given, number, value), value)
        for number, value in zip(numbers, at, strict=True)
    )
    shown = [given[f"shown_{number}"] for number in numbers]
    _refuse_swapped(numbers, at, shown)
    one: tuple[Remark, ...] = ((ONE_BUFFER, {}),) if len(figures) == 1 else ()
    return parts.concluded(
        figures,
        _effect(figures),
        remarks=(*one, *buffers.remarks(given, at, shown)),
        levels=tuple(sorted(at)),
        level_unit="pH",
    )


def _refuse_swapped(numbers: list[int], at: list[float], shown: list[float]) -> None:
    """Refuse a buffer that shows less than a lower one, by more than a bad electrode would."""
    by_buffer = sorted(zip(at, shown, numbers, strict=True))
    for (_, below, _), (_, above, number) in pairwise(by_buffer):
        if below - above > LEAST_BUFFER_SPAN:
            raise EntryError("swapped", SWAPPED, field=f"shown_{number}")


def _deviation(given: Given, number: int, value: float) -> Figure:
    key, role = f"shown_{number}", f"buffer_{number}"
    at = given.standard_at(role, given["temperature"], "temperature")
    every = (
        Component(gettext_noop("standard"), at.u, source=parts.CERTIFICATE),
        parts.thermometer(given, abs(at.per_k), THERMOMETER_HALF_WIDTH_C),
        last_digit(given.resolution(key) / 2.0),
        Component(gettext_noop("repeatability"), REPEATABILITY, kind="random", source=PRACTICE),
    )
    return Figure(
        key=f"deviation{parts.POINTS[number - 1]}",
        label=parts.DEVIATION[parts.POINTS[number - 1]],
        value=given[key] - value,
        at=value,
        unit="pH",
        budget=parts.budget_of(*every),
    )


def _effect(figures: tuple[Figure, ...]) -> Effect:
    if len(figures) == 1:
        return NO_PLAIN_EFFECT
    return parts.agreeing(figures, EffectKind.OFFSET, "pH")


RECIPE = Recipe(
    key="ph_display",
    version="1",
    name=gettext_noop("pH meter as it stands, in buffers"),
    purpose=gettext_noop("Shows within minutes whether the meter may be relied on today."),
    kinds=("ph_meter", "ph_electrode"),
    fields=FIELDS,
    standards=ROLES,
    tolerances=(Tolerance("deviation", "limit", -TOLERANCE_PH, TOLERANCE_PH, "pH", PRACTICE),),
    steps=buffers.STEPS,
    adjustment=buffers.ADJUSTMENT,
    trouble=buffers.TROUBLE,
    source="Buffers as in the pH test; JCGM 100:2008; acceptance, handling: common practice",
    work_given=_work,
    interval_days=1.0,
)
