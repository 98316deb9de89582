"""Drawing the sample, version 1: what every other test of the bottle rests on.

The result is the temperature at the draw. How much to draw, and in which order to test, follow
from the tests due. Handling: common practice, no source, except where one stands beside it.
"""

from collections.abc import Iterable
from dataclasses import replace

from chemistry.analytes import Basis
from chemistry.conductivity_budget import THERMOMETER_HALF_WIDTH_C
from chemistry.errors import EntryError
from chemistry.methods import parts
from chemistry.methods.base import (
    Entry,
    Field,
    InstrumentFacts,
    Method,
    Mode,
    Step,
    Worked,
)
from chemistry.plant_budget import thermometer
from chemistry.uncertainty import Budget, last_digit
from chemistry.words import gettext_noop

FIRST_AFTER_DRAWING = ("oxygen", "sulfite", "ph", "hydrazine", "scavenger")
"""Tests that air spoils, in the order in which they can least wait: common practice, no source."""
RINSING_SHARE = 0.2
"""Water beside that of the tests, for rinsing and a repeat: common practice, no source."""

COOLER_OFF = gettext_noop(
    "Hot water drawn without cooling water flashes and scalds. Close the valve, turn the cooling "
    "water on, and draw again."
)
FROM_TOP_NOTE = gettext_noop(
    "The bottle was not filled from the bottom: air has got in. Oxygen, sulfite, scavenger and pH "
    "of this bottle are less sure; draw anew for them."
)
TOO_LITTLE_NOTE = gettext_noop(
    "%(drawn)s mL were drawn; the tests due need about %(needed)s mL. Draw more, at the same time."
)

COOLER = Field(
    key="cooler",
    label=gettext_noop("Was the cooling water on?"),
    help=gettext_noop("Before the sample valve was opened."),
    choices=(
        ("on", gettext_noop("Yes, before the sample valve")),
        ("cold", gettext_noop("Not needed: the line carries cold water")),
        ("off", gettext_noop("No")),
    ),
)
TEMPERATURE = replace(
    parts.SAMPLE_TEMPERATURE, help=gettext_noop("In the running sample, as the bottle fills.")
)
FROM_BOTTOM = Field(
    key="from_bottom",
    label=gettext_noop("Was the bottle filled from the bottom?"),
    help=gettext_noop("Hose to the bottom, run over, closed without a bubble."),
    choices=(("yes", gettext_noop("Yes")), ("no", gettext_noop("No"))),
)
DRAWN = Field(
    key="drawn",
    label=gettext_noop("How much was drawn"),
    unit="mL",
    units=("mL", "L"),
    low=1.0,
    high=20000.0,
    help=gettext_noop("All bottles of this draw together. Leave it empty if you don't know."),
    required=False,
)
DUE = Field(
    key="due",
    label=gettext_noop("How much the tests due need"),
    unit="mL",
    units=("mL", "L"),
    low=0.0,
    high=20000.0,
    help=gettext_noop("Added up from the tests of this round. Ten tests take about 1 L."),
    required=False,
)


def _flushed(key: str, name: str, unit: str, unit_keys: tuple[str, ...], text: str) -> Field:
    # less than a second or 10 mL is no flush, more than a day or 10 m³ is a slip: rule of our own
    span = (0.02, 1440.0) if unit == "min" else (0.01, 10000.0)
    return Field(
        key=key,
        label=name,
        unit=unit,
        units=unit_keys,
        low=span[0],
        high=span[1],
        help=text,
    )


_REST = (TEMPERATURE, FROM_BOTTOM, DRAWN, DUE)
MODES = (
    Mode(
        "minutes",
        gettext_noop("Flushed by the clock"),
        gettext_noop("The sample line was opened and ran for a while before drawing."),
        (
            COOLER,
            _flushed(
                "flush_time",
                gettext_noop("How long it was flushed"),
                "min",
                ("min", "h", "s"),
                gettext_noop("Until what stood in the line is gone several times over."),
            ),
            *_REST,
        ),
    ),
    Mode(
        "liters",
        gettext_noop("Flushed by the bucket"),
        gettext_noop("What ran off before drawing was caught and measured."),
        (
            COOLER,
            _flushed(
                "flush_volume",
                gettext_noop("How much was flushed"),
                "L",
                ("L", "US_liquid_gallon", "mL"),
                gettext_noop("Several times what the line holds."),
            ),
            *_REST,
        ),
    ),
    Mode(
        "running",
        gettext_noop("Line runs all the time"),
        gettext_noop("The sample line is never closed, so it needs no flushing."),
        (COOLER, *_REST),
    ),
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    # Safe practice after ASTM D3370, from memory: never open an uncooled sample valve.
    Step(
        gettext_noop(
            "Open the cooling water first and the sample valve last and slowly; close them the "
            "other way round. If steam comes, close the sample valve and see to the cooler."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Flush until what stood in the line is gone several times over, at the flow at which "
            "you will draw. Don't change the valve after that: it shakes rust loose."
        )
    ),
    Step(
        gettext_noop(
            "Bring the sample to 25 °C (77 °F) where you can, and always to 38 °C (100 °F) or less."
        )
    ),
    Step(gettext_noop("Rinse the bottle and its cap three times with the sample.")),
    Step(
        gettext_noop(
            "Lead the hose to the bottom of the bottle, let it run over for several fillings, draw "
            "the hose out slowly, and close the bottle without a bubble."
        )
    ),
    Step(gettext_noop("Write point and time on the bottle at once.")),
    Step(gettext_noop("Test oxygen, sulfite and pH first: air changes them within minutes.")),
)


def in_bench_order(keys: Iterable[str]) -> list[str]:
    """Return method keys in the order in which they are tested; drawing goes before all, then what
    air spoils, then the others as they came.

    >>> in_bench_order(["chloride", "ph", "drawing", "sulfite"])
    ['drawing', 'sulfite', 'ph', 'chloride']
    """
    first = ("drawing", *FIRST_AFTER_DRAWING)
    return sorted(keys, key=lambda key: first.index(key) if key in first else len(first))


def sample_needed_ml(due: Iterable[Method]) -> float:
    """Return how much to draw for the tests due, mL, with something for rinsing and a repeat."""
    return sum(method.sample_ml for method in due) * (1.0 + RINSING_SHARE)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    if entry.choices["cooler"] == "off":
        raise EntryError("cooler_off", COOLER_OFF, field="cooler")
    temperature = entry.readings["temperature"]
    components = (
        thermometer(facts.thermometer_u_k, half_width_k=THERMOMETER_HALF_WIDTH_C),
        last_digit(temperature.resolution / 2.0),
    )
    result = Worked(
        analyte="sample_temperature",
        value=temperature.value,
        unit="degC",
        qualifier="",
        basis=Basis("any"),
        budget=Budget(components),
        notes=(*_notes(entry), *parts.warm_notes(temperature.value)),
    )
    return (result,)


def _notes(entry: Entry) -> tuple[tuple[str, dict[str, str]], ...]:
    notes: list[tuple[str, dict[str, str]]] = []
    if entry.choices["from_bottom"] == "no":
        notes.append((FROM_TOP_NOTE, {}))
    drawn, due = entry.readings.get("drawn"), entry.readings.get("due")
    if drawn and due and drawn.value < due.value:
        params = {"drawn": f"{drawn.value:.0f}", "needed": f"{due.value:.0f}"}
        notes.append((TOO_LITTLE_NOTE, params))
    return tuple(notes)


METHOD = Method(
    key="drawing",
    version="1",
    name=gettext_noop("Drawing the sample"),
    purpose=gettext_noop(
        "A test is only as good as its bottle: cold, flushed, filled without air, and tested soon."
    ),
    analytes=("sample_temperature",),
    modes=MODES,
    instruments=(parts.THERMOMETER,),
    steps=STEPS,
    sample_ml=0.0,
    source="ASTM D3370 (from memory); OAC 4101:4-4-04 (2013) for 60 °C; JCGM 100:2008; else common "
    "practice, no source",
    calculate=_calculate,
)
