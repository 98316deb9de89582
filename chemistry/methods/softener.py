"""What a softener let through since it was regenerated, version 1, in m³.

Handling: common practice, no source.
"""

from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.dials import LOOK_STRAIGHT, STAY_SAFE, Notes, plant_result
from chemistry.methods.metering import (
    METER,
    MOST_COUNTED,
    VOLUME_UNITS,
    register_fields,
    through,
)
from chemistry.plant_budget import WATER_METER_PERCENT, instrument, two_last_digits
from chemistry.uncertainty import last_digit
from chemistry.words import gettext_noop

SPENT_NOTE = gettext_noop(
    "The softener has let through more than it is rated for: regenerate it, and test the hardness "
    "of its water now."
)


def _volume(key: str, name: str, text: str, *, required: bool = True) -> Field:
    return Field(
        key=key,
        label=name,
        unit="m**3",
        units=VOLUME_UNITS,
        low=0.0 if required else 0.001,
        high=MOST_COUNTED,
        help=text,
        required=required,
        carried="" if required else key,
    )


RATED = _volume(
    "rated",
    gettext_noop("What it may let through between regenerations"),
    gettext_noop("From its sheet, for the hardness of your raw water. Leave it empty if unknown."),
    required=False,
)
MODES = (
    Mode(
        "since_regeneration",
        gettext_noop("Meter set to 0 at regeneration"),
        gettext_noop("The meter itself shows what has gone through since."),
        (
            _volume(
                "reading",
                gettext_noop("Volume on the meter"),
                gettext_noop("Since the last regeneration."),
            ),
            RATED,
        ),
    ),
    Mode(
        "register",
        gettext_noop("Counting meter from-to"),
        gettext_noop("What it showed when the softener was regenerated, and what it shows now."),
        (*register_fields(VOLUME_UNITS, timed=False), RATED),
    ),
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    if mode == "register":
        seen = through(entry)
        value, digits = seen.amount, two_last_digits(seen.first_step, seen.last_step)
    else:
        reading = entry.readings["reading"]
        value, digits = reading.value, last_digit(reading.resolution / 2.0)
    parts = (instrument(value, WATER_METER_PERCENT, facts.accuracy_percent), digits)
    rated = entry.readings.get("rated")
    notes: Notes = ((SPENT_NOTE, {}),) if rated and value > rated.value else ()
    return (plant_result("softener_throughput", value, "m**3", parts, notes),)


METHOD = Method(
    key="softener_throughput",
    version="1",
    name=gettext_noop("Softener throughput since regeneration"),
    purpose=gettext_noop(
        "A softener lets hardness through once it is spent: this tells before the boiler does."
    ),
    analytes=("softener_throughput",),
    modes=MODES,
    instruments=(METER,),
    steps=(
        LOOK_STRAIGHT,
        STAY_SAFE,
        Step(gettext_noop("Check the unit on the face: m³, liters, or gallons by the thousand.")),
    ),
    sample_ml=0.0,
    source="JCGM 100:2008; handling: common practice, no source",
    calculate=_calculate,
)
