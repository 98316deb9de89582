"""Pieces that the plant readings share: their basis, and a result read off a dial."""

from chemistry.analytes import Basis
from chemistry.methods.base import Entry, Field, InstrumentFacts, InstrumentRole, Step, Worked
from chemistry.plant_budget import instrument
from chemistry.uncertainty import Budget, Component, last_digit
from chemistry.words import gettext_noop

PLANT_BASIS = Basis("any")

GAUGE = InstrumentRole("meter", gettext_noop("Gauge"), "pressure_gauge", required=False)

LOOK_STRAIGHT = Step(
    gettext_noop("Look at the dial straight on, from as near as it is safe to stand.")
)
STAY_SAFE = Step(
    gettext_noop(
        "Don't climb, reach over hot pipes or take off a guard to read it. Say “could not test” "
        "and why."
    ),
    caution=True,
)

FULL_SCALE = Field(
    key="full_scale",
    carried="full_scale",
    label=gettext_noop("Highest figure on the gauge"),
    unit="kPag",
    units=("psig", "kPag", "barg"),
    low=10.0,
    high=100000.0,
    help=gettext_noop("Tells how fine the gauge is. Leave it empty if you can't see it."),
    required=False,
)

Notes = tuple[tuple[str, dict[str, str]], ...]


def plant_result(
    analyte: str, value: float, unit: str, components: tuple[Component, ...], notes: Notes = ()
) -> Worked:
    """Return a plant reading as a result; components of zero are left out."""
    kept = Budget(tuple(part for part in components if part.u > 0.0))
    return Worked(analyte, value, unit, "", PLANT_BASIS, kept, notes)


def full_scale(entry: Entry) -> float | None:
    """Return the highest figure on the gauge, kPa, or None where it was not given."""
    reading = entry.readings.get("full_scale")
    return None if reading is None else reading.value


def dial_result(
    analyte: str, unit: str, entry: Entry, facts: InstrumentFacts, default_percent: float
) -> Worked:
    """Return what the dial of the field `reading` shows, in that field's unit; `default_percent`
    are limits of error, ± percent of reading."""
    reading = entry.readings["reading"]
    parts = (
        instrument(reading.value, default_percent, facts.accuracy_percent),
        last_digit(reading.resolution / 2.0),
    )
    return plant_result(analyte, reading.value, unit, parts)
