"""A result held against the limit in force (JCGM 106:2012, ILAC-G8:09/2019)."""

import math
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import ndtr, stdtr

from chemistry.analytes import Basis
from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

SIMPLE_ACCEPTANCE = "simple_acceptance/1"
GUARD_BAND = "guard_band/1"


class Side(StrEnum):
    """Where a result lies."""

    IN_RANGE = "in_range"
    LOW = "low"
    HIGH = "high"
    NOT_JUDGED = "not_judged"


SIDE_WORDS: dict[str, str] = {
    Side.IN_RANGE: gettext_noop("In range"),
    Side.LOW: gettext_noop("Low"),
    Side.HIGH: gettext_noop("High"),
    Side.NOT_JUDGED: gettext_noop("Not judged"),
}
REASON_WORDS: dict[str, str] = {
    "": "",
    "no_limit": gettext_noop("There is no limit in force for this."),
    "other_basis": gettext_noop("The limit is stated on another basis than this result."),
    "too_coarse": gettext_noop(
        "This test is too coarse to tell which side of the limit the water is on."
    ),
    "off_scale": gettext_noop(
        "The reading is off the scale, which does not tell on which side of the limit it lies."
    ),
}


@dataclass(frozen=True)
class Limit:
    """A limit in force; a missing end is open. `target` is what the program steers to."""

    low: float | None
    high: float | None
    basis: Basis
    unit: str
    target: float | None = None

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise ChemistryError(
                "empty_limit", gettext_noop("A limit needs a low or a high value.")
            )
        ends = (self.low, self.target, self.high)
        given = [end for end in ends if end is not None]
        if given != sorted(given) or not all(math.isfinite(end) for end in given):
            raise ChemistryError(
                "crossed_limit", gettext_noop("A limit must run from low over target to high.")
            )


@dataclass(frozen=True)
class Verdict:
    """What was found: the side, and how sure that is.

    `near_limit` asks for a repeat; `probability` is that of the true value lying within the limits;
    `reason` is a key of REASON_WORDS and empty when judged; `rule` names the decision rule.
    """

    side: Side
    near_limit: bool
    probability: float | None
    reason: str
    rule: str


def judge(
    value: float,
    expanded: float,
    coverage: float,
    dof: float,
    basis: Basis,
    limit: Limit | None,
    *,
    guard_band: float = 0.0,
    qualifier: str = "",
) -> Verdict:
    """Return the verdict on `value` ± `expanded` (in the limit's unit).

    Simple acceptance (ILAC-G8:09/2019, 4.2.1, from memory): a value on the limit is in range. A
    guard band moves each limit inward by its width. A test is too coarse when its expanded
    uncertainty reaches the width of the range, or the limit itself where only one end is set (rule
    of our own); a value that lies outside by more than its expanded uncertainty is judged all the
    same, since no finer test would move it inside. With a `qualifier` the value is a bound, ">" or
    "<": it is judged only where every value beyond the bound would have the same verdict.
    """
    if not (math.isfinite(value) and expanded >= 0.0 and coverage > 0.0 and guard_band >= 0.0):
        raise ChemistryError(
            "not_finite", gettext_noop("The result is not a number that can be judged.")
        )
    rule = GUARD_BAND if guard_band > 0.0 else SIMPLE_ACCEPTANCE
    if limit is None:
        return Verdict(Side.NOT_JUDGED, False, None, "no_limit", rule)
    if limit.basis != basis:
        return Verdict(Side.NOT_JUDGED, False, None, "other_basis", rule)
    if qualifier:
        side = _side_of_bound(value, qualifier, limit, guard_band)
        off_scale = side is Side.NOT_JUDGED
        return Verdict(side, False, None, "off_scale" if off_scale else "", rule)
    near = any(abs(value - end) <= expanded for end in _ends(limit))
    probability = conformance_probability(value, expanded / coverage, dof, limit)
    side = _side(value, limit, guard_band)
    plainly_outside = side is not Side.IN_RANGE and not near and probability < 0.5
    if _too_coarse(expanded, limit, guard_band) and not plainly_outside:
        return Verdict(Side.NOT_JUDGED, near, probability, "too_coarse", rule)
    return Verdict(side, near, probability, "", rule)


def conformance_probability(value: float, u: float, dof: float, limit: Limit) -> float:
    """Return the probability that the true value lies within `limit` (JCGM 106:2012, 7.2 to 7.4).

    Normal for infinite `dof`, else a t-distribution scaled by `u` (JCGM 101:2008, 6.4.9).
    """
    below_high = 1.0 if limit.high is None else _below(limit.high - value, u, dof)
    below_low = 0.0 if limit.low is None else _below(limit.low - value, u, dof)
    return max(below_high - below_low, 0.0)


def _below(distance: float, u: float, dof: float) -> float:
    if u == 0.0:
        return 1.0 if distance >= 0.0 else 0.0
    scaled = distance / u
    return float(ndtr(scaled) if math.isinf(dof) else stdtr(dof, scaled))


def _side(value: float, limit: Limit, guard_band: float) -> Side:
    if limit.high is not None and value > limit.high - guard_band:
        return Side.HIGH
    if limit.low is not None and value < limit.low + guard_band:
        return Side.LOW
    return Side.IN_RANGE


def _side_of_bound(bound: float, qualifier: str, limit: Limit, guard_band: float) -> Side:
    """Return the side on which every value above (">") or below ("<") the bound lies."""
    low = None if limit.low is None else limit.low + guard_band
    high = None if limit.high is None else limit.high - guard_band
    if qualifier == ">":
        if high is not None:
            return Side.HIGH if bound >= high else Side.NOT_JUDGED
        return Side.IN_RANGE if low is not None and bound >= low else Side.NOT_JUDGED
    if low is not None:
        return Side.LOW if bound <= low else Side.NOT_JUDGED
    return Side.IN_RANGE if high is not None and bound <= high else Side.NOT_JUDGED


def _ends(limit: Limit) -> tuple[float, ...]:
    return tuple(end for end in (limit.low, limit.high) if end is not None)


def _too_coarse(expanded: float, limit: Limit, guard_band: float) -> bool:
    if limit.low is not None and limit.high is not None:
        width = limit.high - limit.low
        return (expanded > 0.0 and expanded >= width) or 2.0 * guard_band > width
    return expanded > 0.0 and expanded >= abs(_ends(limit)[0])
