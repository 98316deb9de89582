"""What the pH recipes share: buffers, their order, the water that they ought to bracket, steps.

Handling facts are common practice, no source.
"""

from chemistry.errors import EntryError
from chemistry.methods.base import Field, Step
from chemistry.methods.parts import TEMPERATURE_UNITS
from chemistry.ph import LEAST_BUFFER_SPAN
from chemistry.recipes import parts
from chemistry.recipes.base import Given, Remark, StandardRole
from chemistry.words import gettext_noop

SAME_BUFFER = gettext_noop(
    "This buffer lies too near another one here. Take buffers that lie at least %(least)s pH apart."
)
NO_BUFFER = gettext_noop("Say which buffer this was read in.")
NO_READING = gettext_noop("A buffer is named but nothing was read in it. Read it, or take it away.")
SAME_READING = gettext_noop(
    "The electrode shows the same in different buffers: cracked glass, a bad plug, or one buffer "
    "read twice."
)
NOT_BRACKETED = gettext_noop(
    "The water's pH of %(water)s lies outside these buffers (%(low)s to %(high)s), where this says "
    "little. Take buffers on either side: carbonate 10.01 and calcium hydroxide 12.45 suit boiler "
    "water."
)

TEMPERATURE = Field(
    key="temperature",
    label=gettext_noop("Temperature of the buffers"),
    unit="degC",
    units=TEMPERATURE_UNITS,
    low=0.0,
    high=50.0,  # where the tables of the alkaline buffers end, see chemistry.standards
    help=gettext_noop("All buffers at one temperature, within a degree."),
    decimals=1,
)
WATER_PH = Field(
    key="water_ph",
    carried="water_ph",
    label=gettext_noop("pH of the water it is used for"),
    unit="pH",
    units=("pH",),
    low=0.0,
    high=14.0,
    help=gettext_noop("The usual one. The buffers ought to lie on either side of it."),
    required=False,
    decimals=1,
)
ROLES = (
    StandardRole("buffer_1", gettext_noop("First buffer"), "pH"),
    StandardRole("buffer_2", gettext_noop("Second buffer"), "pH"),
    StandardRole("buffer_3", gettext_noop("Third buffer"), "pH", required=False),
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    parts.NEVER_BACK,
    Step(
        gettext_noop(
            "Calcium hydroxide burns skin and eyes and takes up carbon dioxide from air: wear "
            "goggles and gloves, pour it fresh, cover it, and use it at once."
        ),
        caution=True,
    ),
    Step(
        gettext_noop(
            "Take buffers on either side of the water's pH: carbonate 10.01 and calcium hydroxide "
            "12.45 for boiler water. Let them come to one temperature, best 25 °C (77 °F)."
        )
    ),
    Step(
        gettext_noop(
            "Rinse the electrode with distilled or deionized water, then with a little of the "
            "buffer; pour that away. Blot, never rub."
        )
    ),
    Step(gettext_noop("Dip the electrode until its junction is covered; stir gently, then stop.")),
    Step(
        gettext_noop(
            "Read once it is steady, at most a few minutes; then the next buffer, rinsing between."
        )
    ),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "Set the meter with fresh buffers as its own instructions say, the middle one first. "
            "Then read the buffers anew, as left."
        )
    ),
    Step(
        gettext_noop(
            "Never set a meter to make a tired electrode look right: replace the electrode instead."
        ),
        caution=True,
    ),
)
TROUBLE = (
    Step(gettext_noop("Rinse with distilled or deionized water, shake down bubbles in the tip.")),
    Step(gettext_noop("See to the filling: level above the sample, hole open, junction not dry.")),
    Step(
        gettext_noop(
            "Soak the tip in storage solution for an hour, or as its maker says, and repeat."
        )
    ),
    Step(gettext_noop("See that the plug is dry and the cable not moving.")),
    parts.FRESH_STANDARD,
    Step(
        gettext_noop(
            "Never scrub or wipe the glass, never let it dry, never store it in pure water."
        ),
        caution=True,
    ),
    Step(
        gettext_noop("Try another electrode on this meter: it tells which of the two has failed.")
    ),
    parts.OUT_OF_SERVICE,
)


def pairs(given: Given, stem: str) -> list[int]:
    """Return the numbers of the buffers that were read; reading and buffer come together.

    Errors: EntryError beside the one that is missing.
    """
    found = []
    for number in (1, 2, 3):
        read, named = f"{stem}_{number}" in given, f"buffer_{number}" in given.standards
        if read and not named:
            raise EntryError("standard_needed", NO_BUFFER, field=f"buffer_{number}")
        if named and not read:
            raise EntryError("missing", NO_READING, field=f"{stem}_{number}")
        if read:
            found.append(number)
    return found


def buffer_values(given: Given, numbers: list[int]) -> list[float]:
    """Return the pH of the buffers at their temperature. Errors: EntryError beside the temperature,
    or beside a buffer that lies too near another one."""
    temp_c = given["temperature"]
    found: list[float] = []
    for number in numbers:
        value = given.standard_at(f"buffer_{number}", temp_c, "temperature").value
        if any(abs(value - other) < LEAST_BUFFER_SPAN for other in found):
            least = {"least": f"{LEAST_BUFFER_SPAN:g}"}
            raise EntryError("one_buffer", SAME_BUFFER, least, field=f"buffer_{number}")
        found.append(value)
    return found


def remarks(given: Given, buffers: list[float], readings: list[float]) -> tuple[Remark, ...]:
    """Return that the electrode does not answer, and that the water lies outside the buffers."""
    found: list[Remark] = []
    if len(readings) > 1 and len(set(readings)) == 1:
        found.append((SAME_READING, {}))
    low, high = min(buffers), max(buffers)
    if "water_ph" in given and not low <= given["water_ph"] <= high:
        said = {"water": f"{given['water_ph']:.1f}", "low": f"{low:.2f}", "high": f"{high:.2f}"}
        found.append((NOT_BRACKETED, said))
    return tuple(found)
