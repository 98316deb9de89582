"""Two instruments side by side at up to three points: what a thermometer, a gauge and a meter
share.

The reference's reading is typed; the standard of the role "reference" is the correction that its
certificate adds to it, with the uncertainty of that. Handling facts are common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from chemistry.errors import EntryError
from chemistry.methods.base import MISSING, Field
from chemistry.recipes import parts
from chemistry.recipes.base import Effect, EffectKind, Figure, Found, Given, Remark
from chemistry.uncertainty import PRACTICE, Component, last_digit, rectangular
from chemistry.words import gettext_noop

NOT_TWICE = gettext_noop(
    "This is the same point again. Read at another one, or leave the further readings empty."
)


@dataclass(frozen=True)
class Compared:
    """What is compared: the unit that it is worked in and that of its differences, what the pair's
    own place differs by (the bath, the line: limits ±, from the truth), whether the scale begins at
    a true zero, so that an error can be a factor, and what a percentage refers to."""

    unit: str
    difference_unit: str
    place_half_width: Callable[[float], float]
    true_zero: bool
    nominal: Callable[[Given, float], float]


def fields(reading: Field, reference: Field) -> tuple[Field, ...]:
    """Return the fields of three pairs of readings; the further ones may stay empty."""
    again = gettext_noop("May stay empty: another point tells an offset from a wrong scale.")
    further = (
        replace(each, key=f"{each.key}{point}", help=again, required=False)
        for point in parts.POINTS[1:]
        for each in (reading, reference)
    )
    return (reading, reference, *further)


def pairs(given: Given) -> list[str]:
    """Return the points that were read: "" for the first, then "_2", "_3". Errors: EntryError
    beside what is missing of a pair, or beside the second of two points that are one."""
    found: list[str] = []
    for point in parts.POINTS:
        keys = f"reading{point}", f"reference{point}"
        present = [key in given for key in keys]
        if any(present) and not all(present):
            raise EntryError("missing", MISSING, field=keys[present.index(False)])
        if all(present):
            if any(given[keys[1]] == given[f"reference{other}"] for other in found):
                raise EntryError("not_twice", NOT_TWICE, field=keys[1])
            found.append(point)
    return found


def compare(given: Given, compared: Compared, remarks: tuple[Remark, ...] = ()) -> Found:
    """Return what a comparison found, by pairs of readings."""
    points = pairs(given)
    correction = given.standards["reference"]
    truths = [given[f"reference{point}"] + correction.value for point in points]
    figures = tuple(
        _deviation(given, point, truth, correction.u, compared)
        for point, truth in zip(points, truths, strict=True)
    )
    judged = tuple(
        given.judged(figure, compared.nominal(given, truth))
        for figure, truth in zip(figures, truths, strict=True)
    )
    return parts.concluded(
        judged,
        effect_of_points(figures, truths, compared),
        remarks=remarks,
        levels=tuple(sorted(truths)),
        level_unit=compared.unit,
    )


def _deviation(given: Given, point: str, truth: float, u: float, compared: Compared) -> Figure:
    reading, reference = f"reading{point}", f"reference{point}"
    every = (
        Component(gettext_noop("standard"), u, source=parts.CERTIFICATE),
        last_digit(given.resolution(reading) / 2.0),
        last_digit(given.resolution(reference) / 2.0, gettext_noop("last digit of the reference")),
        rectangular(
            gettext_noop("not quite at one place"),
            compared.place_half_width(truth),
            kind="random",
            source=PRACTICE,
        ),
    )
    return Figure(
        key=f"deviation{point}",
        label=parts.DEVIATION[point],
        value=given[reading] - truth,
        at=truth,
        unit=compared.difference_unit,
        budget=parts.budget_of(*every),
    )


def effect_of_points(
    figures: tuple[Figure, ...], truths: list[float], compared: Compared
) -> Effect:
    """Return what deviations at one or several levels are: an offset where they agree, else a
    factor where their ratios do, else neither."""
    found = parts.agreeing(figures, EffectKind.OFFSET, compared.difference_unit)
    if found.kind is EffectKind.OFFSET or not compared.true_zero or min(truths) <= 0.0:
        return found
    return parts.agreeing(parts.factors(figures, truths), EffectKind.FACTOR)
