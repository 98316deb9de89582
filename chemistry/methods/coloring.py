"""The result of a color test, from any of the four ways in which it is entered.

What lies off the scale gives a bound, `>` or `<`, never a number.
"""

from collections.abc import Callable
from dataclasses import dataclass

from chemistry.analytes import Basis
from chemistry.errors import EntryError
from chemistry.expressed import ratio
from chemistry.methods.base import MISSING, Entry, InstrumentFacts, Worked
from chemistry.methods.coloring_fields import Coloring
from chemistry.methods.coloring_words import (
    ABOVE_NOTE,
    ABOVE_UNDILUTED_NOTE,
    BELOW_NOTE,
    EQUAL_STANDARDS,
    NO_BOUND,
    RANGE_CROSSED,
    UPPER_BELOW_LOWER,
)
from chemistry.photometry import FACTOR_PATH_MM, between_standards, concentration
from chemistry.photometry_budget import (
    absorbance_parts,
    common_parts,
    comparator_parts,
    photometer_parts,
)
from chemistry.uncertainty import Budget, Component
from chemistry.units import label

LEAST_ABSORBANCE = 0.01
"""Less than this above the blank is not told from it: common practice, no source."""

Notes = tuple[tuple[str, dict[str, str]], ...]


@dataclass(frozen=True)
class _Seen:
    """What was read, before dilution, in the unit of the test: the qualifier, and what the way of
    reading adds to the uncertainty."""

    value: float
    qualifier: str
    parts: tuple[Component, ...]


def color_result(
    mode: str, entry: Entry, facts: InstrumentFacts, asked: Coloring, notes: Notes = ()
) -> Worked:
    """Return the result of a color test in the unit and form of `asked`.

    Errors: EntryError with its field where readings lack or contradict each other.
    """
    seen = _SEEN_BY[mode](entry, facts, asked)
    diluted = entry.readings["dilution"].value if "dilution" in entry.readings else 1.0
    shown_as = entry.choices.get("shown_as", "")
    scale = diluted * (ratio(asked.as_what, shown_as) if shown_as else 1.0)
    parts = (*seen.parts, *common_parts(seen.value, diluted > 1.0))
    scaled = tuple(
        Component(p.name, p.u * scale, p.dof, p.kind, p.distribution, p.source) for p in parts
    )
    return Worked(
        analyte=asked.analyte,
        value=seen.value * scale,
        unit=asked.unit,
        qualifier=seen.qualifier,
        basis=Basis("any", as_what=asked.as_what),
        budget=Budget(tuple(part for part in scaled if part.u > 0.0)),
        notes=(*notes, *_off_scale_notes(seen.qualifier, asked)),
    )


def _off_scale_notes(qualifier: str, asked: Coloring) -> Notes:
    if qualifier == ">":
        return ((ABOVE_NOTE if asked.dilutable else ABOVE_UNDILUTED_NOTE, {}),)
    return ((BELOW_NOTE, {}),) if qualifier == "<" else ()


def _by_photometer(entry: Entry, facts: InstrumentFacts, asked: Coloring) -> _Seen:
    scale = entry.choices["scale"]
    low, high = (_optional(entry, key) for key in ("range_low", "range_high"))
    if low is not None and high is not None and low >= high:
        raise EntryError("range_crossed", RANGE_CROSSED, field="range_high")
    value, qualifier = 0.0, ""
    if scale == "on":
        value = _needed(entry, "reading")
        if high is not None and value > high:
            value, qualifier = high, ">"
        elif low is not None and value < low:
            value, qualifier = low, "<"
    else:
        value, qualifier = _bound(entry, scale, "range_high", "range_low")
    reading = entry.readings.get("reading")
    parts = photometer_parts(
        value,
        floor=asked.floor,
        half_digit=reading.resolution / 2.0 if reading and scale == "on" else 0.0,
        accuracy_percent=facts.accuracy_percent,
    )
    return _Seen(value, qualifier, parts)


def _by_absorbance(entry: Entry, facts: InstrumentFacts, asked: Coloring) -> _Seen:
    blank, path = entry.readings["blank"].value, entry.readings["path"].value
    highest, factor = entry.readings["highest"].value, entry.readings["factor"].value
    per_absorbance = factor * FACTOR_PATH_MM / path
    scale, qualifier, resolution = entry.choices["scale"], "", 0.0
    net = LEAST_ABSORBANCE
    if scale == "on":
        above = _needed(entry, "absorbance")
        resolution = entry.readings["absorbance"].resolution
        scale = "above" if above > highest else scale
        net = float(concentration(above, 1.0, blank=blank))
    if scale == "above":
        net, qualifier = highest - blank, ">"
    elif scale == "below" or net < LEAST_ABSORBANCE:
        net, qualifier = LEAST_ABSORBANCE, "<"
    if net <= 0.0:
        raise EntryError("no_bound", NO_BOUND, field="blank")
    value = float(concentration(net, factor, path_mm=path))
    parts = absorbance_parts(
        value,
        per_absorbance=per_absorbance,
        half_digit=per_absorbance * resolution / 2.0,
        accuracy_percent=facts.accuracy_percent,
    )
    return _Seen(value, qualifier, parts)


def _by_match(entry: Entry, facts: InstrumentFacts, asked: Coloring) -> _Seen:
    scale, value = entry.choices["scale"], entry.readings["standard"].value
    if scale != "on":
        value, qualifier = _bound(entry, scale, "standard", "standard")
        return _Seen(value, qualifier, comparator_parts(value, 0.0))
    neighbor = _needed(entry, "next_standard")
    if neighbor == value:
        raise EntryError("equal_standards", EQUAL_STANDARDS, field="next_standard")
    half_step = float(between_standards(value, neighbor)[1])
    return _Seen(value, "", comparator_parts(value, half_step))


def _by_two_standards(entry: Entry, facts: InstrumentFacts, asked: Coloring) -> _Seen:
    lower, upper = entry.readings["lower"].value, entry.readings["upper"].value
    if upper <= lower:
        params = {"lower": f"{lower:g}", "upper": f"{upper:g}", "unit": label(asked.unit)}
        raise EntryError("upper_below_lower", UPPER_BELOW_LOWER, params, field="upper")
    middle, half_step = between_standards(lower, upper)
    return _Seen(float(middle), "", comparator_parts(float(middle), float(half_step)))


def _bound(entry: Entry, scale: str, above: str, below: str) -> tuple[float, str]:
    field, qualifier = (above, ">") if scale == "above" else (below, "<")
    value = _needed(entry, field)
    if value <= 0.0:
        raise EntryError("no_bound", NO_BOUND, field=field)
    return value, qualifier


def _needed(entry: Entry, field: str) -> float:
    reading = entry.readings.get(field)
    if reading is None:
        raise EntryError("missing", MISSING, field=field)
    return reading.value


def _optional(entry: Entry, field: str) -> float | None:
    reading = entry.readings.get(field)
    return None if reading is None else reading.value


_SEEN_BY: dict[str, Callable[[Entry, InstrumentFacts, Coloring], _Seen]] = {
    "photometer": _by_photometer,
    "absorbance": _by_absorbance,
    "comparator": _by_match,
    "comparator_between": _by_two_standards,
}
