"""Pieces that several recipes share: repeated readings, the standard's temperature, the steps when
a reading won't settle, and what figures come to.

The handling facts are common practice, no source.
"""

from dataclasses import replace
from math import sqrt

from chemistry.conductivity_budget import THERMOMETER_HALF_WIDTH_C
from chemistry.methods.base import Field, Step
from chemistry.methods.parts import TEMPERATURE_UNITS
from chemistry.recipes.base import (
    NO_PLAIN_EFFECT,
    Effect,
    EffectKind,
    Figure,
    Found,
    Given,
    Remark,
)
from chemistry.recipes.tolerance import LAST_BITS, Acceptance, overall
from chemistry.uncertainty import MAKER, PRACTICE, Budget, Component, rectangular
from chemistry.units import label
from chemistry.words import gettext_noop

CERTIFICATE = gettext_noop("the certificate")
"""Where a standard's value and uncertainty come from."""
CRITICAL_RANGE = {2: 2.8, 3: 3.3}
"""How many standard deviations of a single reading so many readings may spread: ISO 5725-6:1994,
5.2.2, 95 % (from memory)."""

POINTS = ("", "_2", "_3")
"""What the keys of a first, second and third point end in."""
DEVIATION = {
    "": gettext_noop("Deviation"),
    "_2": gettext_noop("Deviation at the second point"),
    "_3": gettext_noop("Deviation at the third point"),
}

UNSETTLED = gettext_noop(
    "The readings lie %(spread)s %(unit)s apart, more than %(most)s %(unit)s: it has not settled. "
    "Go through the steps for a reading that won't settle."
)
OUTSIDE = gettext_noop("%(label)s is %(value)s %(unit)s, outside %(low)s to %(high)s %(unit)s.")
BARE = gettext_noop("%(label)s is %(value)s, outside %(low)s to %(high)s.")
ABOVE = gettext_noop("%(label)s is %(value)s %(unit)s, above %(high)s %(unit)s.")
BELOW = gettext_noop("%(label)s is %(value)s %(unit)s, below %(low)s %(unit)s.")
NEAR = gettext_noop(
    "%(label)s is %(value)s ± %(expanded)s %(unit)s: an end of its tolerance lies within that. "
    "Repeat it."
)
UNCERTAIN = gettext_noop(
    "%(label)s is known to ± %(expanded)s %(unit)s only, too little for this tolerance. Use a "
    "better standard, or read more digits."
)

SOLUTION_TEMPERATURE = Field(
    key="temperature",
    label=gettext_noop("Temperature of the standard"),
    unit="degC",
    units=TEMPERATURE_UNITS,
    low=0.0,
    high=50.0,  # where the table of KCl ends: CRC Handbook p. 5-73
    help=gettext_noop("Read it in the standard, at the same moment as the meter."),
    decimals=1,
)

NEVER_BACK = Step(
    gettext_noop(
        "Never pour used standard back into its bottle, and never use one past its date: a spoiled "
        "standard condemns a good meter and passes a bad one."
    ),
    caution=True,
)
BEFORE_ADJUSTING = Step(
    gettext_noop(
        "Write down what it shows as found before you adjust anything. Once adjusted, nobody can "
        "tell any more which of the last results were wrong."
    ),
    caution=True,
)
FRESH_STANDARD = Step(
    gettext_noop("Open a fresh bottle of the standard, from another lot if you can, and repeat.")
)
OUT_OF_SERVICE = Step(
    gettext_noop(
        "If it still won't settle or still lies outside its tolerance, stop. Take the instrument "
        "out of service, hang a tag on it, record the check as it came out, and call the chemist."
    ),
    caution=True,
)


def further(first: Field, count: int) -> tuple[Field, ...]:
    """Return a reading's field and those of its repeats, which may stay empty: key_2, key_3 ..."""
    again = gettext_noop("Read again")
    text = gettext_noop("Rinse with fresh standard and read once more. May stay empty.")
    more = (
        replace(first, key=f"{first.key}_{number}", label=again, help=text, required=False)
        for number in range(2, count + 1)
    )
    return (first, *more)


def mean(given: Given, fields: tuple[Field, ...]) -> float:
    """Return the mean of a reading and its repeats, in the fields' unit."""
    readings = given.repeats(tuple(each.key for each in fields))
    return sum(readings) / len(readings)


def repeatability(u_single: float, given: Given, fields: tuple[Field, ...]) -> Component:
    """Return the random part of the mean of a reading and its repeats; `u_single` that of one
    reading, in the result's unit."""
    count = len(given.repeats(tuple(each.key for each in fields)))
    name = gettext_noop("repeatability")
    return Component(name, u_single / sqrt(count), kind="random", source=PRACTICE)


def unsettled(u_single: float, given: Given, fields: tuple[Field, ...]) -> tuple[Remark, ...]:
    """Return that the readings did not settle, where they spread more than they may; `u_single` in
    the fields' unit. One unit of the last digit is always granted."""
    keys = tuple(each.key for each in fields if each.key in given)
    readings = given.repeats(keys)
    if len(readings) < 2:
        return ()
    spread = max(readings) - min(readings)
    most = max(CRITICAL_RANGE[len(readings)] * u_single, max(map(given.resolution, keys)))
    if spread - most <= LAST_BITS * spread:
        return ()
    said = {"spread": f"{spread:.3g}", "most": f"{most:.3g}", "unit": label(fields[0].unit)}
    return ((UNSETTLED, said),)


def thermometer(
    given: Given, per_k: float, half_width_k: float = THERMOMETER_HALF_WIDTH_C
) -> Component:
    """Return the part of the thermometer that the standard's temperature was read by; `per_k` is
    what 1 K misread makes, in the result's unit, `half_width_k` its limits where not known."""
    name, u = gettext_noop("thermometer"), given.facts.thermometer_u_k
    if u is None:
        return rectangular(name, per_k * half_width_k, source=PRACTICE)
    return Component(name, per_k * u, source=MAKER)


def of_standard(role: str, given: Given, temp_c: float, beside: str) -> Component:
    """Return the part of a standard, in its own unit. Errors: EntryError beside a field."""
    u = given.standard_at(role, temp_c, beside).u
    return Component(gettext_noop("standard"), u, source=CERTIFICATE)


def budget_of(*every: Component) -> Budget:
    """Return a budget; components of zero are left out."""
    return Budget(tuple(part for part in every if part.u > 0.0))


def scaled(budget: Budget, factor: float) -> Budget:
    """Return the budget of a result `factor` times as large."""
    return Budget(tuple(replace(part, u=part.u * abs(factor)) for part in budget.components))


def concluded(
    figures: tuple[Figure, ...],
    effect: Effect,
    *,
    unsettled: tuple[Remark, ...] = (),
    remarks: tuple[Remark, ...] = (),
    levels: tuple[float, ...] = (),
    level_unit: str = "",
) -> Found:
    """Return what figures come to, with the reasons in words. What has not settled is never
    accepted."""
    every = [each.acceptance for each in figures if each.acceptance is not None]
    acceptance = overall(every)
    if unsettled and acceptance is Acceptance.ACCEPTED:
        acceptance = Acceptance.UNCERTAIN
    said = tuple(reason for each in figures for reason in _reasons(each))
    return Found(figures, acceptance, effect, (*unsettled, *said, *remarks), levels, level_unit)


def _reasons(figure: Figure) -> tuple[Remark, ...]:
    if figure.acceptance is None:
        return ()
    said = {
        "label": figure.label,
        "value": figure.value_text,
        "expanded": figure.expanded_text,
        "unit": label(figure.unit),
    }
    said |= {
        name: f"{end:.4g}"
        for name, end in (("low", figure.low), ("high", figure.high))
        if end is not None
    }
    if figure.acceptance is Acceptance.UNCERTAIN:
        return ((UNCERTAIN, said),)
    if figure.acceptance is Acceptance.NOT_ACCEPTED:
        return ((_outside(figure), said),)
    return ((NEAR, said),) if figure.near else ()


def _outside(figure: Figure) -> str:
    if figure.low is None:
        return ABOVE
    if figure.high is None:
        return BELOW
    return OUTSIDE if figure.unit else BARE


def agreeing(figures: tuple[Figure, ...], kind: EffectKind, unit: str = "") -> Effect:
    """Return the mean of deviations at several levels as one effect, where each lies within its
    expanded uncertainty of that mean; else NOT_PLAIN. For a FACTOR the figures are the factors."""
    middle = sum(each.value for each in figures) / len(figures)
    if any(abs(each.value - middle) > each.budget.expanded for each in figures):
        return NO_PLAIN_EFFECT
    u = max(each.budget.combined for each in figures)
    return Effect(kind, middle, unit if kind is EffectKind.OFFSET else "", u)


def factors(figures: tuple[Figure, ...], truths: list[float]) -> tuple[Figure, ...]:
    """Return deviations as what was shown over what is true, each with its own uncertainty."""
    return tuple(
        replace(each, value=1.0 + each.value / truth, budget=scaled(each.budget, 1.0 / truth))
        for each, truth in zip(figures, truths, strict=True)
    )
