"""What results would have been, had a failed instrument told the truth: a what-if, never a result.

Nobody knows when the instrument went wrong between its last pass and the failed check. So three
suppositions stand side by side: it drifted evenly, it jumped right after the pass, it jumped right
before the check. Where all three leave a verdict as it is, the result can hardly have misled
anyone. Obligation to look back: ISO/IEC 17025:2017, 7.10 (from memory); the suppositions are rules
of our own.

Whoever asks says how the result follows from the reading (`Bearing`, or `bearing_of` for a kind of
instrument and an analyte). Where that is neither in proportion nor one to one, nothing is worked.
"""

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from chemistry.errors import ChemistryError, Refused
from chemistry.recipes.base import NO_PLAIN_EFFECT, Effect, EffectKind
from chemistry.verdict_arrays import Array, Many, sides
from chemistry.words import gettext_noop


class Supposition(StrEnum):
    """When the instrument may have gone wrong."""

    DRIFT = "drift"
    AFTER_PASS = "after_pass"
    BEFORE_FAILURE = "before_failure"


SUPPOSITION_WORDS: dict[str, str] = {
    Supposition.DRIFT: gettext_noop("If it drifted evenly since its last pass"),
    Supposition.AFTER_PASS: gettext_noop("If it jumped right after its last pass"),
    Supposition.BEFORE_FAILURE: gettext_noop("If it jumped right before the failed check"),
}


class Bearing(StrEnum):
    """How a result follows from what the instrument shows.

    PROPORTIONAL: it is the reading times something. ONE_TO_ONE: it is the reading itself. OTHER:
    neither, or not known.
    """

    PROPORTIONAL = "proportional"
    ONE_TO_ONE = "one_to_one"
    OTHER = "other"


_TITRATED = (
    "p_alkalinity",
    "m_alkalinity",
    "hydroxide_alkalinity",
    "carbonate_alkalinity",
    "bicarbonate_alkalinity",
    "chloride",
    "chloride_epm",
    "calcium_hardness",
    "total_hardness",
    "sulfite",
)
_COLORED = (
    "phosphate",
    "silica",
    "iron",
    "iron_dissolved",
    "iron_reactive",
    "hydrazine",
    "deha",
    "erythorbate",
    "carbohydrazide",
    "scavenger",
    "oxygen",
)
BEARINGS = MappingProxyType(
    {
        **dict.fromkeys(
            (("conductivity_meter", "conductivity"), ("conductivity_cell", "conductivity")),
            Bearing.PROPORTIONAL,
        ),
        **{("burette", each): Bearing.PROPORTIONAL for each in _TITRATED},
        **{("photometer", each): Bearing.PROPORTIONAL for each in _COLORED},
        ("ph_meter", "ph"): Bearing.ONE_TO_ONE,
        ("ph_electrode", "ph"): Bearing.ONE_TO_ONE,
        ("thermometer", "sample_temperature"): Bearing.ONE_TO_ONE,
        ("thermometer", "deaerator_temperature"): Bearing.ONE_TO_ONE,
        ("pressure_gauge", "drum_pressure"): Bearing.ONE_TO_ONE,
        ("pressure_gauge", "deaerator_pressure"): Bearing.ONE_TO_ONE,
    }
)
"""By kind of instrument and analyte, from how the bench methods work their results. What does not
stand here is OTHER: a thermometer in a conductivity, a factor of titration typed by hand."""


def bearing_of(kind: str, analyte: str) -> Bearing:
    """Return how a result of `analyte` follows from an instrument of `kind`."""
    if kind == "online_analyzer":
        return Bearing.ONE_TO_ONE
    return BEARINGS.get((kind, analyte), Bearing.OTHER)


def effect_on_results(effect: Effect, bearing: Bearing) -> Effect:
    """Return what an instrument's error does to the results. Errors: Refused not_plain where it is
    neither a factor nor an offset of them."""
    plain = effect.kind is not EffectKind.NOT_PLAIN and bearing is not Bearing.OTHER
    if not plain or (effect.kind is EffectKind.OFFSET and bearing is Bearing.PROPORTIONAL):
        raise Refused(
            "not_plain",
            gettext_noop(
                "How this instrument's error went into its results is no plain factor or offset, "
                "so what they would have been can't be worked out."
            ),
        )
    return effect


@dataclass(frozen=True)
class Span:
    """From the last check that passed to the one that failed: times in days, and the error at each,
    both factors or both offsets in the results' unit."""

    passed_at: float
    failed_at: float
    at_pass: float
    at_failure: float
    kind: EffectKind

    def __post_init__(self) -> None:
        if not self.passed_at < self.failed_at:
            raise ChemistryError(
                "checks_crossed",
                gettext_noop("The check that failed must come after the one that passed."),
            )
        if self.kind is EffectKind.NOT_PLAIN:
            effect_on_results(NO_PLAIN_EFFECT, Bearing.OTHER)
        if self.kind is EffectKind.FACTOR and min(self.at_pass, self.at_failure) <= 0.0:
            raise ChemistryError(
                "bad_factor",
                gettext_noop("An instrument that shows nothing at all has no factor."),
            )


@dataclass(frozen=True)
class WhatIf:
    """What results and verdicts would have been under one supposition, place by place."""

    supposition: Supposition
    values: Array
    expanded: Array
    before: NDArray[np.str_]
    after: NDArray[np.str_]

    @property
    def changed(self) -> NDArray[np.bool_]:
        """The places whose verdict would be another."""
        return np.not_equal(self.before, self.after)


def span_between(
    at_pass: Effect | None, passed_at: float, at_failure: Effect, failed_at: float, bearing: Bearing
) -> Span:
    """Return the span between two checks; without an effect at the pass the instrument is taken to
    have been right there. Times in days. Errors: Refused not_plain; ChemistryError checks_crossed,
    bad_factor, other_kind."""
    failed = effect_on_results(at_failure, bearing)
    none = 1.0 if failed.kind is EffectKind.FACTOR else 0.0
    passed = Effect(failed.kind, none, failed.unit) if at_pass is None else at_pass
    if (passed.kind, passed.unit) != (failed.kind, failed.unit):
        raise ChemistryError(
            "other_kind",
            gettext_noop("The two checks state the instrument's error in different ways."),
        )
    return Span(passed_at, failed_at, passed.size, failed.size, failed.kind)


def errors_at(span: Span, times: Array, supposition: Supposition) -> Array:
    """Return the instrument's error at each time, a factor or an offset. Errors: ChemistryError
    outside_span for times that lie not between the two checks.

    >>> span = Span(0.0, 10.0, 1.0, 1.2, EffectKind.FACTOR)
    >>> errors_at(span, np.array([0.0, 5.0, 10.0]), Supposition.DRIFT).tolist()
    [1.0, 1.1, 1.2]
    """
    inside = (times >= span.passed_at) & (times <= span.failed_at)
    if not np.all(inside):
        raise ChemistryError(
            "outside_span",
            gettext_noop("Only results between the two checks can be looked back at."),
        )
    if supposition is Supposition.AFTER_PASS:
        return np.full_like(times, span.at_failure)
    if supposition is Supposition.BEFORE_FAILURE:
        return np.full_like(times, span.at_pass)
    share = (times - span.passed_at) / (span.failed_at - span.passed_at)
    return span.at_pass + share * (span.at_failure - span.at_pass)


def corrected(span: Span, times: Array, values: Array, supposition: Supposition) -> Array:
    """Return what would have been shown without the instrument's error, in the values' unit."""
    errors = errors_at(span, times, supposition)
    return values / errors if span.kind is EffectKind.FACTOR else values - errors


def look_back(many: Many, span: Span) -> tuple[WhatIf, ...]:
    """Return the three what-ifs of many results, for all of them at once.

    A factor shrinks or widens the expanded uncertainty with the value; what is not known of the
    instrument's error itself is not added, since no result comes of this.
    """
    before = sides(many, many.values, many.expanded)
    found = []
    for supposition in Supposition:
        values = corrected(span, many.times, many.values, supposition)
        errors = errors_at(span, many.times, supposition)
        factor = span.kind is EffectKind.FACTOR
        expanded = many.expanded / errors if factor else many.expanded
        after = sides(many, values, expanded)
        found.append(WhatIf(supposition, values, expanded, before, after))
    return tuple(found)
