"""Deaerator pressure and temperature, version 1, held against boiling.

Water gives up its oxygen only where it boils: the outlet should be within 2 °F of boiling at the
pressure of the vessel (UFC 3-240-13FN (2005), note to Table 3-2).
"""

from chemistry.deaerator import ALLOWED_GAP_K, ALTITUDE_RANGE_M, boiling_c
from chemistry.errors import EntryError, OutOfValidity
from chemistry.methods.base import (
    Entry,
    Field,
    InstrumentFacts,
    InstrumentRole,
    Method,
    Mode,
    Step,
    Worked,
)
from chemistry.methods.dials import (
    FULL_SCALE,
    GAUGE,
    LOOK_STRAIGHT,
    STAY_SAFE,
    Notes,
    full_scale,
    plant_result,
)
from chemistry.plant_budget import gauge, thermometer
from chemistry.uncertainty import Component, last_digit
from chemistry.words import gettext_noop

TOO_COLD_NOTE = gettext_noop(
    "The outlet is %(gap)s °C below boiling (%(boiling)s °C at this pressure); within %(most)s °C "
    "(2 °F) is asked for. Oxygen stays in the water: see to the steam, the vent and the load."
)
TOO_HOT_NOTE = gettext_noop(
    "The outlet reads %(gap)s °C above boiling (%(boiling)s °C at this pressure), which can't be: "
    "the gauge, the thermometer or the altitude is wrong."
)
NO_SUCH_VACUUM = gettext_noop(
    "There is no such vacuum at this altitude. Check the sign, the unit, and the altitude."
)
PRESSURE = Field(
    key="pressure",
    label=gettext_noop("Deaerator pressure"),
    unit="kPag",
    units=("psig", "kPag", "barg"),
    low=-95.0,  # vacuum deaerators: common practice, no source
    high=1500.0,
    help=gettext_noop("On the steam space, as the gauge shows it."),
)
TEMPERATURE = Field(
    key="temperature",
    label=gettext_noop("Temperature of the water leaving it"),
    unit="degC",
    units=("degF", "degC"),
    low=0.0,
    high=210.0,
    help=gettext_noop("At the outlet of the storage tank."),
    decimals=1,
)
ALTITUDE = Field(
    key="altitude",
    carried="altitude",
    label=gettext_noop("Altitude of the plant"),
    unit="m",
    units=("m", "ft"),
    low=ALTITUDE_RANGE_M[0],
    high=ALTITUDE_RANGE_M[1],
    help=gettext_noop("Above sea level: water boils cooler where the air is thinner."),
    required=False,
    default="0",
)
INSTRUMENTS = (
    GAUGE,
    InstrumentRole("thermometer", gettext_noop("Thermometer"), "thermometer", required=False),
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    pressure, temperature = entry.readings["pressure"], entry.readings["temperature"]
    altitude = entry.readings["altitude"].value
    boiling, per_kpa = _boiling(pressure.value, altitude)
    gauge_parts = (
        gauge(pressure.value, full_scale(entry), facts.accuracy_percent),
        last_digit(pressure.resolution / 2.0),
    )
    heat_parts = (thermometer(facts.thermometer_u_k), last_digit(temperature.resolution / 2.0))
    gap = plant_result(
        "deaerator_gap",
        boiling - temperature.value,
        "K",
        (*heat_parts, *_scaled(gauge_parts, per_kpa)),
    )
    notes = _notes(gap, boiling)
    return (
        plant_result("deaerator_pressure", pressure.value, "kPag", gauge_parts),
        plant_result("deaerator_temperature", temperature.value, "degC", heat_parts),
        plant_result(gap.analyte, gap.value, gap.unit, gap.budget.components, notes),
    )


def _boiling(gauge_kpa: float, altitude_m: float) -> tuple[float, float]:
    """Return the boiling temperature, °C, and its rise for 1 kPa more. Errors: EntryError beside
    the pressure where it lies below a vacuum."""
    try:
        boiling = float(boiling_c(gauge_kpa, altitude_m))
        return boiling, float(boiling_c(gauge_kpa + 1.0, altitude_m)) - boiling
    except OutOfValidity as error:
        raise EntryError("no_such_vacuum", NO_SUCH_VACUUM, field="pressure") from error


def _scaled(components: tuple[Component, ...], per_kpa: float) -> tuple[Component, ...]:
    """Return the gauge's parts carried to the temperature; the names say which gauge it was."""
    names = (gettext_noop("pressure gauge"), gettext_noop("last digit of the pressure"))
    return tuple(
        Component(name, p.u * per_kpa, p.dof, p.kind, p.distribution, p.source)
        for name, p in zip(names, components, strict=True)
    )


def _notes(gap: Worked, boiling: float) -> Notes:
    """Too cold is told from 2 °F on; too hot only where the uncertainty does not explain it."""
    params = {
        "gap": f"{abs(gap.value):.1f}",
        "boiling": f"{boiling:.1f}",
        "most": f"{ALLOWED_GAP_K:.1f}",
    }
    if gap.value > ALLOWED_GAP_K:
        return ((TOO_COLD_NOTE, params),)
    return ((TOO_HOT_NOTE, params),) if gap.value < -gap.budget.expanded else ()


METHOD = Method(
    key="deaerator",
    version="1",
    name=gettext_noop("Deaerator pressure and temperature"),
    purpose=gettext_noop(
        "Shows whether the deaerator boils its water. If it does not, oxygen goes to the boiler."
    ),
    analytes=("deaerator_pressure", "deaerator_temperature", "deaerator_gap"),
    modes=(
        Mode(
            "dial",
            gettext_noop("Gauge and thermometer"),
            gettext_noop("Read both at the same moment, with the load steady."),
            (PRESSURE, TEMPERATURE, ALTITUDE, FULL_SCALE),
        ),
    ),
    instruments=INSTRUMENTS,
    steps=(
        LOOK_STRAIGHT,
        STAY_SAFE,
        Step(gettext_noop("Look at the vent too: a light plume should leave it all the time.")),
    ),
    sample_ml=0.0,
    source="UFC 3-240-13FN (2005), Table 3-2 and its note; IAPWS R7-97(2012); ISO 2533:1975 (from "
    "memory); JCGM 100:2008",
    calculate=_calculate,
)
