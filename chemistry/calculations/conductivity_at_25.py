"""A conductivity measured warm or cold, at 25 °C."""

from chemistry import conductivity
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    reading, temp = given["reading"], given["temperature"]
    if given.choice("way") == "natural":
        at_25 = reading * float(conductivity.natural_water_factor(temp))
    else:
        part = given["coefficient"] / 100.0
        at_25 = float(conductivity.linear_to_25c(reading, temp, part))
    return Found(
        (
            Answer(
                "conductivity",
                gettext_noop("Conductivity at 25 °C"),
                at_25,
                "uS/cm",
                asked.CONDUCTIVITIES,
            ),
            Answer("factor", gettext_noop("Times the reading"), at_25 / reading),
        ),
        (
            (
                gettext_noop(
                    "If the meter compensates by itself, its reading is at 25 °C already: correct "
                    "it a second time and it is wrong."
                ),
                {},
            ),
        ),
    )


CALCULATION = Calculation(
    key="conductivity_at_25",
    subject="conductivity",
    question=gettext_noop("What would this conductivity be at 25 °C?"),
    purpose=gettext_noop("For a reading that the meter did not compensate."),
    fields=(
        asked.conductivity("reading", gettext_noop("Reading")),
        asked.temperature(default=""),
        Field(
            "way",
            gettext_noop("The water"),
            choices=(
                ("linear", gettext_noop("boiler water or another, by a coefficient")),
                ("natural", gettext_noop("natural water, by ISO 7888")),
            ),
            default="linear",
        ),
        Field(
            "coefficient",
            gettext_noop("Coefficient"),
            unit="%/K",
            units=("%/K",),
            low=0.5,
            high=7.0,
            default="2",
            required=False,
            help=gettext_noop(
                "About 2 for salts, 1.8 for caustic boiler water, 5 for pure condensate (common "
                "practice)."
            ),
        ),
    ),
    work=_work,
    validity=gettext_noop("0 to 60 °C by a coefficient; natural waters from 0 to 35.9 °C."),
    sources=("ISO 7888",),
    example={"reading": "1013.95", "temperature": "10"},
)
