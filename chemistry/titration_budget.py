"""Uncertainty of a titration: stated defaults and the budget (JCGM 100:2008).

None of the defaults has a source: they are common practice, and a plant that knows its glassware
and titrants replaces them. Volumes are in mL, or in drops where drops are counted.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from chemistry.uncertainty import MAKER, PRACTICE, Budget, Component, rectangular
from chemistry.words import gettext_noop

DROP_ML = 0.05
"""One drop of a burette; 20 drops to the mL: common practice, no source."""
SYRINGE_DROP_ML = 0.02
"""One drop from the fine tip of a titrating syringe: common practice, no source."""
EYE_DROPS = 0.5
"""How far one person's notion of the color lies from another's, ± drops: common practice, no
source."""
BURETTE_HALF_WIDTH_ML = 0.05
"""Limits of error of a burette of 25 mL, ± mL: common practice, no source."""
SYRINGE_PERCENT = 2.0
"""Limits of error of a titrating syringe, ± percent of what it gave: common practice, no source."""
DROP_SIZE_PERCENT = 10.0
"""How far drops of one bottle differ from what its label says, ± percent: common practice, no
source."""
STRENGTH_PERCENT = 1.0
"""Limits of a titrant's strength, or of a card's factor, ± percent: common practice, no source."""
SAMPLE_PERCENT = 1.0
"""Limits of a sample measured in a graduated cylinder, ± percent: common practice, no source."""
GRADUATION_ML = 0.1
"""A burette is divided at least this fine, so 12 means 12.0: common practice, no source."""


@dataclass(frozen=True)
class Delivery:
    """How titrant is given: one drop and the limits of error, in mL or drops and in percent."""

    drop: float
    half_width: float
    percent: float
    part: str


BURETTE = Delivery(DROP_ML, BURETTE_HALF_WIDTH_ML, 0.0, gettext_noop("burette"))
SYRINGE = Delivery(SYRINGE_DROP_ML, 0.0, SYRINGE_PERCENT, gettext_noop("syringe"))
DROPS = Delivery(1.0, 0.0, DROP_SIZE_PERCENT, gettext_noop("size of a drop"))


@dataclass(frozen=True)
class Sensitivity:
    """What the budget needs of a result that is `per_unit` times a sum of net volumes.

    `value`: the result. `per_unit`: result per mL or drop. `weights`: what each end point counts.
    `start_half_digit`, `half_digits`: half a unit of the last digit of the volumes read.
    `blank_weight`: what a blank that was titrated counts, 0 where none was.
    """

    value: float
    per_unit: float
    weights: Mapping[str, float]
    half_digits: Mapping[str, float]
    start_half_digit: float = 0.0
    blank_weight: float = 0.0


def budget(
    at: Sensitivity,
    given: Delivery,
    *,
    burette_half_width_ml: float | None = None,
    titrant_u_percent: float | None = None,
    more: tuple[Component, ...] = (),
) -> Budget:
    """Return the budget of one titration; components of zero are left out.

    Every end point is judged for itself: to within one drop either way, which repeats average out,
    and by an eye that repeats share. None takes the default stated above.
    """
    every = (
        *_end_point_parts(at, given),
        _volume_part(at, given, burette_half_width_ml),
        _strength(at, titrant_u_percent),
        rectangular(
            gettext_noop("sample volume"),
            at.value * SAMPLE_PERCENT / 100.0,
            source=PRACTICE,
        ),
        *more,
    )
    return Budget(tuple(part for part in every if part.u > 0.0))


def _end_point_parts(at: Sensitivity, given: Delivery) -> tuple[Component, ...]:
    one_drop = abs(at.per_unit) * given.drop
    ends = math.hypot(*at.weights.values())
    start = sum(at.weights.values()) * at.start_half_digit
    digits = (at.weights[key] * half for key, half in at.half_digits.items() if key in at.weights)
    return (
        rectangular(
            gettext_noop("one drop of titrant"), one_drop * ends, kind="random", source=PRACTICE
        ),
        rectangular(
            gettext_noop("end point judged by eye"), one_drop * EYE_DROPS * ends, source=PRACTICE
        ),
        rectangular(
            gettext_noop("blank"), one_drop * at.blank_weight, kind="random", source=PRACTICE
        ),
        rectangular(
            gettext_noop("last digit of the volume"),
            abs(at.per_unit) * math.hypot(start, *digits),
            kind="random",
            source=gettext_noop("the readings"),
        ),
    )


def _volume_part(at: Sensitivity, given: Delivery, half_width_ml: float | None) -> Component:
    ends = math.hypot(*at.weights.values())
    if given.half_width and half_width_ml is not None:
        return rectangular(given.part, at.per_unit * half_width_ml * ends, source=MAKER)
    half_width = at.per_unit * given.half_width * ends + at.value * given.percent / 100.0
    return rectangular(given.part, half_width, source=PRACTICE)


def _strength(at: Sensitivity, u_percent: float | None) -> Component:
    name = gettext_noop("strength of the titrant")
    if u_percent is not None:
        return Component(name, abs(at.value) * u_percent / 100.0, source=MAKER)
    return rectangular(name, at.value * STRENGTH_PERCENT / 100.0, source=PRACTICE)
