"""Drum pressure read off its gauge, version 1, in kPa gauge.

A gauge below its tap carries the weight of the water in its line; it is taken off where the height
is given. Handling: common practice, no source.
"""

from chemistry.errors import EntryError
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.dials import (
    FULL_SCALE,
    GAUGE,
    LOOK_STRAIGHT,
    STAY_SAFE,
    full_scale,
    plant_result,
)
from chemistry.plant_budget import gauge
from chemistry.uncertainty import last_digit
from chemistry.words import gettext_noop

PRESSURE_UNITS = ("psig", "kPag", "barg")
CRITICAL_GAUGE_KPA = 21963.0
"""Above 22.064 MPa absolute there is no drum water: IAPWS R7-97(2012)."""
STANDARD_GRAVITY_M_S2 = 9.80665
"""3rd CGPM (1901)."""
COLD_WATER_KG_M3 = 998.2
"""Water in the gauge's line, at 20 °C: Tanaka et al., Metrologia 38:301 (2001)."""
VACUUM_KPA = -101.325
"""Nothing lies below a vacuum: 10th CGPM (1954)."""

BELOW_VACUUM = gettext_noop(
    "With so much water above the gauge the drum would be below a vacuum. Read both again."
)
READING = Field(
    key="reading",
    label=gettext_noop("Pressure on the gauge"),
    unit="kPag",
    units=PRESSURE_UNITS,
    low=VACUUM_KPA,
    high=CRITICAL_GAUGE_KPA,
    help=gettext_noop("As it stands when the load is steady."),
)
BELOW_TAP = Field(
    key="below_tap",
    carried="below_tap",
    label=gettext_noop("How far the gauge hangs below its tap"),
    unit="m",
    units=("m", "ft"),
    low=0.0,
    high=50.0,
    help=gettext_noop("0 if the gauge is at the drum or was already set for the water above it."),
    required=False,
    default="0",
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    reading = entry.readings["reading"]
    water_leg = COLD_WATER_KG_M3 * STANDARD_GRAVITY_M_S2 * entry.readings["below_tap"].value / 1e3
    components = (
        gauge(reading.value, full_scale(entry), facts.accuracy_percent),
        last_digit(reading.resolution / 2.0),
    )
    pressure = reading.value - water_leg
    if pressure < VACUUM_KPA:
        raise EntryError("below_vacuum", BELOW_VACUUM, field="below_tap")
    return (plant_result("drum_pressure", pressure, "kPag", components),)


METHOD = Method(
    key="drum_pressure",
    version="1",
    name=gettext_noop("Drum pressure"),
    purpose=gettext_noop("Limits of the water go by pressure; so do the safety valves."),
    analytes=("drum_pressure",),
    modes=(
        Mode(
            "dial",
            gettext_noop("Gauge"),
            gettext_noop("A dial or a display at the boiler or in the control room."),
            (READING, BELOW_TAP, FULL_SCALE),
        ),
    ),
    instruments=(GAUGE,),
    steps=(
        LOOK_STRAIGHT,
        STAY_SAFE,
        Step(
            gettext_noop(
                "A pressure near the safety valve's setting, or one that keeps climbing, is not a "
                "reading to write down first: act as your plant's procedure says."
            ),
            caution=True,
        ),
    ),
    sample_ml=0.0,
    source="3rd CGPM (1901); Tanaka et al. (2001); JCGM 100:2008; handling: common practice, no "
    "source",
    calculate=_calculate,
)
