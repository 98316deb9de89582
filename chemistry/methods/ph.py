"""pH of a water sample by electrode and meter, version 1.

The displayed pH is taken as it is: it holds the electrode's slope already, and a second correction
would be wrong. Automatic compensation corrects the electrode, not the water (pH 11.0 at 25 °C reads
about 10.55 at 40 °C), so the result is "at the sample's temperature" unless that was within 2 °C of
25. Handling facts are common practice, no source.
"""

from chemistry.analytes import Basis
from chemistry.errors import EntryError
from chemistry.methods import parts
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
from chemistry.ph import LEAST_BUFFER_SPAN, Sensitivity, budget, buffer_ph
from chemistry.words import gettext_noop

NOT_A_PH = gettext_noop(
    "No water here has pH %(typed)s: it lies between %(low)s and %(high)s. Read the display again."
)
ONE_BUFFER = gettext_noop(
    "Two different buffers are needed, this one the higher. With one buffer alone the electrode's "
    "slope is not known: set it again with two that lie on either side of the sample."
)
OUTSIDE_NOTE = gettext_noop(
    "The reading lies %(outside)s pH outside the buffers, so it is less sure. Set the electrode "
    "with buffers on either side of it."
)
UNKNOWN_NOTE = gettext_noop(
    "It is not known with which buffers the electrode was set, so the reading is less sure."
)
AT_TEMPERATURE_NOTE = gettext_noop(
    "This is the pH at %(temperature)s °C, not at 25 °C: alkaline water reads lower when warm, and "
    "the meter does not correct for that. Cool the sample to 25 °C to compare it with a limit."
)

BUFFERS = (
    ("phthalate", gettext_noop("4.01, phthalate")),
    ("phosphate", gettext_noop("6.86, phosphate")),
    ("seven", gettext_noop("7.00")),
    ("borax", gettext_noop("9.18, borax")),
    ("carbonate", gettext_noop("10.01, carbonate")),
    ("calcium_hydroxide", gettext_noop("12.45, calcium hydroxide")),
    ("unknown", gettext_noop("Not known")),
)
READING = Field(
    key="reading",
    label=gettext_noop("pH on the meter"),
    unit="pH",
    units=("pH",),
    low=0.0,
    high=14.0,
    help=gettext_noop("What the meter shows once it is steady. Don't correct it yourself."),
    decimals=2,
    too_low=NOT_A_PH,
    too_high=NOT_A_PH,
)
TEMPERATURE = parts.temperature_field(
    "temperature",
    gettext_noop("Temperature of the sample"),
    gettext_noop("In the same water, at the same moment; the meter's own display will do."),
)
BUFFER_LOW = Field(
    key="buffer_low",
    carried="buffer_low",
    label=gettext_noop("Buffer below the reading"),
    help=gettext_noop("Of those the electrode was last set with, the nearest below the reading."),
    choices=BUFFERS,
)
BUFFER_HIGH = Field(
    key="buffer_high",
    carried="buffer_high",
    label=gettext_noop("Buffer above the reading"),
    help=gettext_noop(
        "The nearest above. If none was, give the two highest buffers that were used."
    ),
    choices=BUFFERS,
)

MODES = (
    Mode(
        "automatic",
        gettext_noop("The meter measures the temperature itself"),
        gettext_noop("A probe in the water allows for the electrode's temperature."),
        (READING, TEMPERATURE, BUFFER_LOW, BUFFER_HIGH),
    ),
    Mode(
        "set_on_meter",
        gettext_noop("Temperature set on the meter by hand"),
        gettext_noop("You read the thermometer and set the meter's knob to it."),
        (READING, TEMPERATURE, parts.DIAL_TEMPERATURE, BUFFER_LOW, BUFFER_HIGH),
    ),
)

INSTRUMENTS = (
    InstrumentRole("ph_meter", gettext_noop("pH meter"), "ph_meter", required=False),
    InstrumentRole("electrode", gettext_noop("Electrode"), "ph_electrode", required=False),
    parts.THERMOMETER,
)

STEPS = (
    parts.DRAW_THROUGH_COOLER,
    Step(
        gettext_noop(
            "Flush the sample line, then cool the sample, best to 25 °C (77 °F). Fill the bottle "
            "to the brim and close it: air lowers the pH. Test it among the first."
        )
    ),
    Step(
        gettext_noop(
            "Set the electrode with two fresh buffers, one on either side of the pH you expect, at "
            "about the sample's temperature. Never pour a used buffer back."
        )
    ),
    Step(gettext_noop("Rinse the electrode with distilled water, then with the sample.")),
    Step(
        gettext_noop(
            "Dip the electrode until its junction is covered; stir gently. With condensate and "
            "other pure water, let the sample flow past, out of air, and give it time."
        )
    ),
    parts.READ_THERMOMETER,
    Step(
        gettext_noop(
            "Set the sample's temperature on a meter that has a knob for it. Write the pH as shown "
            "once it is steady. Never correct it for temperature a second time."
        )
    ),
    Step(
        gettext_noop(
            "Rinse the electrode and keep it in its storage solution, never dry and never in "
            "distilled water."
        )
    ),
    Step(gettext_noop("Never rub the glass: it breaks, and rubbing charges it."), caution=True),
)


def _calculate(mode: str, entry: Entry, facts: InstrumentFacts) -> tuple[Worked, ...]:
    difference, notes = parts.dial_difference(entry) if mode == "set_on_meter" else (0.0, ())
    reading, temperature = entry.readings["reading"], entry.readings["temperature"]
    at = Sensitivity(
        reading=reading.value,
        half_digit=reading.resolution / 2.0,
        temp_c=temperature.value,
        buffers=_buffers(entry, temperature.value),
        dial_difference_c=difference,
    )
    result = Worked(
        analyte="ph",
        value=reading.value,
        unit="pH",
        qualifier="",
        basis=Basis("25C" if at.near_reference else "sample"),
        budget=budget(at, thermometer_u_k=facts.thermometer_u_k),
        notes=(*notes, *_notes(at), *parts.warm_notes(at.temp_c)),
    )
    return (result,)


def _buffers(entry: Entry, temp_c: float) -> tuple[float, float] | None:
    """Return the pH of both buffers at the sample's temperature, or None where one is not known."""
    keys = entry.choices["buffer_low"], entry.choices["buffer_high"]
    if "unknown" in keys:
        return None
    low, high = (buffer_ph(key, temp_c) for key in keys)
    if high - low < LEAST_BUFFER_SPAN:
        raise EntryError("one_buffer", ONE_BUFFER, field="buffer_high")
    return low, high


def _notes(at: Sensitivity) -> tuple[tuple[str, dict[str, str]], ...]:
    notes: list[tuple[str, dict[str, str]]] = []
    if at.buffers is None:
        notes.append((UNKNOWN_NOTE, {}))
    elif at.outside > 0.0:
        notes.append((OUTSIDE_NOTE, {"outside": f"{at.outside:.1f}"}))
    if not at.near_reference:
        notes.append((AT_TEMPERATURE_NOTE, {"temperature": f"{at.temp_c:.1f}"}))
    return tuple(notes)


METHOD = Method(
    key="ph",
    version="1",
    name=gettext_noop("pH by electrode"),
    purpose=gettext_noop(
        "Shows how alkaline or acid the water is. Low pH eats steel within hours: act on it first."
    ),
    analytes=("ph",),
    modes=MODES,
    instruments=INSTRUMENTS,
    steps=STEPS,
    sample_ml=100.0,
    source=(
        "Buffers: J. Res. NBS 81A:21 (1977), JIS Z 8802:2011, J. Res. NBS 73A:37 (1969); IAPWS "
        "R11-24; JCGM 100:2008; handling: common practice, no source"
    ),
    calculate=_calculate,
    mode_question=gettext_noop("How does the meter handle temperature?"),
)
