"""Pieces that several methods share: the sample's temperature, drawing hot water, the thermometer.

The handling facts are common practice, no source, except where one stands beside them.
"""

from chemistry.errors import EntryError
from chemistry.methods.base import Entry, Field, InstrumentRole, Step
from chemistry.words import gettext_noop

SCALD_C = 60.0
"""A sample hotter than this is refused. The 60 °C (140 °F) is the highest blowoff water allowed to
a building drain by Ohio Administrative Code 4101:4-4-04 (2013), taken over here for hands and
bench."""
COOL_C = 38.0
"""The hottest sample that should be drawn: common practice, no source."""

MAX_DIAL_DIFFERENCE_C = 2.0
"""A knob further from the sample's temperature than this asks for a new reading: rule of our
own."""

TEMPERATURE_UNITS = ("degC", "degF")

TOO_HOT = gettext_noop(
    "%(typed)s %(unit)s can scald you. Do not test this sample: close the valve, see to the "
    "cooler, and draw again at 38 °C (100 °F) or less."
)
FROZEN = gettext_noop(
    "A sample at %(typed)s %(unit)s would be ice. Check the sign and the unit, and read again."
)
HOT_NOTE = gettext_noop(
    "The sample was above 38 °C (100 °F): it can scald and it reads less surely. Cool it better."
)
DIAL_DIFFERS = gettext_noop(
    "The meter was set to %(dial)s °C but the sample was at %(temperature)s °C. Set the knob to "
    "the sample's temperature and read again."
)
DIAL_NOTE = gettext_noop("The knob stood %(difference)s °C away from the sample's temperature.")


def temperature_field(key: str, label: str, text: str) -> Field:
    """Return a field for a water temperature on the bench, in °C: below 0 it would be ice, above
    SCALD_C it is refused."""
    return Field(
        key=key,
        label=label,
        unit="degC",
        units=TEMPERATURE_UNITS,
        low=0.0,
        high=SCALD_C,
        help=text,
        decimals=1,
        too_low=FROZEN,
        too_high=TOO_HOT,
    )


SAMPLE_TEMPERATURE = temperature_field(
    "temperature",
    gettext_noop("Temperature of the sample"),
    gettext_noop("Read it in the same water, at the same moment as the meter."),
)
DIAL_TEMPERATURE = temperature_field(
    "dial",
    gettext_noop("Temperature set on the meter"),
    gettext_noop("What the temperature knob stood at when you balanced the meter."),
)

THERMOMETER = InstrumentRole(
    "thermometer", gettext_noop("Thermometer"), "thermometer", required=False
)

DRAW_THROUGH_COOLER = Step(
    gettext_noop(
        "Boiler water flashes to steam and scalds. Draw only through the cooler, with the "
        "cooling water on first, and wear the eye and hand protection your plant asks for."
    ),
    caution=True,
)
FLUSH_AND_COOL = Step(
    gettext_noop("Flush the sample line, then cool the sample to 38 °C (100 °F) or less.")
)
READ_THERMOMETER = Step(gettext_noop("Read the thermometer in the beaker."))


def warm_notes(temp_c: float) -> tuple[tuple[str, dict[str, str]], ...]:
    """Return the note that a sample drawn above COOL_C carries, or none; `temp_c` in °C."""
    return ((HOT_NOTE, {}),) if temp_c > COOL_C else ()


def dial_difference(entry: Entry) -> tuple[float, tuple[tuple[str, dict[str, str]], ...]]:
    """Return how far the sample was from the knob, °C, and the note that this deserves, if any.

    Errors: EntryError beside the knob where it is more than MAX_DIAL_DIFFERENCE_C.
    """
    sample, dial = entry.readings["temperature"].value, entry.readings["dial"].value
    difference = sample - dial
    if abs(difference) > MAX_DIAL_DIFFERENCE_C:
        params = {"dial": f"{dial:.1f}", "temperature": f"{sample:.1f}"}
        raise EntryError("dial_differs", DIAL_DIFFERS, params, field="dial")
    if difference:
        return difference, ((DIAL_NOTE, {"difference": f"{abs(difference):.1f}"}),)
    return difference, ()
