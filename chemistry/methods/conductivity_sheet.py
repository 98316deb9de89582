"""What the conductivity test asks for and how it is done, version 1: fields, modes, steps.

The handling facts (200 mL, half an inch, bubbles, rinsing, never scrubbing) are common practice, no
source.
"""

from chemistry.methods.base import Field, InstrumentRole, Mode, Step
from chemistry.words import gettext_noop

SCALD_C = 60.0
"""A sample hotter than this is refused. The 60 °C (140 °F) is the highest blowoff water allowed to
a building drain by Ohio Administrative Code 4101:4-4-04 (2013), taken over here for hands and
bench."""
COOL_C = 38.0
"""The hottest sample that should be drawn: common practice, no source."""

_CONDUCTIVITY_UNITS = ("uS/cm", "umho/cm", "mS/cm")
_TEMPERATURE_UNITS = ("degC", "degF")
_TOO_HOT = gettext_noop(
    "%(typed)s %(unit)s can scald you. Do not test this sample: close the valve, see to the "
    "cooler, and draw again at 38 °C (100 °F) or less."
)
_FROZEN = gettext_noop(
    "A sample at %(typed)s %(unit)s would be ice. Check the sign and the unit, and read again."
)
_NO_READING = gettext_noop(
    "%(typed)s %(unit)s is less than pure water shows. The cell may be dry, above the water, or "
    "not plugged in."
)


def _reading(text: str) -> Field:
    return Field(
        key="reading",
        label=gettext_noop("Reading on the meter"),
        unit="uS/cm",
        units=_CONDUCTIVITY_UNITS,
        low=0.01,  # pure water at 0 °C shows 0.0115 µS/cm: IAPWS G1-90
        high=200000.0,
        help=text,
        decimals=0,
        too_low=_NO_READING,
    )


def _temperature(key: str, label: str, text: str) -> Field:
    return Field(
        key=key,
        label=label,
        unit="degC",
        units=_TEMPERATURE_UNITS,
        low=0.0,
        high=SCALD_C,
        help=text,
        decimals=1,
        too_low=_FROZEN,
        too_high=_TOO_HOT,
    )


SAMPLE_TEMPERATURE = _temperature(
    "temperature",
    gettext_noop("Temperature of the sample"),
    gettext_noop("Read it in the same water, at the same moment as the meter."),
)
DIAL_TEMPERATURE = _temperature(
    "dial",
    gettext_noop("Temperature set on the meter"),
    gettext_noop("What the temperature knob stood at when you balanced the meter."),
)
NEUTRALIZED = Field(
    key="neutralized",
    label=gettext_noop("Was the sample neutralized first?"),
    help=gettext_noop(
        "A neutralized sample reads lower. The limit says which of the two it means."
    ),
    choices=(("no", gettext_noop("Not neutralized")), ("yes", gettext_noop("Neutralized"))),
    default="no",
)
CELL_CONSTANT = Field(
    key="cell_constant",
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
            SAMPLE_TEMPERATURE,
            DIAL_TEMPERATURE,
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
            SAMPLE_TEMPERATURE,
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
            SAMPLE_TEMPERATURE,
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
    InstrumentRole("thermometer", gettext_noop("Thermometer"), "thermometer", required=False),
)

STEPS = (
    Step(
        gettext_noop(
            "Boiler water flashes to steam and scalds. Draw only through the cooler, with the "
            "cooling water on first, and wear the eye and hand protection your plant asks for."
        ),
        caution=True,
    ),
    Step(gettext_noop("Flush the sample line, then cool the sample to 38 °C (100 °F) or less.")),
    Step(gettext_noop("Rinse cell, thermometer and beaker with some of the sample; pour it away.")),
    Step(
        gettext_noop(
            "Fill the beaker with at least 200 mL. Hang the cell so that its vents are at least "
            "half an inch (13 mm) under the surface and it is half an inch clear of the sides and "
            "the bottom."
        )
    ),
    Step(gettext_noop("Move the cell up and down a few times to work the bubbles out.")),
    Step(gettext_noop("Read the thermometer in the beaker.")),
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
            "Rinse the cell with distilled water and leave it standing in distilled water; rinse "
            "it before it dries if it must be stored dry."
        )
    ),
    Step(gettext_noop("Never scrub the electrodes: it ruins the cell."), caution=True),
)
