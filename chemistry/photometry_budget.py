"""Uncertainty of a color test: stated defaults and components (JCGM 100:2008).

None of the defaults has a source: they are common practice, and a plant that knows its photometer
replaces the maker's figure.
"""

from chemistry.uncertainty import MAKER, PRACTICE, Component, last_digit, rectangular
from chemistry.words import gettext_noop

PHOTOMETER_PERCENT = 5.0
"""Limits of error of a photometer and kit, ± percent of reading: common practice, no source."""
REPEATABILITY_PERCENT = 2.0
"""Standard uncertainty of one color made by one tester, percent: common practice, no source."""
DILUTION_PERCENT = 1.0
"""Limits of error of a dilution with pipette and flask, ± percent: common practice, no source."""
STANDARD_PERCENT = 5.0
"""Limits of error of a comparator's standard, ± percent of it: common practice, no source."""
ABSORBANCE_HALF_WIDTH = 0.005
"""Limits of error of an absorbance and of its blank, ±: common practice, no source."""


def photometer_parts(
    value: float, *, floor: float, half_digit: float, accuracy_percent: float | None
) -> tuple[Component, ...]:
    """Return what a photometer that shows the concentration adds; all in the result's unit.

    `floor`: limits of error near zero. `half_digit`: half a unit of the last digit shown.
    `accuracy_percent`: the maker's ± percent of reading; None takes the default.
    """
    return (
        _of_value(gettext_noop("photometer"), value, accuracy_percent, PHOTOMETER_PERCENT),
        rectangular(gettext_noop("photometer near zero"), floor, source=PRACTICE),
        last_digit(half_digit),
    )


def absorbance_parts(
    value: float, *, per_absorbance: float, half_digit: float, accuracy_percent: float | None
) -> tuple[Component, ...]:
    """Return what an absorbance worked with a factor adds; `per_absorbance` is the change of the
    result for one unit of absorbance, and `half_digit` is already in the result's unit."""
    zero = per_absorbance * ABSORBANCE_HALF_WIDTH
    return (
        _of_value(gettext_noop("factor"), value, accuracy_percent, PHOTOMETER_PERCENT),
        rectangular(gettext_noop("absorbance"), zero, source=PRACTICE),
        rectangular(gettext_noop("blank"), zero, source=PRACTICE),
        last_digit(half_digit),
    )


def comparator_parts(value: float, half_step: float) -> tuple[Component, ...]:
    """Return what a match by eye adds: half a step between standards, which repeats share, and the
    standard's own color."""
    return (
        rectangular(
            gettext_noop("half a step between standards"),
            half_step,
            source=gettext_noop("the standards"),
        ),
        _of_value(gettext_noop("standard"), value, None, STANDARD_PERCENT),
    )


def common_parts(value: float, diluted: bool) -> tuple[Component, ...]:
    """Return what every color test adds: repeating it, and the dilution where one was made."""
    repeat = Component(
        gettext_noop("repeatability"),
        value * REPEATABILITY_PERCENT / 100.0,
        kind="random",
        source=PRACTICE,
    )
    if not diluted:
        return (repeat,)
    return (repeat, _of_value(gettext_noop("dilution"), value, None, DILUTION_PERCENT))


def _of_value(name: str, value: float, stated: float | None, default: float) -> Component:
    percent, source = (default, PRACTICE) if stated is None else (stated, MAKER)
    return rectangular(name, value * percent / 100.0, source=source)
