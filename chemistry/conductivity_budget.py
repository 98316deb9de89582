"""Uncertainty of a conductivity referred to 25 °C: stated defaults and the budget (JCGM 100:2008).

Where nothing is known of the instruments, the defaults below stand in. None of them has a source:
they are common practice, and a plant that knows its instruments replaces them.
"""

from dataclasses import dataclass

from chemistry.conductivity import (
    NATURAL_WATER_F25_HALF_WIDTH,
    NATURAL_WATER_RANGE_C,
    REFERENCE_C,
    WATER_COEFFICIENT_PER_K,
    linear_to_25c,
    natural_water_factor,
)
from chemistry.uncertainty import MAKER, PRACTICE, Budget, Component, rectangular
from chemistry.words import gettext_noop

METER_ACCURACY_PERCENT = 1.0
"""Limits of error of a bench meter, ± percent of reading: common practice, no source."""
CELL_CONSTANT_U_PERCENT = 1.0
"""Standard uncertainty of the cell constant, percent: common practice, no source."""
THERMOMETER_HALF_WIDTH_C = 0.5
"""Limits of error of a bench thermometer, ± °C: common practice, no source."""
COEFFICIENT_HALF_WIDTH_PER_K = 0.002
"""Limits within which the water's true coefficient lies about the stated one, ± 1/K: common
practice, no source (Hayashi, Environ. Monit. Assess. 96:119 (2004), found 0.0175 to 0.0198, from
memory)."""
REPEATABILITY_PERCENT = 0.5
"""Standard uncertainty of one reading by one tester, percent: common practice, no source."""


@dataclass(frozen=True)
class Observed:
    """What was read: `kappa` as the meter gives it and half a unit of its last digit, both times
    the cell constant, µS/cm; the sample's temperature and one unit of its last digit, °C."""

    kappa: float
    half_digit: float
    temp_c: float
    temp_resolution: float


@dataclass(frozen=True)
class Sensitivity:
    """What the budget needs beside the result, all in the result's unit or in 1/K and °C.

    `kappa25`: the result, µS/cm. `reading_half_width`: half a digit of the dial, carried to the
    result. `temp_c`, `temp_resolution`: the sample's temperature and one unit of its last digit,
    °C. `slope_per_k`: relative change of the result for 1 °C misread. `coefficient_half_width`: ±
    1/K about the coefficient used. `dial_difference_c`: sample minus dial, °C. `factor_half_width`:
    ± of a tabulated factor, relative.
    """

    kappa25: float
    reading_half_width: float
    temp_c: float
    temp_resolution: float
    slope_per_k: float
    coefficient_half_width: float = 0.0
    dial_difference_c: float = 0.0
    factor_half_width: float = 0.0


def referred_by_meter(
    seen: Observed, coefficient_per_k: float, dial_difference_c: float = 0.0
) -> Sensitivity:
    """Return the result of a reading that the meter referred to 25 °C with `coefficient_per_k`.

    The water's own coefficient is taken to lie within 0.019 ± 0.002 per K; the error left by the
    meter is bounded by the farther end of that span.
    """
    off = abs(coefficient_per_k - WATER_COEFFICIENT_PER_K) + COEFFICIENT_HALF_WIDTH_PER_K
    return Sensitivity(
        kappa25=seen.kappa,
        reading_half_width=seen.half_digit,
        temp_c=seen.temp_c,
        temp_resolution=seen.temp_resolution,
        slope_per_k=_linear_slope(coefficient_per_k, seen.temp_c, coefficient_per_k),
        coefficient_half_width=_linear_slope(off, seen.temp_c, coefficient_per_k),
        dial_difference_c=dial_difference_c,
    )


def referred_linearly(seen: Observed, coefficient_per_k: float) -> Sensitivity:
    """Return the result of an uncorrected reading referred to 25 °C by the linear rule.

    Errors: OutOfValidity, those of `linear_to_25c`.
    """
    kappa25 = float(linear_to_25c(seen.kappa, seen.temp_c, coefficient_per_k))
    return Sensitivity(
        kappa25=kappa25,
        reading_half_width=seen.half_digit * kappa25 / seen.kappa,
        temp_c=seen.temp_c,
        temp_resolution=seen.temp_resolution,
        slope_per_k=_linear_slope(coefficient_per_k, seen.temp_c, coefficient_per_k),
        coefficient_half_width=_linear_slope(
            COEFFICIENT_HALF_WIDTH_PER_K, seen.temp_c, coefficient_per_k
        ),
    )


def referred_as_natural_water(seen: Observed) -> Sensitivity:
    """Return the result of an uncorrected reading referred to 25 °C as natural water.

    Errors: OutOfValidity, those of `natural_water_factor`.
    """
    factor = float(natural_water_factor(seen.temp_c))
    return Sensitivity(
        kappa25=seen.kappa * factor,
        reading_half_width=seen.half_digit * factor,
        temp_c=seen.temp_c,
        temp_resolution=seen.temp_resolution,
        slope_per_k=_natural_slope(seen.temp_c, factor),
        coefficient_half_width=COEFFICIENT_HALF_WIDTH_PER_K * factor,
        factor_half_width=NATURAL_WATER_F25_HALF_WIDTH / factor,
    )


def budget(
    at: Sensitivity,
    *,
    accuracy_percent: float | None = None,
    cell_constant_u_percent: float | None = None,
    thermometer_u_k: float | None = None,
) -> Budget:
    """Return the budget of one result; components of zero are left out.

    `accuracy_percent`: the meter's limits of error, ± percent of reading. `cell_constant_u_percent`
    and `thermometer_u_k`: standard uncertainties, percent and K. None takes the default stated
    above.
    """
    every = (
        *_instrument_parts(at, accuracy_percent, cell_constant_u_percent),
        *_temperature_parts(at, thermometer_u_k),
    )
    return Budget(tuple(part for part in every if part.u > 0.0))


def _instrument_parts(
    at: Sensitivity, accuracy_percent: float | None, cell_constant_u_percent: float | None
) -> tuple[Component, ...]:
    accuracy, accuracy_source = _known(accuracy_percent, METER_ACCURACY_PERCENT)
    cell, cell_source = _known(cell_constant_u_percent, CELL_CONSTANT_U_PERCENT)
    return (
        rectangular(gettext_noop("meter"), at.kappa25 * accuracy / 100.0, source=accuracy_source),
        Component(gettext_noop("cell constant"), at.kappa25 * cell / 100.0, source=cell_source),
        rectangular(
            gettext_noop("last digit of the reading"),
            at.reading_half_width,
            kind="random",
            source=gettext_noop("the reading"),
        ),
        Component(
            gettext_noop("repeatability"),
            at.kappa25 * REPEATABILITY_PERCENT / 100.0,
            kind="random",
            source=PRACTICE,
        ),
    )


def _temperature_parts(at: Sensitivity, thermometer_u_k: float | None) -> tuple[Component, ...]:
    per_k = at.kappa25 * at.slope_per_k
    return (
        _thermometer(per_k, thermometer_u_k),
        rectangular(
            gettext_noop("last digit of the temperature"),
            per_k * at.temp_resolution / 2.0,
            kind="random",
            source=gettext_noop("the reading"),
        ),
        rectangular(
            gettext_noop("temperature coefficient"),
            at.kappa25 * at.coefficient_half_width * (at.temp_c - REFERENCE_C),
            source=PRACTICE,
        ),
        rectangular(
            gettext_noop("temperature set on the meter"),
            per_k * at.dial_difference_c,
            source=gettext_noop("the readings"),
        ),
        rectangular(
            gettext_noop("natural-water factor"),
            at.kappa25 * at.factor_half_width,
            source="ISO 7888:1985",
        ),
    )


def _thermometer(per_k: float, thermometer_u_k: float | None) -> Component:
    name = gettext_noop("thermometer")
    if thermometer_u_k is None:
        return rectangular(name, per_k * THERMOMETER_HALF_WIDTH_C, source=PRACTICE)
    return Component(name, abs(per_k) * thermometer_u_k, source=MAKER)


def _known(stated: float | None, default: float) -> tuple[float, str]:
    return (default, PRACTICE) if stated is None else (stated, MAKER)


def _linear_slope(part_per_k: float, temp_c: float, coefficient_per_k: float) -> float:
    """Return part / (1 + coefficient (t - 25)): the relative slope of the linear rule at t, 1/K."""
    return part_per_k / (1.0 + coefficient_per_k * (temp_c - REFERENCE_C))


def _natural_slope(temp_c: float, factor: float) -> float:
    """Return the relative slope of f25 over one degree, taken inside the table's range, 1/K."""
    first, last = NATURAL_WATER_RANGE_C
    low, high = max(temp_c - 0.5, first), min(temp_c + 0.5, last)
    rise = float(natural_water_factor(high)) - float(natural_water_factor(low))
    return abs(rise) / factor / (high - low)
