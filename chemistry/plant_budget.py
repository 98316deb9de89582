"""Uncertainty of plant readings: stated defaults and components (JCGM 100:2008).

None of the defaults has a source: they are common practice, and a plant that knows its instruments
replaces them.
"""

import math

from chemistry.uncertainty import MAKER, PRACTICE, Component, last_digit, rectangular
from chemistry.words import gettext_noop

GAUGE_PERCENT = 2.0
"""Limits of error of a pressure gauge whose scale is not known, ± percent of reading (1 % of the
scale in its middle): common practice, no source."""
GAUGE_PERCENT_OF_SCALE = 1.0
"""Limits of error of a pressure gauge, ± percent of its scale: ASME B40.100, grade 1A (2013), from
memory."""
STEAM_METER_PERCENT = 3.0
"""Limits of error of a steam meter, ± percent of reading: common practice, no source."""
WATER_METER_PERCENT = 2.0
"""Limits of error of a water meter, ± percent of reading: common practice, no source."""
THERMOMETER_HALF_WIDTH_K = 1.0
"""Limits of error of a plant thermometer, ± K: common practice, no source."""
SETTING_HALF_WIDTH_PERCENT = 1.0
"""How well a scale of 0 to 100 % can be read and set, ±: common practice, no source."""


def gauge(value: float, full_scale: float | None, stated_percent: float | None) -> Component:
    """Return the part of a pressure gauge: the stated ± percent of reading, else a share of its
    `full_scale`, else the default."""
    if full_scale is None or stated_percent is not None:
        return instrument(value, GAUGE_PERCENT, stated_percent)
    half_width = full_scale * GAUGE_PERCENT_OF_SCALE / 100.0
    return rectangular(gettext_noop("instrument"), half_width, source=PRACTICE)


def instrument(value: float, default_percent: float, stated_percent: float | None) -> Component:
    """Return the instrument's own part: ± percent of `value`, the stated figure before the
    default."""
    percent, source = (
        (default_percent, PRACTICE) if stated_percent is None else (stated_percent, MAKER)
    )
    half_width = value * percent / 100.0
    return rectangular(gettext_noop("instrument"), half_width, source=source)


def thermometer(
    stated_u_k: float | None, half_width_k: float = THERMOMETER_HALF_WIDTH_K
) -> Component:
    """Return the thermometer's part, K; `half_width_k` are its limits of error where nothing is
    stated."""
    name = gettext_noop("thermometer")
    if stated_u_k is None:
        return rectangular(name, half_width_k, source=PRACTICE)
    return Component(name, stated_u_k, source=MAKER)


def setting(half_width: float = SETTING_HALF_WIDTH_PERCENT) -> Component:
    """Return how well a setting or level is read, percent of the whole."""
    return rectangular(gettext_noop("reading the scale"), half_width, source=PRACTICE)


def two_last_digits(first: float, last: float) -> Component:
    """Return the part of both readings of a register, each known to half a unit of its last digit;
    `first` and `last` are one unit each, in the result's unit."""
    part = last_digit(last / 2.0)
    u = math.hypot(part.u, first / 2.0 / math.sqrt(3.0))
    return Component(part.name, u, kind="random", distribution="rectangular", source=part.source)


def clock(rate: float, hours: float, resolution_h: float) -> Component:
    """Return the part of the time between two readings, known to half a unit of its last digit."""
    half_width = rate * resolution_h / 2.0 / hours
    source = gettext_noop("the reading")
    return rectangular(gettext_noop("time"), half_width, kind="random", source=source)
