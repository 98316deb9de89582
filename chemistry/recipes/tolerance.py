"""Tolerances of checks, and whether what was found lies within.

Simple acceptance (ILAC-G8:09/2019, 4.2.1, from memory), as `chemistry.verdict` judges results; but
a check whose expanded uncertainty reaches half the width of its tolerance can't tell, unless what
was found lies outside by more than that (rule of our own).
"""

from dataclasses import dataclass
from enum import StrEnum
from math import isfinite
from typing import Literal

from chemistry import units as unit_book
from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

Kind = Literal["limit", "percent", "band"]

LAST_BITS = 1e-9
"""What a difference of two floats may be off by, as a part of it: it decides nothing (rule of our
own)."""


class Acceptance(StrEnum):
    """Whether what was found lies within its tolerance."""

    ACCEPTED = "accepted"
    NOT_ACCEPTED = "not_accepted"
    UNCERTAIN = "uncertain"


ACCEPTANCE_WORDS: dict[str, str] = {
    Acceptance.ACCEPTED: gettext_noop("Within its tolerance"),
    Acceptance.NOT_ACCEPTED: gettext_noop("Outside its tolerance"),
    Acceptance.UNCERTAIN: gettext_noop("Too uncertain to tell"),
}


@dataclass(frozen=True)
class Tolerance:
    """What a figure may be, by its key; a missing end is open.

    "limit": from `low` to `high` in `unit`. "percent": the same, as percent of the standard's
    value. "band": what may be shown for the standard, from `low` to `high` in `unit`, as 1300 to
    1500 µmho/cm for a standard of 1400.
    """

    figure: str
    kind: Kind
    low: float | None
    high: float | None
    unit: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        given = [end for end in (self.low, self.high) if end is not None]
        fits = all(isfinite(end) for end in given) and given == sorted(set(given))
        if not (given and fits):
            raise ChemistryError(
                "bad_tolerance",
                gettext_noop("A tolerance needs a low or a high end, the low below the high."),
            )

    def ends(self, unit: str, nominal: float | None) -> tuple[float | None, float | None]:
        """Return the ends in `unit`; of a deviation where it is a percentage or a band. Errors:
        ChemistryError tolerance_misses where a band does not hold the standard, no_nominal where
        the figure has no value to take a share of; EntryError wrong_dimension."""
        if self.kind == "limit":
            return _converted(self.low, self.unit, unit), _converted(self.high, self.unit, unit)
        if nominal is None:
            raise ChemistryError(
                "no_nominal",
                gettext_noop(
                    "This figure belongs to no standard's value: set plain limits for it."
                ),
            )
        if self.kind == "percent":
            share = abs(nominal) / 100.0
            return _times(self.low, share), _times(self.high, share)
        low = _points(self.low, self.unit, unit, nominal)
        high = _points(self.high, self.unit, unit, nominal)
        if (low is not None and low > 0.0) or (high is not None and high < 0.0):
            raise ChemistryError(
                "tolerance_misses",
                gettext_noop("The standard itself lies outside this tolerance. Set another one."),
            )
        return low, high


def side(value: float, expanded: float, low: float | None, high: float | None) -> Acceptance:
    """Return whether `value` ± `expanded` lies within `low` to `high`, all in one unit.

    >>> str(side(0.4, 0.1, -0.5, 0.5)), str(side(0.4, 0.6, -0.5, 0.5))
    ('accepted', 'uncertain')
    """
    below = 0.0 if low is None else low - value
    above = 0.0 if high is None else value - high
    beyond = max(below, above) - LAST_BITS * abs(value)
    if beyond > expanded:
        return Acceptance.NOT_ACCEPTED
    if low is not None and high is not None and 2.0 * expanded >= high - low and expanded > 0.0:
        return Acceptance.UNCERTAIN
    return Acceptance.NOT_ACCEPTED if beyond > 0.0 else Acceptance.ACCEPTED


def near(value: float, expanded: float, low: float | None, high: float | None) -> bool:
    """Say whether an end of the tolerance lies inside the expanded uncertainty."""
    return any(abs(value - end) <= expanded for end in (low, high) if end is not None)


def overall(every: list[Acceptance]) -> Acceptance:
    """Return what several figures come to: one outside is outside, one uncertain is uncertain.

    >>> str(overall([Acceptance.ACCEPTED, Acceptance.UNCERTAIN]))
    'uncertain'
    """
    for each in (Acceptance.NOT_ACCEPTED, Acceptance.UNCERTAIN):
        if each in every:
            return each
    return Acceptance.ACCEPTED if every else Acceptance.UNCERTAIN


def _times(end: float | None, share: float) -> float | None:
    return None if end is None else end * share


def _converted(end: float | None, src: str, dst: str) -> float | None:
    """A tolerance is a difference: 1 °F is 0.556 °C."""
    return None if end is None else unit_book.convert_step(end, src or dst, dst)


def _points(end: float | None, src: str, dst: str, nominal: float) -> float | None:
    return None if end is None else unit_book.convert(end, src or dst, dst) - nominal
