"""Conductivity of a water sample by meter and cell, version 1.

The result is the conductivity at 25 °C in µS/cm. Three ways of working are kept apart, since mixing
them up is the commonest error of the bench: set on the meter by hand, automatic, and corrected
here. The handling facts (200 mL, half an inch, bubbles, rinsing, the check with a standard,
never scrubbing) are common practice, no source.
"""

from chemistry.analytes import Basis
from chemistry.conductivity_budget import (
    Observed,
    Sensitivity,
    budget,
    referred_as_natural_water,
    referred_by_meter,
    referred_linearly,
)
from chemistry.errors import EntryError, OutOfValidity
from chemistry.methods import parts
from chemistry.methods.base import (
    Entry,
    Field,
    InstrumentFacts,
    InstrumentRole,
    Method,
    Mode,
    Origin,
    Step,
    Worked,
)
from chemistry.plausibility import other_units
from chemistry.words import gettext_noop

CONDUCTIVITY_UNITS = ("uS/cm", "umho/cm", "mS/cm")
METER_COEFFICIENT_PER_K = 0.02
"""What most meters correct with unless set otherwise: common practice, no source."""

COEFFICIENT_NEEDED = gettext_noop(
    "The straight line needs the water's coefficient; 1.9 suits most."
)
NATURAL_RANGE = gettext_noop(
    "The natural-water factors end at 35.9 °C. Cool the sample, or use the straight line."
)
UNKNOWN_COEFFICIENT_NOTE = gettext_noop("The meter's coefficient is not known; 2 %%/°C was taken.")
NO_READING = gettext_noop(
    "%(typed)s %(unit)s is less than pure water shows. The cell may be dry, above the water, or "
    "not plugged in."
)


def _reading(text: str) -> Field:
    return Field(
        key="reading",
        label=gettext_noop("Reading on the meter"),
        unit="uS/cm",
        units=CONDUCTIVITY_UNITS,
        low=0.01,  # pure water at 0 °C shows 0.0115 µS/cm: IAPWS G1-90
        high=200000.0,
        help=text,
        decimals=0,
        too_low=NO_READING,
    )


NEUTRALIZED = Field(
    key="neutralized",
    carried="neutralized",
    label=gettext_noop("Was the sample neutralized first?"),
    help=gettext_noop(
        "A neutralized sample reads lower. The limit says which of the two it means."
    ),
    choices=(("no", gettext_noop("Not neutralized")), ("yes", gettext_noop("Neutralized"))),
    default="no",
)
CELL_CONSTANT = Field(
    key="cell_constant",
    carried="cell_constant",
    label=gettext_noop("Cell constant, if the meter leaves it to you"),
    unit="1/cm",
    units=("1/cm",),
    low=0.01,
    high=100.0,
    help=gettext_noop("Leave 1 when the meter already allows for its cell."),
    required=False,
    default="1",
    decimals=3,
)
RULE = Field(
    key="rule",
    label=gettext_noop("How to refer it to 25 °C"),
    help=gettext_noop(
        "Boiler water: straight line. Natural water: raw water and makeup to 35.9 °C."
    ),
    choices=(
        ("linear", gettext_noop("Straight line with the coefficient below")),
        ("natural_water", gettext_noop("Natural water, ISO 7888")),
    ),
    default="linear",
)


def _coefficient(label: str, text: str, default: str) -> Field:
    return Field(
        key="coefficient",
        carried="coefficient",
        label=label,
        unit="%/K",
        units=("%/K",),
        low=0.5,
        high=6.0,  # pure condensate runs about 5 %/K: common practice, no source
        help=text,
        required=False,
        default=default,
        decimals=2,
    )


METER_COEFFICIENT = _coefficient(
    gettext_noop("Temperature coefficient set in the meter"),
    gettext_noop("Leave it empty if you don't know it; 2 %/°C is then taken, less surely."),
    "",
)
WATER_COEFFICIENT = _coefficient(
    gettext_noop("Temperature coefficient of this water"),
    gettext_noop("1.9 suits most waters; boiler water with caustic runs about 1.8."),
    "1.9",  # Hayashi, Environ. Monit. Assess. 96:119 (2004), as coded in public sources
)

MODES = (
    Mode(
        "set_on_meter",
        gettext_noop("Temperature set on the meter by hand"),
        gettext_noop("You read the thermometer, set the meter's knob to it, then balance."),
        (
            _reading(gettext_noop("What the meter shows once it is balanced and steady.")),
            parts.SAMPLE_TEMPERATURE,
            parts.DIAL_TEMPERATURE,
            NEUTRALIZED,
            CELL_CONSTANT,
        ),
    ),
    Mode(
        "automatic",
        gettext_noop("The meter corrects to 25 °C by itself"),
        gettext_noop("The meter has its own thermometer and shows the value at 25 °C."),
        (
            _reading(gettext_noop("What the meter shows once it is steady.")),
            parts.SAMPLE_TEMPERATURE,
            METER_COEFFICIENT,
            NEUTRALIZED,
            CELL_CONSTANT,
        ),
    ),
    Mode(
        "uncompensated",
        gettext_noop("The meter does not correct; it is worked out here"),
        gettext_noop("The meter's correction is off, or it has none."),
        (
            _reading(gettext_noop("What the meter shows at the sample's own temperature.")),
            parts.SAMPLE_TEMPERATURE,
            RULE,
            WATER_COEFFICIENT,
            NEUTRALIZED,
            CELL_CONSTANT,
        ),
    ),
)

INSTRUMENTS = (
    InstrumentRole("meter", gettext_noop("Meter"), "conductivity_meter", required=True),
    InstrumentRole("cell", gettext_noop("Cell"), "conductivity_cell", required=True),
    parts.THERMOMETER,
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    parts.FLUSH_AND_COOL,
    Step(
        gettext_noop(
            "Only where the limit is meant for neutralized water: add phenolphthalein to the "
            "cooled sample, then gallic acid, a pinch at a time, until the pink just goes, and "
            "say so on the sheet. Else add nothing."
        )
    ),
    Step(gettext_noop("Rinse cell, thermometer and beaker with some of the sample; pour it away.")),
    Step(
        gettext_noop(
            "Fill the beaker with at least 200 mL. Hang the cell so that its vents are at least "
            "half an inch (13 mm) under the surface and it is half an inch clear of the sides and "
            "the bottom."
        )
    ),
    Step(gettext_noop("Move the cell up and down a few times to work the bubbles out.")),
    parts.READ_THERMOMETER,
    Step(
        gettext_noop(
            "Set the sample's temperature on a meter that has a knob for it, then balance. Let a "
            "meter that corrects by itself settle. Never correct twice."
        )
    ),
    Step(
        gettext_noop("Read the meter. If it won't hold steady, clear the bubbles and read again.")
    ),
    Step(
        gettext_noop(
            "Rinse cell, thermometer and beaker with distilled water. Leave the cell standing in "
            "distilled water; rinse it before it dries if it must be stored dry."
        )
    ),
    Step(
        gettext_noop(
            "At least every three months, and whenever you doubt it, hold meter and cell against a "
            "standard of about 1400 µmho/cm at 25 °C: 1300 to 1500 is accepted. If it shows "
            "anything else, tell your supervisor before you rely on it."
        )
    ),
    Step(
        gettext_noop("Never scrub or rub the electrodes by hand: it ruins the cell."), caution=True
    ),
)

Notes = tuple[tuple[str, dict[str, str]], ...]


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    at, notes = _WORKED_BY[mode](entry)
    neutralized = entry.choices["neutralized"] == "yes"
    result = Worked(
        analyte="conductivity",
        value=at.kappa25,
        unit="uS/cm",
        qualifier="",
        basis=Basis("25C", "neutralized" if neutralized else "not_neutralized"),
        budget=budget(
            at,
            accuracy_percent=facts.accuracy_percent,
            cell_constant_u_percent=facts.cell_constant_u_percent,
            thermometer_u_k=facts.thermometer_u_k,
        ),
        notes=(*notes, *parts.warm_notes(at.temp_c)),
        origin=_origin(mode, entry, at.kappa25),
    )
    return (result,)


def _origin(mode: str, entry: Entry, kappa25: float) -> Origin:
    reading, cell = entry.readings["reading"], entry.readings["cell_constant"]
    temperature = entry.readings["temperature"]
    raw = reading.value * cell.value
    return Origin(
        raw=raw,
        resolution=reading.resolution * cell.value,
        corrected_by=kappa25 / raw if mode == "uncompensated" else None,
        unit_factors=other_units(reading.unit, CONDUCTIVITY_UNITS),
        temperature_c=temperature.value,
        temperature_unit=temperature.unit,
    )


def _set_on_meter(entry: Entry) -> tuple[Sensitivity, Notes]:
    """The knob's correction is the meter's own; what the knob was off by enters the budget."""
    difference, notes = parts.dial_difference(entry)
    return referred_by_meter(_observed(entry), METER_COEFFICIENT_PER_K, difference), notes


def _automatic(entry: Entry) -> tuple[Sensitivity, Notes]:
    """The meter's correction is taken as it is; how well its coefficient fits the water is not
    known."""
    seen, stated = _observed(entry), entry.readings.get("coefficient")
    if stated is None:
        return referred_by_meter(seen, METER_COEFFICIENT_PER_K), ((UNKNOWN_COEFFICIENT_NOTE, {}),)
    return referred_by_meter(seen, stated.value / 100.0), ()


def _uncompensated(entry: Entry) -> tuple[Sensitivity, Notes]:
    """The reading is that of the sample's own temperature; the rule chosen refers it to 25 °C."""
    seen = _observed(entry)
    if entry.choices["rule"] == "natural_water":
        try:
            return referred_as_natural_water(seen), ()
        except OutOfValidity as error:
            raise EntryError(
                error.code, NATURAL_RANGE, error.params, field="temperature"
            ) from error
    stated = entry.readings.get("coefficient")
    if stated is None:
        raise EntryError("coefficient_needed", COEFFICIENT_NEEDED, field="coefficient")
    return referred_linearly(seen, stated.value / 100.0), ()


def _observed(entry: Entry) -> Observed:
    """Return what was read, with the cell constant multiplied in."""
    reading, cell = entry.readings["reading"], entry.readings["cell_constant"]
    temperature = entry.readings["temperature"]
    return Observed(
        kappa=reading.value * cell.value,
        half_digit=reading.resolution * cell.value / 2.0,
        temp_c=temperature.value,
        temp_resolution=temperature.resolution,
    )


_WORKED_BY = {
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
    mode_question=gettext_noop("How does the meter handle temperature?"),
)
