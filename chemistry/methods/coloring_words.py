"""Words and steps that the color tests share. The handling is common practice, no source."""

from chemistry.methods.base import Step
from chemistry.words import gettext_noop

ABOVE_CHOICES = (
    ("on", gettext_noop("Yes, it showed a number")),
    ("above", gettext_noop("No, above its range")),
    ("below", gettext_noop("No, below its range")),
)
COMPARED_CHOICES = (
    ("on", gettext_noop("Yes, it matched")),
    ("above", gettext_noop("No, darker than the darkest standard")),
    ("below", gettext_noop("No, lighter than the lightest standard")),
)

ABOVE_NOTE = gettext_noop(
    "Above the scale: dilute the sample with distilled water, repeat, and enter the dilution."
)
ABOVE_UNDILUTED_NOTE = gettext_noop(
    "Above the scale: repeat with a wider range. Don't dilute: the water brings oxygen with it."
)
BELOW_NOTE = gettext_noop(
    "Below the scale: there is less than this. A longer cell or a finer range would tell how much."
)
NO_BOUND = gettext_noop(
    "Off the scale can only be reported beside an end of the scale that lies above zero."
)
RANGE_CROSSED = gettext_noop("The highest reading of the range must be above its lowest.")
EQUAL_STANDARDS = gettext_noop("This is the standard it matched. Give the one next to it.")
UPPER_BELOW_LOWER = gettext_noop(
    "The darker standard (%(upper)s %(unit)s) must be above the lighter one (%(lower)s %(unit)s)."
)

FILTER = Step(
    gettext_noop("Filter cloudy water until it is clear: cloud is read as if it were color.")
)
ZERO_INSTEAD_OF_FILTERING = Step(
    gettext_noop(
        "Don't filter it: that lets air at the sample. If the water is cloudy or colored, zero on "
        "the sample itself, without the reagent."
    )
)
COOL_TO_ROOM = Step(
    gettext_noop("Let the sample come to 20 to 30 °C (68 to 86 °F): the color needs it.")
)
ZERO = Step(
    gettext_noop(
        "Wipe the cell dry, hold it by the frosted sides, and zero the photometer on the blank."
    )
)
WAIT = Step(
    gettext_noop(
        "Add the reagents in their order and mix. Wait the whole time the card gives, no less and "
        "not much more: the color grows, then fades."
    )
)
READ = Step(
    gettext_noop(
        "Read the photometer; or hold the comparator against white daylight, not the sun, and "
        "find the standard that matches."
    )
)
BY_EYE = Step(
    gettext_noop(
        "If you find shades hard to tell apart, or the light is poor, use a photometer instead."
    )
)
RINSE_CELLS = Step(
    gettext_noop("Rinse the cells with distilled water at once; a stained cell reads high.")
)
REAGENTS = Step(
    gettext_noop(
        "The reagents are poison and may burn. Wear goggles and gloves, never use your mouth on a "
        "pipette, and put what is left where your plant collects it, not down the sink."
    ),
    caution=True,
)
