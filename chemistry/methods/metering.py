"""Pieces that the flow meters share: reading the dial, or the register from one time to another."""

from dataclasses import dataclass

from chemistry import units
from chemistry.errors import EntryError
from chemistry.methods.base import (
    MISSING,
    Entry,
    Field,
    InstrumentRole,
    Mode,
    Reading,
    Worked,
)
from chemistry.methods.dials import plant_result
from chemistry.plant_budget import clock, instrument, two_last_digits
from chemistry.registers import counted
from chemistry.words import gettext_noop

FINAL_BELOW_INITIAL = gettext_noop(
    "The meter can't run backward: %(final)s is less than %(initial)s. Read it again, or say that "
    "it rolled over."
)
NOT_ROLLED = gettext_noop(
    "A meter that rolled over shows less than before, but %(final)s is not less than %(initial)s. "
    "Look at both, or say that it did not roll over."
)
ABOVE_TOP = gettext_noop(
    "The meter starts again at %(top)s, so it can't have shown %(initial)s before."
)
TOO_MUCH = gettext_noop(
    "This comes to %(rate)s %(unit)s, more than can be. Look at both readings, at what one count "
    "stands for, and at the time."
)
METER = InstrumentRole("meter", gettext_noop("Meter"), "flow_meter", required=False)

MASS_FLOW_UNITS = ("kg/h", "lb/h", "t/h", "klb/h")
VOLUME_FLOW_UNITS = ("m**3/h", "L/h", "L/min", "gal/h", "gal/min")
MASS_UNITS = ("kg", "lb", "t", "klb")
VOLUME_UNITS = ("m**3", "L", "US_liquid_gallon", "kgal")
MOST_COUNTED = 1e12
"""No register shows more: rule of our own."""
LONGEST_HOURS = 744.0
"""A month between two readings: rule of our own."""
SHORTEST_HOURS = 0.05
"""Three minutes between two readings: rule of our own."""


def flow_field(unit_keys: tuple[str, ...], highest: float) -> Field:
    """Return the field for a flow on a dial, at most `highest` in the first of the units."""
    return Field(
        key="reading",
        label=gettext_noop("Flow on the dial"),
        unit=unit_keys[0],
        units=unit_keys,
        low=0.0,
        high=highest,
        help=gettext_noop("Watch it for a while and take the middle of its swing."),
    )


def register_fields(unit_keys: tuple[str, ...], *, timed: bool = True) -> tuple[Field, ...]:
    """Return the fields of a register read from one time to another."""
    return (
        _register(
            "initial",
            gettext_noop("Register at the start"),
            gettext_noop("What it showed at the reading before."),
            unit_keys,
            carried="final" if timed else "initial",
        ),
        _register(
            "final",
            gettext_noop("Register now"),
            gettext_noop("All digits, with the red ones or those behind the point."),
            unit_keys,
        ),
        *((HOURS,) if timed else ()),
        MULTIPLIER,
        ROLLED,
        _register(
            "top",
            gettext_noop("Number at which it starts again at 0"),
            gettext_noop("Only if it rolled over: 1000000 for a register of six digits."),
            unit_keys,
            required=False,
            carried="top",
        ),
    )


def _register(
    key: str,
    name: str,
    text: str,
    unit_keys: tuple[str, ...],
    *,
    required: bool = True,
    carried: str = "",
) -> Field:
    return Field(
        key=key,
        label=name,
        unit=unit_keys[0],
        units=unit_keys,
        low=0.0,
        high=MOST_COUNTED,
        help=text,
        required=required,
        carried=carried,
    )


HOURS = Field(
    key="hours",
    label=gettext_noop("Time between the two readings"),
    unit="h",
    units=("h", "min"),
    low=SHORTEST_HOURS,
    high=LONGEST_HOURS,
    help=gettext_noop("From the clock at the first reading to the clock now."),
)
MULTIPLIER = Field(
    key="multiplier",
    carried="multiplier",
    label=gettext_noop("What one count stands for"),
    unit="times",
    units=("times",),
    low=1e-4,
    high=1e6,
    help=gettext_noop("10 if the face says “× 10”; else 1."),
    required=False,
    default="1",
)
ROLLED = Field(
    key="rolled",
    label=gettext_noop("Did the meter roll over?"),
    help=gettext_noop("Say yes only if it ran past its top and began again at 0."),
    choices=(("no", gettext_noop("No")), ("yes", gettext_noop("Meter rolled over"))),
    default="no",
)


def dial_mode(key: str, fields: tuple[Field, ...]) -> Mode:
    """Return the way of working of a meter that shows the flow itself."""
    return Mode(
        key,
        gettext_noop("Flow on a dial, by volume")
        if key.endswith("volume")
        else gettext_noop("Flow on a dial, by mass"),
        gettext_noop("The meter shows the flow at this moment."),
        fields,
    )


def register_mode(key: str, fields: tuple[Field, ...]) -> Mode:
    """Return the way of working of a meter that counts."""
    return Mode(
        key,
        gettext_noop("Counting meter from-to, by volume")
        if key.endswith("volume")
        else gettext_noop("Counting meter from-to, by mass"),
        gettext_noop("The meter counts; the flow is the mean between two readings."),
        fields,
    )


@dataclass(frozen=True)
class Through:
    """What went through between two readings, in the fields' units.

    `hours` and `hours_step` are 0 where no time was asked for. The steps are one unit of the last
    digit of each reading; those of the register times what a count stands for.
    """

    amount: float
    first_step: float
    last_step: float
    hours: float = 0.0
    hours_step: float = 0.0


def through(entry: Entry) -> Through:
    """Return what a register counted. Errors: EntryError beside `final` or `top` where the readings
    don't follow each other."""
    first, last = entry.readings["initial"], entry.readings["final"]
    shown = {"initial": _told(first), "final": _told(last)}
    top: float | None = None
    if entry.choices["rolled"] == "yes":
        top = _top(entry, shown)
        if last.value >= first.value:
            raise EntryError("not_rolled", NOT_ROLLED, shown, field="final")
    elif last.value < first.value:
        raise EntryError("final_below_initial", FINAL_BELOW_INITIAL, shown, field="final")
    count = entry.readings["multiplier"].value
    amount = float(counted(first.value, last.value, top)) * count
    steps = (first.resolution * count, last.resolution * count)
    time = entry.readings.get("hours")
    if time is None:
        return Through(amount, *steps)
    return Through(amount, *steps, hours=time.value, hours_step=time.resolution)


def _told(reading: Reading) -> str:
    return f"{reading.normalized} {units.label(reading.unit)}"


def _top(entry: Entry, shown: dict[str, str]) -> float:
    top = entry.readings.get("top")
    if top is None:
        raise EntryError("missing", MISSING, field="top")
    if top.value < entry.readings["initial"].value:
        params = {**shown, "top": _told(top)}
        raise EntryError("above_top", ABOVE_TOP, params, field="top")
    return top.value


def rate(seen: Through, unit: str, highest: float) -> float:
    """Return the mean flow per hour. Errors: EntryError too_much beside `final` above `highest`."""
    found = seen.amount / seen.hours
    if found > highest:
        params = {"rate": f"{found:.3g}", "unit": units.label(unit)}
        raise EntryError("too_much", TOO_MUCH, params, field="final")
    return found


def register_results(
    names: tuple[str, str],
    unit_keys: tuple[str, str],
    seen: Through,
    highest: float,
    percents: tuple[float, float | None],
) -> tuple[Worked, Worked]:
    """Return the mean flow and the amount, called `names`, in `unit_keys`; `percents` are the
    default and the stated limits of error of the meter."""
    flow = rate(seen, unit_keys[0], highest)
    digits = two_last_digits(seen.first_step, seen.last_step)
    per_hour = two_last_digits(seen.first_step / seen.hours, seen.last_step / seen.hours)
    time = clock(flow, seen.hours, seen.hours_step)
    flow_parts = (instrument(flow, *percents), per_hour, time)
    amount_parts = (instrument(seen.amount, *percents), digits)
    return (
        plant_result(names[0], flow, unit_keys[0], flow_parts),
        plant_result(names[1], seen.amount, unit_keys[1], amount_parts),
    )
