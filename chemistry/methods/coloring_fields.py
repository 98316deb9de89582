"""The four ways in which a color test is entered, and their fields.

A color is read on a photometer, as concentration or as absorbance, or matched by eye with the
standards of a comparator.
"""

from dataclasses import dataclass

from chemistry.methods.base import Field, InstrumentRole, LotRole, Mode
from chemistry.methods.coloring_words import ABOVE_CHOICES, COMPARED_CHOICES
from chemistry.photometry import FACTOR_PATH_MM, HIGHEST_ABSORBANCE
from chemistry.words import gettext_noop


@dataclass(frozen=True)
class Coloring:
    """What differs from one color test to the next.

    `analyte`, `unit`, `as_what`: of the result. `highest`: the largest concentration that a scale
    shows, in `unit`. `floor`: limits of error of a photometer near zero, in `unit`. `forms`: what
    an instrument may express it as, the wanted one first. `dilutable`: whether a sample may be
    diluted at all.
    """

    analyte: str
    unit: str
    as_what: str
    highest: float
    floor: float
    forms: tuple[str, ...] = ()
    dilutable: bool = True

    @property
    def units(self) -> tuple[str, ...]:
        return ("mg/L", "ug/L") if self.unit == "mg/L" else ("ug/L", "mg/L")


INSTRUMENTS = (
    InstrumentRole("meter", gettext_noop("Photometer"), "photometer", required=False),
    InstrumentRole("comparator", gettext_noop("Comparator"), "comparator", required=False),
)
OF_THE_INSTRUMENT = frozenset({"range_low", "range_high", "factor", "path", "highest"})
"""What belongs to the instrument and not to the water."""
UNLESS_BEYOND = gettext_noop("unless the color lay beyond the scale")
LOTS = (LotRole("reagent", gettext_noop("Reagent")),)
DILUTION = Field(
    key="dilution",
    label=gettext_noop("Dilution"),
    unit="times",
    units=("times",),
    low=1.0,
    high=1000.0,
    help=gettext_noop("1 if undiluted; 2 if 25 mL of sample were made up to 50 mL."),
    required=False,
    default="1",
)


def _scale(choices: tuple[tuple[str, str], ...]) -> Field:
    return Field(
        key="scale",
        label=gettext_noop("Was it on the scale?"),
        help=gettext_noop("Say so if the color was off the scale; no number is guessed then."),
        choices=choices,
        default="on",
    )


def _amount(
    asked: Coloring, key: str, name: str, text: str, *, required: bool = True, when: str = ""
) -> Field:
    return Field(
        key=key,
        label=name,
        unit=asked.unit,
        units=asked.units,
        low=0.0,
        high=asked.highest,
        help=text,
        required=required,
        asked_when=when,
        carried=key if key in OF_THE_INSTRUMENT else "",
    )


def _plain(
    key: str, name: str, unit: str, span: tuple[float, float], text: str, default: str = ""
) -> Field:
    return Field(
        key=key,
        label=name,
        unit=unit,
        units=(unit,) if unit != "mm" else ("mm", "cm"),
        low=span[0],
        high=span[1],
        help=text,
        required=not default and key != "absorbance",
        default=default,
        asked_when=UNLESS_BEYOND if key == "absorbance" else "",
        carried=key if key in OF_THE_INSTRUMENT else "",
    )


def _ending(asked: Coloring) -> tuple[Field, ...]:
    """Return the fields that end every mode: what it is shown as, and the dilution."""
    shown: tuple[Field, ...] = ()
    if asked.forms:
        shown = (
            Field(
                key="shown_as",
                carried="shown_as",
                label=gettext_noop("The scale shows it as"),
                help=gettext_noop("Look at the instrument or its card; the two differ greatly."),
                choices=tuple((form, form) for form in asked.forms),
                default=asked.forms[0],
            ),
        )
    return (*shown, DILUTION) if asked.dilutable else shown


def color_modes(asked: Coloring) -> tuple[Mode, ...]:
    """Return the four ways in which a color test is entered."""
    return (
        Mode(
            "photometer",
            gettext_noop("Photometer that shows the concentration"),
            gettext_noop("The instrument was zeroed and shows mg/L or µg/L itself."),
            (*_photometer_fields(asked), *_ending(asked)),
        ),
        Mode(
            "absorbance",
            gettext_noop("Photometer that shows absorbance"),
            gettext_noop("The absorbance is worked with the factor of your calibration."),
            (*_absorbance_fields(asked), *_ending(asked)),
        ),
        Mode(
            "comparator",
            gettext_noop("Comparator: it matched one standard"),
            gettext_noop("By eye. Also for a color beyond the darkest or lightest standard."),
            (*_comparator_fields(asked), *_ending(asked)),
        ),
        Mode(
            "comparator_between",
            gettext_noop("Comparator: it lay between two standards"),
            gettext_noop("By eye. The middle of the two is taken."),
            (*_between_fields(asked), *_ending(asked)),
        ),
    )


def _photometer_fields(asked: Coloring) -> tuple[Field, ...]:
    return (
        _amount(
            asked,
            "reading",
            gettext_noop("Reading on the photometer"),
            gettext_noop("As it stands once the waiting time is over. ppm is mg/L here."),
            required=False,
            when=UNLESS_BEYOND,
        ),
        _scale(ABOVE_CHOICES),
        _amount(
            asked,
            "range_low",
            gettext_noop("Lowest reading of its range"),
            gettext_noop("From the instrument's sheet. Less than this is reported as below it."),
            required=False,
        ),
        _amount(
            asked,
            "range_high",
            gettext_noop("Highest reading of its range"),
            gettext_noop("From the instrument's sheet. More than this is reported as above it."),
            required=False,
        ),
    )


def _absorbance_fields(asked: Coloring) -> tuple[Field, ...]:
    span = (0.0, HIGHEST_ABSORBANCE)
    factor_unit = f"{asked.unit}/absorbance"
    return (
        _plain(
            "absorbance",
            gettext_noop("Absorbance of the sample"),
            "absorbance",
            span,
            gettext_noop("As it stands once the waiting time is over."),
        ),
        _scale(ABOVE_CHOICES),
        _plain(
            "blank",
            gettext_noop("Absorbance of the blank"),
            "absorbance",
            span,
            gettext_noop("Distilled water with the same reagents; 0 if you zeroed on it."),
            "0",
        ),
        _plain(
            "factor",
            gettext_noop("Factor of the calibration"),
            factor_unit,
            (1e-4 * asked.highest, 10.0 * asked.highest),
            gettext_noop("Concentration for an absorbance of 1 in a path of 10 mm."),
        ),
        _plain(
            "path",
            gettext_noop("Path of the cell"),
            "mm",
            (1.0, 200.0),
            gettext_noop("How far the light goes through the water."),
            f"{FACTOR_PATH_MM:g}",
        ),
        _plain(
            "highest",
            gettext_noop("Highest absorbance of the calibration"),
            "absorbance",
            (0.1, HIGHEST_ABSORBANCE),
            gettext_noop("More than this is reported as above it."),
            "1.5",
        ),
    )


def _comparator_fields(asked: Coloring) -> tuple[Field, ...]:
    return (
        _scale(COMPARED_CHOICES),
        _amount(
            asked,
            "standard",
            gettext_noop("Standard it matched"),
            gettext_noop("Or the darkest or lightest one, if the color lay beyond it."),
        ),
        _amount(
            asked,
            "next_standard",
            gettext_noop("Standard next to it"),
            gettext_noop("The nearest other one of the set; it tells how fine the set is."),
            required=False,
            when=UNLESS_BEYOND,
        ),
    )


def _between_fields(asked: Coloring) -> tuple[Field, ...]:
    return (
        _amount(
            asked,
            "lower",
            gettext_noop("Lighter of the two standards"),
            gettext_noop("The color was darker than this one."),
        ),
        _amount(
            asked,
            "upper",
            gettext_noop("Darker of the two standards"),
            gettext_noop("The color was lighter than this one."),
        ),
    )
