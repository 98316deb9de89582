"""Conductivity of a water sample by meter and cell, version 1.

The result is the conductivity at 25 °C in µS/cm. Three ways of working are kept apart, since mixing
them up is the commonest error of the bench: set on the meter by hand, automatic, and corrected
here.
"""

from chemistry.analytes import Basis
from chemistry.conductivity import (
    NATURAL_WATER_F25_HALF_WIDTH,
    WATER_COEFFICIENT_PER_K,
    linear_to_25c,
    natural_water_factor,
)
from chemistry.errors import EntryError, OutOfValidity
from chemistry.methods.base import Entry, InstrumentFacts, Method, Worked
from chemistry.methods.conductivity_budget import (
    COEFFICIENT_HALF_WIDTH_PER_K,
    Sensitivity,
    budget,
)
from chemistry.methods.conductivity_sheet import COOL_C, INSTRUMENTS, MODES, STEPS
from chemistry.words import gettext_noop

MAX_DIAL_DIFFERENCE_C = 2.0
"""A knob further from the sample's temperature than this asks for a new reading: rule of our
own."""
METER_COEFFICIENT_PER_K = 0.02
"""What most meters correct with unless set otherwise: common practice, no source."""

DIAL_DIFFERS = gettext_noop(
    "The meter was set to %(dial)s °C but the sample was at %(temperature)s °C. Set the knob to "
    "the sample's temperature and read again."
)
COEFFICIENT_NEEDED = gettext_noop(
    "The straight line needs the water's coefficient; 1.9 suits most."
)
NATURAL_RANGE = gettext_noop(
    "The natural-water factors end at 35.9 °C. Cool the sample, or use the straight line."
)
HOT_NOTE = gettext_noop(
    "The sample was above 38 °C (100 °F): it can scald and it reads less surely. Cool it better."
)
DIAL_NOTE = gettext_noop("The knob stood %(difference)s °C away from the sample's temperature.")
UNKNOWN_COEFFICIENT_NOTE = gettext_noop("The meter's coefficient is not known; 2 %%/°C was taken.")


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    at, notes = _MODES[mode](entry)
    if at.temp_c > COOL_C:
        notes = (*notes, (HOT_NOTE, {}))
    neutralized = entry.choices["neutralized"] == "yes"
    result = Worked(
        analyte="conductivity",
        value=at.kappa25,
        unit="uS/cm",
        qualifier="",
        basis=Basis("25C", "neutralized" if neutralized else "not_neutralized"),
        budget=budget(facts, at),
        notes=notes,
    )
    return (result,)


Found = tuple[Sensitivity, tuple[tuple[str, dict[str, str]], ...]]


def _set_on_meter(entry: Entry) -> Found:
    """The knob's correction is the meter's own; what the knob was off by enters the budget."""
    sample, dial = entry.readings["temperature"].value, entry.readings["dial"].value
    difference = sample - dial
    if abs(difference) > MAX_DIAL_DIFFERENCE_C:
        params = {"dial": f"{dial:.1f}", "temperature": f"{sample:.1f}"}
        raise EntryError("dial_differs", DIAL_DIFFERS, params, field="dial")
    at = _compensated(entry, METER_COEFFICIENT_PER_K, difference)
    if difference:
        return at, ((DIAL_NOTE, {"difference": f"{abs(difference):.1f}"}),)
    return at, ()


def _automatic(entry: Entry) -> Found:
    """The meter's correction is taken as it is; how well its coefficient fits the water is not
    known."""
    stated = entry.readings.get("coefficient")
    if stated is None:
        return _compensated(entry, METER_COEFFICIENT_PER_K), ((UNKNOWN_COEFFICIENT_NOTE, {}),)
    return _compensated(entry, stated.value / 100.0), ()


def _compensated(entry: Entry, coefficient: float, difference: float = 0.0) -> Sensitivity:
    """A reading that a meter referred to 25 °C with `coefficient` (1/K).

    The water's own coefficient is taken to lie within 0.019 ± 0.002 per K; the error left by the
    meter is bounded by the farther end of that span.
    """
    kappa25, half_digit = _conductivity(entry)
    temperature = entry.readings["temperature"]
    off = abs(coefficient - WATER_COEFFICIENT_PER_K) + COEFFICIENT_HALF_WIDTH_PER_K
    return Sensitivity(
        kappa25=kappa25,
        reading_half_width=half_digit,
        temp_c=temperature.value,
        temp_resolution=temperature.resolution,
        slope_per_k=_linear_slope(coefficient, temperature.value),
        coefficient_half_width=_linear_slope(off, temperature.value, coefficient),
        dial_difference_c=difference,
    )


def _uncompensated(entry: Entry) -> Found:
    if entry.choices["rule"] == "natural_water":
        return _natural_water(entry), ()
    stated = entry.readings.get("coefficient")
    if stated is None:
        raise EntryError("coefficient_needed", COEFFICIENT_NEEDED, field="coefficient")
    coefficient = stated.value / 100.0
    kappa_t, half_digit = _conductivity(entry)
    temperature = entry.readings["temperature"]
    kappa25 = float(linear_to_25c(kappa_t, temperature.value, coefficient))
    at = Sensitivity(
        kappa25=kappa25,
        reading_half_width=half_digit * kappa25 / kappa_t,
        temp_c=temperature.value,
        temp_resolution=temperature.resolution,
        slope_per_k=_linear_slope(coefficient, temperature.value),
        coefficient_half_width=_linear_slope(
            COEFFICIENT_HALF_WIDTH_PER_K, temperature.value, coefficient
        ),
    )
    return at, ()


def _natural_water(entry: Entry) -> Sensitivity:
    kappa_t, half_digit = _conductivity(entry)
    temperature = entry.readings["temperature"]
    try:
        factor = float(natural_water_factor(temperature.value))
    except OutOfValidity as error:
        raise EntryError(error.code, NATURAL_RANGE, error.params, field="temperature") from error
    return Sensitivity(
        kappa25=kappa_t * factor,
        reading_half_width=half_digit * factor,
        temp_c=temperature.value,
        temp_resolution=temperature.resolution,
        slope_per_k=_natural_slope(temperature.value, factor),
        coefficient_half_width=COEFFICIENT_HALF_WIDTH_PER_K * factor,
        factor_half_width=NATURAL_WATER_F25_HALF_WIDTH / factor,
    )


def _conductivity(entry: Entry) -> tuple[float, float]:
    """Return reading times cell constant, and half of the reading's last digit likewise, µS/cm."""
    reading, cell = entry.readings["reading"], entry.readings["cell_constant"]
    return reading.value * cell.value, reading.resolution * cell.value / 2.0


def _linear_slope(part: float, temp_c: float, coefficient: float | None = None) -> float:
    """Return part / (1 + coefficient (t - 25)): the relative slope of the linear rule at t, 1/K."""
    return part / (1.0 + (part if coefficient is None else coefficient) * (temp_c - 25.0))


def _natural_slope(temp_c: float, factor: float) -> float:
    """Return the relative slope of f25 over one degree, taken inside the table's range, 1/K."""
    low, high = max(temp_c - 0.5, 0.0), min(temp_c + 0.5, 35.9)
    rise = float(natural_water_factor(high)) - float(natural_water_factor(low))
    return abs(rise) / factor / (high - low)


_MODES = {
    "set_on_meter": _set_on_meter,
    "automatic": _automatic,
    "uncompensated": _uncompensated,
}

METHOD = Method(
    key="conductivity",
    version="1",
    name=gettext_noop("Conductivity by meter and cell"),
    purpose=gettext_noop(
        "Shows how much is dissolved in the water. Too much in the boiler carries over with the "
        "steam; blowdown brings it back."
    ),
    analytes=("conductivity",),
    modes=MODES,
    instruments=INSTRUMENTS,
    steps=STEPS,
    sample_ml=200.0,
    source="ISO 7888:1985; JCGM 100:2008; handling: common practice, no source",
    calculate=_calculate,
)
