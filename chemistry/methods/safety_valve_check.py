"""Safety valve, version 1: lifted by its lever, or opened by pressure.

The pressures are held against the Code from memory; the Code in force and the plant's procedure
decide. Handling: common practice, no source.
"""

from chemistry.checks import DID_NOT_WORK, NOT_DONE, WORKED
from chemistry.errors import EntryError
from chemistry.methods import checking
from chemistry.methods.base import (
    Entry,
    Field,
    InstrumentFacts,
    Method,
    Mode,
    Outcome,
    Step,
    Worked,
)
from chemistry.methods.dials import FULL_SCALE, GAUGE, full_scale, plant_result
from chemistry.plant_budget import gauge
from chemistry.safety_valve import LEVER_SHARE, popping_tolerance_kpa
from chemistry.uncertainty import last_digit
from chemistry.units import convert, label
from chemistry.words import gettext_noop

OFF_SETTING_NOTE = gettext_noop(
    "It opened %(off)s %(unit)s away from its setting; about %(allowed)s is allowed. Have it seen "
    "to by a qualified shop. Never change its setting yourself."
)
TOO_LITTLE_NOTE = gettext_noop(
    "A valve lifted by hand with less than three quarters of its setting under it may not seat "
    "again, and proves little."
)
OPENED_TOO_HIGH = gettext_noop(
    "A valve that opens only above what is allowed did not work. Choose “did not work” and act on "
    "it."
)
PRESSURES = ("psig", "kPag", "barg")


def _pressure(key: str, name: str, text: str) -> Field:
    return Field(
        key=key,
        label=name,
        unit="kPag",
        units=PRESSURES,
        low=1.0,
        high=25000.0,
        help=text,
        required=False,
        carried="setting" if key == "setting" else "",
    )


SETTING = _pressure(
    "setting",
    gettext_noop("Setting of the valve"),
    gettext_noop("Stamped on its plate."),
)
LEVER = checking.outcome_field(
    gettext_noop("It lifted, blew, and shut tight"),
    gettext_noop("It stuck, or leaks now"),
)
POPPED = checking.outcome_field(
    gettext_noop("It opened with a pop, and shut tight"),
    gettext_noop("It did not open, simmered, or leaks now"),
)
MODES = (
    Mode(
        "lever",
        gettext_noop("Lifted by its lever"),
        gettext_noop("By hand, from a safe place, with the boiler near its working pressure."),
        checking.check_fields(
            LEVER,
            SETTING,
            _pressure(
                "pressure",
                gettext_noop("Pressure under it when lifted"),
                gettext_noop("On the boiler's gauge, just before."),
            ),
        ),
    ),
    Mode(
        "pressure",
        gettext_noop("Opened by pressure"),
        gettext_noop("The pressure is raised until it opens: licensed people only."),
        checking.check_fields(
            POPPED,
            SETTING,
            _pressure(
                "pressure",
                gettext_noop("Pressure at which it opened"),
                gettext_noop("On a gauge that was checked for this."),
            ),
            FULL_SCALE,
        ),
    ),
)
STEPS = (
    checking.ADVISORY,
    checking.SECOND_PERSON,
    Step(
        gettext_noop(
            "It blows with a roar: hearing and eye protection on, nobody near the outlet, and use "
            "a chain or cord long enough to stand clear."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Never gag a valve, never add weight, never change its setting. If the pressure passes "
            "the setting and it stays shut, cut the fire at once."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Lever: with at least three quarters of its setting under it, lift it wide open, hold "
            "it until it has blown clear, and let it snap shut."
        )
    ),
    Step(gettext_noop("Pressure: watch the gauge, and write at what pressure it opened.")),
    Step(gettext_noop("Look and listen that it is tight again.")),
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    """A valve that opened has a pressure; one that was lifted by hand or stayed shut has none."""
    reading = entry.readings.get("pressure")
    if mode != "pressure" or reading is None or entry.choices["outcome"] == NOT_DONE:
        return ()
    parts = (
        gauge(reading.value, full_scale(entry), facts.accuracy_percent),
        last_digit(reading.resolution / 2.0),
    )
    return (plant_result("safety_valve_pressure", reading.value, "kPag", parts),)


def _conclude(mode: str, entry: Entry) -> tuple[Outcome, ...]:
    checking.refuse_idle_reason(entry, "outcome")
    found = checking.concluded("safety_valve", entry)
    if found.outcome == NOT_DONE or (
        found.outcome == DID_NOT_WORK and "pressure" not in entry.readings
    ):
        return (found,)
    pressure, setting = checking.needed(entry, "pressure"), checking.needed(entry, "setting")
    if mode == "lever":
        low = pressure < LEVER_SHARE * setting
        return (checking.with_note(found, TOO_LITTLE_NOTE) if low else found,)
    off, allowed = pressure - setting, float(popping_tolerance_kpa(setting))
    if off > allowed and found.outcome == WORKED:
        raise EntryError("opened_too_high", OPENED_TOO_HIGH, field="outcome")
    if abs(off) <= allowed:
        return (found,)
    unit = entry.readings["setting"].unit
    params = {
        "off": f"{convert(abs(off), 'kPag', unit):.3g}",
        "allowed": f"{convert(allowed, 'kPag', unit):.3g}",
        "unit": label(unit),
    }
    return (checking.with_note(found, OFF_SETTING_NOTE, params),)


METHOD = Method(
    key="safety_valve",
    version="1",
    name=gettext_noop("Safety valve"),
    purpose=gettext_noop("The last guard against a boiler that bursts."),
    analytes=("safety_valve_pressure",),
    modes=MODES,
    instruments=(GAUGE,),
    steps=STEPS,
    sample_ml=0.0,
    source="ASME Boiler and Pressure Vessel Code, Section I (2015), PG-72.2 and PG-73.1.3 (from "
    "memory); else common practice, no source",
    calculate=_calculate,
    checks=("safety_valve",),
    conclude=_conclude,
)
