"""Uncertainty of a result: components, their combination, and rounding (JCGM 100:2008)."""

import math
import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Literal

from scipy.special import ndtri, stdtrit

from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

RULE_VERSION = "1"
"""Version of the rules in this file: combination, coverage and rounding. Stored with every
result."""

CONFIDENCE = 0.9545
"""Coverage probability of the expanded uncertainty; gives k = 2.00 for many degrees of freedom
(JCGM 100:2008, G.6.6)."""

PRACTICE = gettext_noop("common practice, no source")
MAKER = gettext_noop("the instrument's own figure")
"""Where a component's figure comes from, when it is neither measured nor published."""

Kind = Literal["systematic", "random"]


@dataclass(frozen=True)
class Component:
    """One contribution: `u` is a standard uncertainty times its sensitivity, in the result's
    unit."""

    name: str
    u: float
    dof: float = math.inf
    kind: Kind = "systematic"
    distribution: str = "normal"
    source: str = ""


@dataclass(frozen=True)
class Budget:
    """The contributions to one result, taken as uncorrelated (5.1.2)."""

    components: tuple[Component, ...]

    @property
    def combined(self) -> float:
        """Combined standard uncertainty, eq. (10), in the result's unit."""
        return math.hypot(*(part.u for part in self.components))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom by Welch and Satterthwaite, eq. (G.2b)."""
        spread = sum(part.u**4 / part.dof for part in self.components)
        return self.combined**4 / spread if spread > 0.0 else math.inf

    @property
    def coverage(self) -> float:
        """Coverage factor for 95.45 %."""
        return coverage_factor(self.dof)

    @property
    def expanded(self) -> float:
        """Expanded uncertainty for 95.45 %, in the result's unit."""
        return self.coverage * self.combined

    @property
    def u_random(self) -> float:
        """Combined standard uncertainty of the parts that average out over repeats."""
        return math.hypot(*(part.u for part in self.components if part.kind == "random"))

    @property
    def u_systematic(self) -> float:
        """Combined standard uncertainty of the parts that repeats share."""
        return math.hypot(*(part.u for part in self.components if part.kind == "systematic"))

    def as_text(self) -> list[dict[str, str]]:
        """Return the components as text only, to be stored; numbers keep six significant digits."""
        return [
            {
                "name": part.name,
                "u": f"{part.u:.6g}",
                "dof": f"{part.dof:.6g}",
                "kind": part.kind,
                "distribution": part.distribution,
                "source": part.source,
            }
            for part in self.components
        ]


@dataclass(frozen=True)
class Input:
    """One quantity that a result is worked from: its value, and its component in its own unit."""

    value: float
    part: Component


def propagated(function: Callable[[Sequence[float]], float], inputs: Sequence[Input]) -> Budget:
    """Return the budget of `function` of the inputs' values, in its unit; components of zero are
    left out.

    Each contribution is half of what the result changes by as its input goes from value - u to
    value + u (5.1.3, note 2).

    >>> side = Input(3.0, Component("side", 0.1))
    >>> round(propagated(lambda values: values[0] ** 2, (side,)).combined, 3)
    0.6
    """
    values = [each.value for each in inputs]
    parts = []
    for place, each in enumerate(inputs):
        up, down = list(values), list(values)
        up[place], down[place] = each.value + each.part.u, each.value - each.part.u
        parts.append(replace(each.part, u=abs(function(up) - function(down)) / 2.0))
    return Budget(tuple(part for part in parts if part.u > 0.0))


def coverage_factor(dof: float, confidence: float = CONFIDENCE) -> float:
    """Return Student's t for a two-sided `confidence`; `dof` is cut to a whole number (G.4.1, note
    1)."""
    tail = 0.5 + confidence / 2.0
    if math.isinf(dof):
        return float(ndtri(tail))
    return float(stdtrit(max(math.floor(dof), 1), tail))


def rectangular(
    name: str, half_width: float, *, kind: Kind = "systematic", source: str = ""
) -> Component:
    """Return a component known only by its limits ± `half_width` (4.3.7)."""
    return Component(name, abs(half_width) / math.sqrt(3.0), math.inf, kind, "rectangular", source)


def triangular(
    name: str, half_width: float, *, kind: Kind = "systematic", source: str = ""
) -> Component:
    """Return a component with limits ± `half_width` and its middle most likely (4.3.9)."""
    return Component(name, abs(half_width) / math.sqrt(6.0), math.inf, kind, "triangular", source)


def normal(
    name: str, expanded: float, k: float = 2.0, *, kind: Kind = "systematic", source: str = ""
) -> Component:
    """Return a component given as an expanded uncertainty with its coverage factor (4.3.3)."""
    return Component(name, abs(expanded) / k, math.inf, kind, "normal", source)


def last_digit(
    half_digit: float, name: str = gettext_noop("last digit of the reading")
) -> Component:
    """Return the part of the last digit read: half of one unit, in the result's unit."""
    source = gettext_noop("the reading")
    return rectangular(name, half_digit, kind="random", source=source)


def type_a(name: str, readings: Sequence[float], *, source: str = "") -> Component:
    """Return the random component of the mean of two or more readings (4.2.3)."""
    if len(readings) < 2:
        raise ChemistryError(
            "too_few_readings",
            gettext_noop("At least two readings are needed to judge their spread."),
        )
    u = statistics.stdev(readings) / math.sqrt(len(readings))
    return Component(name, u, len(readings) - 1, "random", "normal", source)


def round_to_uncertainty(
    value: float, expanded: float, decimals: int | None = None
) -> tuple[str, str]:
    """Return value and expanded uncertainty as plain text: two significant figures of U (7.2.6).

    U is rounded half up, the value half to even and to U's last place. Both are first cut to 12
    digits, so that the last bit of a float cannot change the text. With U = 0 the value keeps six
    digits. With `decimals`, neither is given more of them.

    >>> round_to_uncertainty(1234.5, 34.4)
    ('1234', '34')
    """
    if not (math.isfinite(value) and math.isfinite(expanded) and expanded >= 0.0):
        raise ChemistryError(
            "not_finite", gettext_noop("The result is not a number that can be shown.")
        )
    if expanded == 0.0:
        return format(Decimal(f"{value:.6g}"), "f"), "0"
    wide = Decimal(f"{expanded:.12g}")
    step = Decimal(1).scaleb(wide.adjusted() - 1)
    rounded = wide.quantize(step, ROUND_HALF_UP)
    if rounded.adjusted() > wide.adjusted():  # 0.0996 became 0.100: one figure too many
        step = step.scaleb(1)
        rounded = rounded.quantize(step)
    if decimals is not None and step < (least := Decimal(1).scaleb(-decimals)):
        step, rounded = least, max(wide.quantize(least, ROUND_HALF_UP), least)
    shown = Decimal(f"{value:.12g}").quantize(step, ROUND_HALF_EVEN)
    return format(shown if shown else abs(shown), "f"), format(rounded, "f")
