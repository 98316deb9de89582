"""Settings and levels, version 1 each: continuous blowdown valve, chemical pump, tank level.

Each is a share of the whole, in percent. Handling: common practice, no source.
"""

from chemistry.errors import EntryError
from chemistry.methods.base import Entry, Field, InstrumentFacts, Method, Mode, Step, Worked
from chemistry.methods.dials import LOOK_STRAIGHT, STAY_SAFE, plant_result
from chemistry.plant_budget import setting
from chemistry.uncertainty import last_digit
from chemistry.words import gettext_noop

MORE_THAN_WHOLE = gettext_noop("%(part)s is more than the whole, %(whole)s. Read both again.")
SHARE = "percent_of_span"


def _percent(key: str, name: str, text: str, *, required: bool = True) -> Field:
    return Field(
        key=key,
        label=name,
        unit=SHARE,
        units=(SHARE,),
        low=0.0,
        high=100.0,
        help=text,
        required=required,
    )


def _length(key: str, name: str, unit: str, unit_keys: tuple[str, ...], text: str) -> Field:
    whole = key.startswith("full")
    return Field(
        key=key,
        label=name,
        unit=unit,
        units=unit_keys,
        low=0.1 if whole else 0.0,
        high=1e5,
        help=text,
        carried=key if whole else "",
    )


def _shown(analyte: str, entry: Entry, field: str = "reading") -> Worked:
    reading = entry.readings[field]
    parts = (setting(), last_digit(reading.resolution / 2.0))
    return plant_result(analyte, reading.value, SHARE, parts)


def _share(analyte: str, entry: Entry, part_key: str, whole_key: str) -> Worked:
    """Return part over whole. Errors: EntryError more_than_whole beside the part."""
    part, whole = entry.readings[part_key], entry.readings[whole_key]
    if part.value > whole.value:
        params = {"part": part.normalized, "whole": whole.normalized}
        raise EntryError("more_than_whole", MORE_THAN_WHOLE, params, field=part_key)
    per_unit = 100.0 / whole.value
    share = part.value * per_unit
    whole_half = share * whole.resolution / 2.0 / whole.value
    parts = (
        setting(),
        last_digit(part.resolution * per_unit / 2.0),
        last_digit(whole_half, gettext_noop("last digit of the whole")),
    )
    return plant_result(analyte, share, SHARE, parts)


def _blowdown_valve(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    if mode == "percent":
        return (_shown("blowdown_valve", entry),)
    return (_share("blowdown_valve", entry, "turns", "full_turns"),)


def _pump(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    stroke = _shown("pump_stroke", entry)
    return (
        (stroke, _shown("pump_speed", entry, "speed")) if mode == "stroke_and_speed" else (stroke,)
    )


def _tank(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    if mode == "percent":
        return (_shown("tank_level", entry),)
    return (_share("tank_level", entry, "height", "full_height"),)


TURNS = ("valve_turn",)
HEIGHTS = ("mm", "cm", "m", "inch", "ft")
STROKE = _percent(
    "reading",
    gettext_noop("Stroke on the pump's scale"),
    gettext_noop("Where the pointer stands now, before you change anything."),
)
BLOWDOWN_MODES = (
    Mode(
        "percent",
        gettext_noop("Scale in percent"),
        gettext_noop("The valve has a pointer or a display from 0 to 100."),
        (
            _percent(
                "reading",
                gettext_noop("Opening of the valve"),
                gettext_noop("0 is shut, 100 is wide open."),
            ),
        ),
    ),
    Mode(
        "turns",
        gettext_noop("Turns of the handwheel"),
        gettext_noop("The valve has no scale; its turns from shut are known."),
        (
            _length(
                "turns",
                gettext_noop("Turns open"),
                "valve_turn",
                TURNS,
                gettext_noop("From shut. Look at the plant's mark; don't shut it to count."),
            ),
            _length(
                "full_turns",
                gettext_noop("Turns from shut to wide open"),
                "valve_turn",
                TURNS,
                gettext_noop("From the valve's sheet, or counted when it was last overhauled."),
            ),
        ),
    ),
)
PUMP_MODES = (
    Mode(
        "stroke",
        gettext_noop("Stroke"),
        gettext_noop("The pump has a scale for its stroke alone."),
        (STROKE,),
    ),
    Mode(
        "stroke_and_speed",
        gettext_noop("Stroke and speed"),
        gettext_noop("The pump has a scale for its stroke and one for its speed."),
        (
            STROKE,
            _percent(
                "speed",
                gettext_noop("Speed on the pump's scale"),
                gettext_noop("In percent of its full speed."),
            ),
        ),
    ),
)
TANK_MODES = (
    Mode(
        "percent",
        gettext_noop("Scale in percent"),
        gettext_noop("The tank has a scale or a display from 0 to 100."),
        (
            _percent(
                "reading",
                gettext_noop("Level in the tank"),
                gettext_noop("0 is empty, 100 is full to its mark."),
            ),
        ),
    ),
    Mode(
        "height",
        gettext_noop("Height in the glass"),
        gettext_noop("Height of the liquid, and height when full. Right for upright walls only."),
        (
            _length(
                "height",
                gettext_noop("Height of the liquid"),
                "mm",
                HEIGHTS,
                gettext_noop("From the bottom, or from where the scale begins."),
            ),
            _length(
                "full_height",
                gettext_noop("Height when full"),
                "mm",
                HEIGHTS,
                gettext_noop("Measured from the same place."),
            ),
        ),
    ),
)
CHEMICAL_CAUTION = Step(
    gettext_noop(
        "What is in the tank may burn skin and eyes: face shield, gloves and apron before you open "
        "it or lean over it."
    ),
    caution=True,
)
BLOWDOWN_CAUTION = Step(
    gettext_noop("The pipe is as hot as the boiler. Only look; change nothing for the reading."),
    caution=True,
)
SOURCE = "JCGM 100:2008; handling: common practice, no source"

METHODS = (
    Method(
        key="blowdown_valve",
        version="1",
        name=gettext_noop("Continuous blowdown valve"),
        purpose=gettext_noop("How far it stood open explains where dissolved solids went."),
        analytes=("blowdown_valve",),
        modes=BLOWDOWN_MODES,
        instruments=(),
        steps=(LOOK_STRAIGHT, STAY_SAFE, BLOWDOWN_CAUTION),
        sample_ml=0.0,
        source=SOURCE,
        calculate=_blowdown_valve,
    ),
    Method(
        key="pump_stroke",
        version="1",
        name=gettext_noop("Chemical pump setting"),
        purpose=gettext_noop("What the pump was set to explains where the chemicals went."),
        analytes=("pump_stroke", "pump_speed"),
        modes=PUMP_MODES,
        instruments=(),
        steps=(LOOK_STRAIGHT, STAY_SAFE, CHEMICAL_CAUTION),
        sample_ml=0.0,
        source=SOURCE,
        calculate=_pump,
    ),
    Method(
        key="tank_level",
        version="1",
        name=gettext_noop("Tank level"),
        purpose=gettext_noop("Shows that there is enough left, and how fast it is used."),
        analytes=("tank_level",),
        modes=TANK_MODES,
        instruments=(),
        steps=(LOOK_STRAIGHT, STAY_SAFE, CHEMICAL_CAUTION),
        sample_ml=0.0,
        source=SOURCE,
        calculate=_tank,
    ),
)
