"""The fields of the five ways of entering a titration. Ranges are rules of our own: far beyond what
any bench uses, near enough to catch a slip of the decimal point."""

from dataclasses import dataclass, replace

from chemistry.methods.base import Field, Mode
from chemistry.words import gettext_noop

AS_CACO3 = ("mg_CaCO3/L", "gpg", "dH", "fH")
"""Units in which a label may state hardness or alkalinity, each as CaCO3."""
MOST_ML = 100.0
"""The largest volume of titrant: two fillings of a burette of 50 mL, rule of our own."""
MOST_DROPS = 500.0
"""The most drops that anyone counts: rule of our own."""

PER_DROP_KEYS = {"result": "per_drop_result", "volume": "per_drop_volume"}

NO_SAMPLE = gettext_noop(
    "With %(typed)s %(unit)s of sample nothing can be worked out. Write how much you measured, at "
    "least %(low)s %(unit)s."
)
NO_STRENGTH = gettext_noop(
    "A titrant of %(typed)s %(unit)s can't be right. Read the strength on its label."
)


@dataclass(frozen=True)
class FieldWords:
    """What a method puts into the shared fields; `ends` are key, label and help of each end
    point."""

    ends: tuple[tuple[str, str, str], ...]
    strength: Field
    result_units: tuple[str, ...]
    blank_required: bool


END_POINT = Field(
    key="end_point",
    label=gettext_noop("Was the end point reached?"),
    help=gettext_noop("If the titrant ran out first, the result is shown as “more than”."),
    choices=(
        ("reached", gettext_noop("Yes")),
        ("ran_out", gettext_noop("No, the titrant ran out first")),
    ),
    default="reached",
)
SAMPLE_VOLUME = Field(
    key="sample_volume",
    carried="sample_volume",
    label=gettext_noop("Sample taken"),
    unit="mL",
    units=("mL",),
    low=0.5,
    high=1000.0,
    help=gettext_noop("What you measured of the sample itself, before any water was added."),
    decimals=0,
    too_low=NO_SAMPLE,
)
LABEL_VOLUME = Field(
    key="label_volume",
    carried="label_volume",
    label=gettext_noop("Sample that the label or card is made for"),
    unit="mL",
    units=("mL",),
    low=0.5,
    high=1000.0,
    help=gettext_noop("Leave both volumes empty when you took just what the label asks for."),
    required=False,
    decimals=0,
    too_low=NO_SAMPLE,
)
DILUTION = Field(
    key="dilution",
    label=gettext_noop("Diluted how many times"),
    unit="1",
    units=("1",),
    low=0.1,
    high=1000.0,
    help=gettext_noop(
        "Leave 1 when nothing was diluted. 10 means one part of sample made up to ten."
    ),
    required=False,
    default="1",
)
_OPTIONAL_SAMPLE = replace(
    SAMPLE_VOLUME,
    required=False,
    help=gettext_noop(
        "Needed when you took another volume than the label or card asks for, or when the label "
        "gives the volume of a drop."
    ),
)
SCALE = Field(
    key="scale",
    label=gettext_noop("What the syringe shows"),
    help=gettext_noop("Some scales count down to what is left, others up to what was used."),
    choices=(
        ("left", gettext_noop("What is left")),
        ("used", gettext_noop("What was used")),
    ),
    default="left",
)
DROP_MEANS = Field(
    key="drop_means",
    carried="drop_means",
    label=gettext_noop("What the label says of one drop"),
    help=gettext_noop("Most labels say how many mg/L one drop stands for; some say its volume."),
    choices=(
        ("result", gettext_noop("One drop is so many mg/L")),
        ("volume", gettext_noop("One drop is so many mL")),
    ),
    default="result",
)
PER_DROP_VOLUME = Field(
    key="per_drop_volume",
    carried="per_drop_volume",
    label=gettext_noop("Volume of one drop"),
    unit="mL",
    units=("mL",),
    low=0.005,
    high=0.2,
    help=gettext_noop("Only when the label says so; 0.05 is usual (20 drops to the mL)."),
    required=False,
    default="0.05",
    decimals=3,
)


def strength_field(label: str, unit: str, usual: str, low: float, high: float) -> Field:
    """Return the field of a titrant's strength with its usual value; `unit` "eq/L" (N) or "M"."""
    return Field(
        key="strength",
        carried="strength",
        label=label,
        unit=unit,
        units=(unit,),
        low=low,
        high=high,
        help=gettext_noop("As on the label or as last standardized. The usual one is filled in."),
        required=False,
        default=usual,
        too_low=NO_STRENGTH,
        too_high=NO_STRENGTH,
    )


def fields_by_mode(words: FieldWords) -> tuple[Mode, ...]:
    """Return the five modes with the fields that all titrations share."""
    worked = (words.strength, SAMPLE_VOLUME, DILUTION)
    blank = _blank("mL", required=words.blank_required)
    return (
        Mode(
            "burette",
            gettext_noop("Burette, from and to"),
            gettext_noop("You read the burette before you start and at the end point."),
            (_start(), *_ends(words), END_POINT, blank, *worked),
        ),
        Mode(
            "self_zeroing",
            gettext_noop("Self-zeroing burette"),
            gettext_noop("The burette fills itself to zero, and shows what was used."),
            (*_ends(words), END_POINT, blank, *worked),
        ),
        Mode(
            "syringe",
            gettext_noop("Titrating syringe"),
            gettext_noop("You read the syringe before you start and at the end point."),
            (SCALE, _start(), *_ends(words), END_POINT, blank, *worked),
        ),
        _drops(words),
        _factor(words),
    )


def _drops(words: FieldWords) -> Mode:
    per_drop = _stated(
        "per_drop_result",
        gettext_noop("One drop stands for"),
        gettext_noop("As on the label, for the volume of sample that the label asks for."),
        words.result_units,
        required=False,
    )
    return Mode(
        "drops",
        gettext_noop("Drops counted"),
        gettext_noop("You count drops from a bottle until the color changes."),
        (
            *_ends(words, "drop"),
            END_POINT,
            DROP_MEANS,
            per_drop,
            PER_DROP_VOLUME,
            _blank("drop", required=False),
            words.strength,
            _OPTIONAL_SAMPLE,
            LABEL_VOLUME,
            DILUTION,
        ),
    )


def _factor(words: FieldWords) -> Mode:
    factor = _stated(
        "factor",
        gettext_noop("Factor on the card: one mL stands for"),
        gettext_noop("As on the card, for the volume of sample that the card asks for."),
        words.result_units,
        required=True,
    )
    return Mode(
        "factor",
        gettext_noop("Milliliters times the factor on a card"),
        gettext_noop("A card beside the burette says what one mL stands for."),
        (
            *_ends(words),
            END_POINT,
            factor,
            _blank("mL", required=False),
            _OPTIONAL_SAMPLE,
            LABEL_VOLUME,
            DILUTION,
        ),
    )


def _start() -> Field:
    return Field(
        key="start",
        label=gettext_noop("At the start"),
        unit="mL",
        units=("mL",),
        low=0.0,
        high=MOST_ML,
        help=gettext_noop("What the scale shows before the first drop."),
        decimals=2,
    )


def _ends(words: FieldWords, unit: str = "mL") -> tuple[Field, ...]:
    return tuple(
        Field(
            key=key,
            label=label,
            unit=unit,
            units=(unit,),
            low=0.0,
            high=MOST_DROPS if unit == "drop" else MOST_ML,
            help=text,
            decimals=0 if unit == "drop" else 2,
        )
        for key, label, text in words.ends
    )


def _blank(unit: str, *, required: bool) -> Field:
    return Field(
        key="blank",
        label=gettext_noop("Blank"),
        unit=unit,
        units=(unit,),
        low=0.0,
        high=20.0 if unit == "drop" else 5.0,
        help=gettext_noop(
            "What the same volume of distilled water takes to the same color. It is taken off."
        ),
        required=required,
        default="" if required else "0",
        decimals=0 if unit == "drop" else 2,
    )


def _stated(key: str, label: str, text: str, units: tuple[str, ...], *, required: bool) -> Field:
    return Field(
        key=key,
        label=label,
        unit=units[0],
        units=units,
        low=0.001,
        high=100_000.0,
        help=text,
        required=required,
        carried=key,
    )
