"""Uncertainty of the conductivity test, version 1: stated defaults and their budget (JCGM
100:2008).

Where nothing is known of the instruments, the defaults below stand in. None of them has a source:
they are common practice, and a plant that knows its instruments replaces them.
"""

from dataclasses import dataclass

from chemistry.conductivity import REFERENCE_C
from chemistry.methods.base import InstrumentFacts
from chemistry.uncertainty import Budget, Component, rectangular
from chemistry.words import gettext_noop

PRACTICE = gettext_noop("common practice, no source")
MAKER = gettext_noop("the instrument's own figure")

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


def budget(facts: InstrumentFacts, at: Sensitivity) -> Budget:
    """Return the budget of one result; components of zero are left out."""
    every = (*_instrument_parts(facts, at), *_temperature_parts(facts, at))
    return Budget(tuple(part for part in every if part.u > 0.0))


def _instrument_parts(facts: InstrumentFacts, at: Sensitivity) -> tuple[Component, ...]:
    accuracy, accuracy_source = _known(facts.accuracy_percent, METER_ACCURACY_PERCENT)
    cell, cell_source = _known(facts.cell_constant_u_percent, CELL_CONSTANT_U_PERCENT)
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


def _temperature_parts(facts: InstrumentFacts, at: Sensitivity) -> tuple[Component, ...]:
    per_k = at.kappa25 * at.slope_per_k
    if facts.thermometer_u_k is None:
        thermometer = rectangular(
            gettext_noop("thermometer"), per_k * THERMOMETER_HALF_WIDTH_C, source=PRACTICE
        )
    else:
        thermometer = Component(
            gettext_noop("thermometer"), abs(per_k) * facts.thermometer_u_k, source=MAKER
        )
    return (
        thermometer,
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


def _known(stated: float | None, default: float) -> tuple[float, str]:
    return (default, PRACTICE) if stated is None else (stated, MAKER)
