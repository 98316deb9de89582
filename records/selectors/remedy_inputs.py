"""What is asked for beside a remedy, and what was typed there, read."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from chemistry import units
from chemistry.dosing import CHEMICALS
from chemistry.dosing_plan import CONGRUENT, COORDINATED, FREE_CAUSTIC, NOT_SURE
from chemistry.entry import parse_reading
from chemistry.errors import EntryError
from chemistry.methods.base import MISSING, NOT_A_CHOICE, TOO_HIGH, TOO_LOW
from chemistry.words import gettext_noop


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One thing asked for beside a remedy; bounds are in `unit`, what is possible at all.

    One with `choices` has no unit. One that is not `required` may be left empty: the remedy says
    whether it can do without.
    """

    key: str
    label: str
    unit: str = ""
    units: tuple[str, ...] = ()
    low: float = 0.0
    high: float = 0.0
    choices: tuple[tuple[str, str], ...] = ()
    required: bool = True
    help: str = ""


_CONDUCTIVITY = ("umho/cm", "uS/cm")
ASKED: dict[str, Asked] = {
    each.key: each
    for each in (
        Asked(
            key="program",
            label=gettext_noop("What does the program say of free caustic?"),
            choices=(
                (FREE_CAUSTIC, gettext_noop("Free caustic is allowed")),
                (COORDINATED, gettext_noop("Coordinated: no free caustic")),
                (CONGRUENT, gettext_noop("Congruent: a ratio is held")),
                (NOT_SURE, gettext_noop("Not sure")),
            ),
        ),
        Asked(
            key="chemical",
            label=gettext_noop("Chemical"),
            choices=tuple((each.key, each.name) for each in CHEMICALS.values()),
        ),
        Asked(
            key="strength",
            label=gettext_noop("Strength, as the label states it"),
            unit="percent_of_span",
            units=("percent_of_span",),
            low=0.1,
            high=100.0,
            help=gettext_noop(
                "Percent by weight of the chemical named above, in what is weighed out."
            ),
        ),
        Asked(
            key="steam_flow",
            label=gettext_noop("Steam flow now"),
            unit="kg/h",
            units=("lb/h", "kg/h", "t/h"),
            low=0.0,
            high=2_000_000.0,
        ),
        Asked(
            key="feed_conductivity",
            label=gettext_noop("Feedwater conductivity"),
            unit="uS/cm",
            units=_CONDUCTIVITY,
            low=0.0,
            high=20_000.0,
        ),
        Asked(
            key="boiler_conductivity",
            label=gettext_noop("Boiler water conductivity"),
            unit="uS/cm",
            units=_CONDUCTIVITY,
            low=0.0,
            high=50_000.0,
        ),
        Asked(
            key="makeup_temperature",
            label=gettext_noop("Makeup water temperature"),
            unit="degC",
            units=("degF", "degC"),
            low=0.0,
            high=100.0,
        ),
        Asked(
            key="next_test",
            label=gettext_noop("Hours until the next test"),
            unit="h",
            units=("h",),
            low=0.5,
            high=48.0,
        ),
        Asked(
            key="feed_oxygen",
            label=gettext_noop("Oxygen in the feedwater, ahead of the sulfite"),
            unit="ug/L",
            units=("ug/L", "mg/L"),
            low=0.0,
            high=15_000.0,
            required=False,
            help=gettext_noop("Behind the deaerator. Without it no sulfite is worked out."),
        ),
    )
}


@dataclass(frozen=True, kw_only=True)
class RemedyInputs:
    """What was typed, what it comes to in canonical units, and what was chosen."""

    typed: Mapping[str, str]
    units: Mapping[str, str]
    values: dict[str, float] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    errors: dict[str, EntryError] = field(default_factory=dict)


def read_inputs(
    keys: Sequence[str],
    typed: Mapping[str, str],
    chosen: Mapping[str, str],
    among: Mapping[str, Asked] = ASKED,
) -> RemedyInputs:
    """Read what was asked for; trouble stands beside its field."""
    kept = {key: typed.get(key, "") for key in keys}
    units_of = {key: chosen.get(key, "") for key in keys if among[key].unit}
    inputs = RemedyInputs(typed=kept, units=units_of)
    for asked in (among[key] for key in keys):
        try:
            _read(asked, kept[asked.key], chosen.get(asked.key, ""), inputs)
        except EntryError as error:
            inputs.errors[asked.key] = error.at(asked.key)
    return inputs


def _read(asked: Asked, text: str, unit: str, inputs: RemedyInputs) -> None:
    if not text.strip():
        if asked.required:
            raise EntryError("missing", MISSING)
    elif asked.choices:
        if text not in dict(asked.choices):
            raise EntryError("not_a_choice", NOT_A_CHOICE)
        inputs.choices[asked.key] = text
    else:
        inputs.values[asked.key] = _value(asked, text, unit or asked.units[0])


def _value(asked: Asked, text: str, unit: str) -> float:
    read = parse_reading(text, unit=unit, units=asked.units)
    value = units.convert(read.value, read.unit, asked.unit)
    params = {"typed": read.normalized, "unit": units.label(read.unit), "label": asked.label}
    for bound, name in ((asked.low, "low"), (asked.high, "high")):
        params[name] = f"{units.convert(bound, asked.unit, read.unit):.6g}"
    if value < asked.low:
        raise EntryError("impossible", TOO_LOW, params)
    if value > asked.high:
        raise EntryError("impossible", TOO_HIGH, params)
    return value
