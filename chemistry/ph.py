"""pH by electrode: the buffers it is set with, and how sure a reading is (JCGM 100:2008).

Defaults without a source are common practice; a plant that knows its electrode replaces them.
"""

from dataclasses import dataclass

import numpy as np

from chemistry.arrays import Floats
from chemistry.uncertainty import MAKER, PRACTICE, Budget, Component, rectangular
from chemistry.validity import require_within
from chemistry.words import gettext_noop

KELVIN_AT_0_C = 273.15
"""SI Brochure, 9th edition (2019), 2.3.1 (from memory)."""
REFERENCE_C = 25.0
"""Temperature that limits of pH refer to, °C: common practice, no source."""
REFERENCE_WITHIN_C = 2.0
"""A sample this near to 25 °C counts as at 25 °C: rule of our own."""
WATER_PH_PER_K = 0.0332
"""What an alkaline water's pH falls by per K near 25 °C: pKw is 14.165 at 20 and 13.833 at 30 °C,
computed from IAPWS R11-24 (2024). Weaker waters change less."""
ISOPOTENTIAL_PH = 7.0
"""Where an electrode's reading does not hang on its temperature: common practice, no source."""
BUFFER_HALF_WIDTH = 0.02
"""Limits of a buffer's pH as used, ±: common practice, no source."""
UNKNOWN_BUFFERS_HALF_WIDTH = 0.2
"""Limits of error of an electrode set with nobody knows what, ± pH: common practice, no source."""
LEAST_BUFFER_SPAN = 0.5
"""Two buffers must lie this far apart to give a slope, pH: rule of our own."""
OUTSIDE_PER_PH = 0.1
"""Limits of the further error for every pH outside the buffers, ±: common practice, no source."""
ELECTRODE_HALF_WIDTH = 0.05
"""Limits of error of junction and glass in boiler water, ± pH: common practice, no source."""
REPEATABILITY = 0.02
"""Standard uncertainty of one settled reading, pH: common practice, no source."""
THERMOMETER_HALF_WIDTH_C = 0.5
"""Limits of error of the thermometer or the meter's probe, ± °C: common practice, no source."""

PHTHALATE_RANGE_C = (0.0, 60.0)
"""Range of the formula: Hetzer, Durst, Robinson and Bates, J. Res. NBS 81A:21 (1977)."""

# Neutral phosphate and borax at °C: JIS Z 8802:2011, standard pH table, read on a public page that
# reproduces it (weak provenance).
_TABLE_C = (0.0, 10.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0)
"""JIS Z 8802:2011."""
_PHOSPHATE = (6.98, 6.92, 6.88, 6.86, 6.85, 6.84, 6.83, 6.84)
"""JIS Z 8802:2011."""
_BORAX = (9.46, 9.33, 9.22, 9.18, 9.14, 9.07, 9.01, 8.96)
"""JIS Z 8802:2011."""

PHOSPHATE_TABLE = tuple(zip(_TABLE_C, _PHOSPHATE, strict=True))
BORAX_TABLE = tuple(zip(_TABLE_C, _BORAX, strict=True))

LABELED_AT_25_C = {"seven": 7.00, "carbonate": 10.01, "calcium_hydroxide": 12.45}
"""pH at 25 °C: carbonate from Staples and Bates, J. Res. NBS 73A:37 (1969), 10.012; the others as
on labels, common practice, no source. Their change with temperature is left to the meter."""


def phthalate_ph(temp_c: Floats) -> Floats:
    """Return the pH of 0.05 mol/kg potassium hydrogen phthalate, for 0 to 60 °C.

    pH = 2073.44 / T - 13.3270 + 0.045199 T - 3.4846e-5 T²: Hetzer, Durst, Robinson and Bates, J.
    Res. NBS 81A:21 (1977), formula read in the abstract. Errors: OutOfValidity.

    >>> round(float(phthalate_ph(25.0)), 3)
    4.006
    """
    _within(temp_c, PHTHALATE_RANGE_C)
    kelvin = temp_c + KELVIN_AT_0_C
    return 2073.44 / kelvin - 13.3270 + 0.045199 * kelvin - 3.4846e-5 * kelvin**2


def buffer_ph(buffer: str, temp_c: float) -> float:
    """Return the pH of a buffer at `temp_c`, 0 to 60 °C; those of LABELED_AT_25_C as labeled.

    Errors: OutOfValidity, KeyError for an unknown buffer.

    >>> buffer_ph("borax", 25.0)
    9.18
    """
    _within(temp_c, PHTHALATE_RANGE_C)
    if buffer == "phthalate":
        return float(phthalate_ph(temp_c))
    tables = {"phosphate": _PHOSPHATE, "borax": _BORAX}
    if buffer in tables:
        return float(np.interp(temp_c, _TABLE_C, tables[buffer]))
    return LABELED_AT_25_C[buffer]


@dataclass(frozen=True)
class Sensitivity:
    """What the budget needs: the reading and half its last digit, the sample's temperature in °C,
    the pH of the two buffers (None where not known), and sample minus knob in °C."""

    reading: float
    half_digit: float
    temp_c: float
    buffers: tuple[float, float] | None
    dial_difference_c: float = 0.0

    @property
    def near_reference(self) -> bool:
        """Whether the sample counts as at 25 °C."""
        return abs(self.temp_c - REFERENCE_C) <= REFERENCE_WITHIN_C

    @property
    def outside(self) -> float:
        """How far the reading lies outside its buffers, pH; 0 within and where not known."""
        if self.buffers is None:
            return 0.0
        low, high = self.buffers
        return max(low - self.reading, self.reading - high, 0.0)


def budget(at: Sensitivity, *, thermometer_u_k: float | None = None) -> Budget:
    """Return the budget of one pH; components of zero are left out. None takes the default."""
    every = (
        *_buffer_parts(at),
        rectangular(gettext_noop("electrode"), ELECTRODE_HALF_WIDTH, source=PRACTICE),
        Component(gettext_noop("repeatability"), REPEATABILITY, kind="random", source=PRACTICE),
        rectangular(
            gettext_noop("last digit of the reading"),
            at.half_digit,
            kind="random",
            source=gettext_noop("the reading"),
        ),
        *_temperature_parts(at, thermometer_u_k),
    )
    return Budget(tuple(part for part in every if part.u > 0.0))


def _buffer_parts(at: Sensitivity) -> tuple[Component, ...]:
    """A straight line through two buffers carries their errors to the reading, and more of them the
    further outside it lies."""
    if at.buffers is None:
        name = gettext_noop("buffers not known")
        return (rectangular(name, UNKNOWN_BUFFERS_HALF_WIDTH, source=PRACTICE),)
    low, high = at.buffers
    share = (at.reading - low) / (high - low)
    return (
        rectangular(
            gettext_noop("lower buffer"), BUFFER_HALF_WIDTH * (1.0 - share), source=PRACTICE
        ),
        rectangular(gettext_noop("higher buffer"), BUFFER_HALF_WIDTH * share, source=PRACTICE),
        rectangular(
            gettext_noop("outside the buffers"), OUTSIDE_PER_PH * at.outside, source=PRACTICE
        ),
    )


def _temperature_parts(at: Sensitivity, thermometer_u_k: float | None) -> tuple[Component, ...]:
    per_k = abs(at.reading - ISOPOTENTIAL_PH) / (at.temp_c + KELVIN_AT_0_C)
    water_per_k = WATER_PH_PER_K if at.near_reference else 0.0
    name = gettext_noop("thermometer")
    if thermometer_u_k is None:
        limits = (per_k + water_per_k) * THERMOMETER_HALF_WIDTH_C
        thermometer = rectangular(name, limits, source=PRACTICE)
    else:
        thermometer = Component(name, (per_k + water_per_k) * thermometer_u_k, source=MAKER)
    return (
        thermometer,
        rectangular(
            gettext_noop("temperature set on the meter"),
            per_k * at.dial_difference_c,
            source=gettext_noop("the readings"),
        ),
        rectangular(
            gettext_noop("water not quite at 25 °C"),
            water_per_k * (at.temp_c - REFERENCE_C),
            source="IAPWS R11-24",
        ),
    )


def _within(temp_c: Floats, bounds: tuple[float, float]) -> None:
    require_within(
        temp_c,
        bounds,
        "temp_c",
        "temperature_out_of_range",
        gettext_noop("This buffer is known from %(low)s to %(high)s °C only."),
    )
