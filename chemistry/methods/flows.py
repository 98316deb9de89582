"""Flow meters of the plant, version 1 each: steam, feedwater, makeup, returned condensate.

A meter shows mass or volume. Volume is turned into mass only where the water's temperature at the
meter is given (IAPWS-IF97); else the mass is not worked and a note says so.
"""

from dataclasses import dataclass, replace

from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.dials import (
    LOOK_STRAIGHT,
    PLANT_BASIS,
    STAY_SAFE,
    dial_result,
)
from chemistry.methods.metering import (
    MASS_FLOW_UNITS,
    MASS_UNITS,
    METER,
    VOLUME_FLOW_UNITS,
    VOLUME_UNITS,
    dial_mode,
    flow_field,
    register_fields,
    register_mode,
    register_results,
    through,
)
from chemistry.plant_budget import STEAM_METER_PERCENT, WATER_METER_PERCENT
from chemistry.uncertainty import PRACTICE, Budget, Component, rectangular
from chemistry.water import (
    LIQUID_RANGE_C,
    density_kg_m3,
    saturated_liquid_density_kg_m3,
    saturation_pressure_kpa,
)
from chemistry.words import gettext_noop

HIGHEST_KG_H = 5e6
"""No boiler makes more steam: rule of our own."""
HIGHEST_M3_H = 5e3
"""No boiler takes more water: rule of our own."""
METER_TEMPERATURE_HALF_WIDTH_C = 2.0
"""How well the water's temperature at the meter is known, ±: common practice, no source."""
DENSER_UNDER_PRESSURE = 0.006
"""Share by which water up to 160 °C is denser under 10 MPa: IAPWS R7-97(2012), region 1."""

NO_MASS_NOTE = gettext_noop(
    "The mass was not worked out: it needs the temperature of the water at the meter."
)
AT_METER = Field(
    key="temperature",
    label=gettext_noop("Temperature of the water at the meter"),
    unit="degC",
    units=("degC", "degF"),
    low=0.0,
    high=160.0,
    help=gettext_noop("Leave it empty if you don't know it; the mass is then not worked out."),
    required=False,
)

STEPS = (
    LOOK_STRAIGHT,
    STAY_SAFE,
    Step(
        gettext_noop("Check the unit on the face, and whether one count stands for 1, 10 or 100.")
    ),
    Step(gettext_noop("Write the time with a register; a flow is only as good as its clock.")),
)
SOURCE = "IAPWS R7-97(2012) for density; JCGM 100:2008; common practice, no source"


@dataclass(frozen=True)
class _Flow:
    """One meter: the key that its analytes begin with, and its default limits of error."""

    stem: str
    percent: float

    @property
    def mass(self) -> tuple[str, str]:
        return f"{self.stem}_flow", f"{self.stem}_mass"

    @property
    def volume(self) -> tuple[str, str]:
        return f"{self.stem}_volume_flow", f"{self.stem}_volume"

    def work(self, mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
        percents = (self.percent, facts.accuracy_percent)
        if mode == "dial":
            return (dial_result(self.mass[0], "kg/h", entry, facts, self.percent),)
        if mode == "register":
            seen = through(entry)
            return register_results(self.mass, ("kg/h", "kg"), seen, HIGHEST_KG_H, percents)
        if mode == "dial_volume":
            found = (dial_result(self.volume[0], "m**3/h", entry, facts, self.percent),)
            return self._with_mass(entry, found)
        seen = through(entry)
        two = register_results(self.volume, ("m**3/h", "m**3"), seen, HIGHEST_M3_H, percents)
        return self._with_mass(entry, two)

    def _with_mass(self, entry: Entry, found: tuple[Worked, ...]) -> tuple[Worked, ...]:
        temperature = entry.readings.get("temperature")
        if temperature is None:
            return tuple(replace(each, notes=((NO_MASS_NOTE, {}),)) for each in found)
        pairs = zip(found, self.mass, ("kg/h", "kg"), strict=False)
        masses = (_as_mass(each, name, unit, temperature.value) for each, name, unit in pairs)
        return (*found, *masses)


def _density(temp_c: float) -> float:
    """Liquid water at one atmosphere, when hotter at its boiling pressure, kg/m³."""
    if temp_c <= LIQUID_RANGE_C[1]:
        return float(density_kg_m3(temp_c))
    return float(saturated_liquid_density_kg_m3(saturation_pressure_kpa(temp_c)))


def _as_mass(volume: Worked, analyte: str, unit: str, temp_c: float) -> Worked:
    density, warmer = _density(temp_c), _density(temp_c + METER_TEMPERATURE_HALF_WIDTH_C)
    off = abs(warmer - density) + density * DENSER_UNDER_PRESSURE
    scaled = tuple(
        Component(p.name, p.u * density, p.dof, p.kind, p.distribution, p.source)
        for p in volume.budget.components
    )
    part = rectangular(gettext_noop("density"), volume.value * off, source=PRACTICE)
    kept = (*scaled, part) if part.u > 0.0 else scaled  # nothing went through: nothing to add
    return Worked(analyte, volume.value * density, unit, "", PLANT_BASIS, Budget(kept))


MASS_MODES = (
    dial_mode("dial", (flow_field(MASS_FLOW_UNITS, HIGHEST_KG_H),)),
    register_mode("register", register_fields(MASS_UNITS)),
)
VOLUME_MODES = (
    dial_mode("dial_volume", (flow_field(VOLUME_FLOW_UNITS, HIGHEST_M3_H), AT_METER)),
    register_mode("register_volume", (*register_fields(VOLUME_UNITS), AT_METER)),
)


def _method(
    key: str, flow: _Flow, name: str, purpose: str, modes: tuple[Mode, ...], steps: tuple[Step, ...]
) -> Method:
    volume = flow.volume if VOLUME_MODES[0] in modes else ()
    return Method(
        key=key,
        version="1",
        name=name,
        purpose=purpose,
        analytes=(*flow.mass, *volume),
        modes=modes,
        instruments=(METER,),
        steps=(*steps, *STEPS),
        sample_ml=0.0,
        source=SOURCE,
        calculate=flow.work,
    )


METHODS = (
    _method(
        "steam_flow",
        _Flow("steam", STEAM_METER_PERCENT),
        gettext_noop("Steam flow (load)"),
        gettext_noop("How hard the boiler works: blowdown and feed of chemicals go by it."),
        MASS_MODES,
        (Step(gettext_noop("A steam meter reads right only near the pressure it was made for.")),),
    ),
    _method(
        "feed_meter",
        _Flow("feed", WATER_METER_PERCENT),
        gettext_noop("Feedwater meter"),
        gettext_noop("What enters the boiler; with the steam flow it tells the blowdown."),
        (*MASS_MODES, *VOLUME_MODES),
        (),
    ),
    _method(
        "makeup_meter",
        _Flow("makeup", WATER_METER_PERCENT),
        gettext_noop("Makeup meter"),
        gettext_noop("Raw water made up for what was lost: a rise tells of a leak."),
        (*reversed(VOLUME_MODES), *MASS_MODES),
        (),
    ),
    _method(
        "condensate_return",
        _Flow("condensate", WATER_METER_PERCENT),
        gettext_noop("Condensate returned"),
        gettext_noop("Clean hot water that comes back; less of it means more makeup and fuel."),
        (*VOLUME_MODES, *MASS_MODES),
        (),
    ),
)
