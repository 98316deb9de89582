"""What is this water? pH, conductivity and alkalinity of a composition."""

from chemistry import solve, titrated
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    totals, temp = given.totals(asked.EVERY_SUBSTANCE), given["temperature"]
    water, cool = solve.equilibrate(totals, temp), solve.equilibrate(totals)
    titration = titrated.alkalinity_of(totals)
    return Found(
        (
            Answer("ph", gettext_noop("pH at its temperature"), float(water.ph), decimals=2),
            Answer("ph_25", gettext_noop("pH at 25 °C"), float(cool.ph), decimals=2),
            Answer(
                "conductivity",
                gettext_noop("Conductivity at its temperature"),
                float(water.conductivity),
                "uS/cm",
                asked.CONDUCTIVITIES,
            ),
            Answer(
                "conductivity_25",
                gettext_noop("Conductivity at 25 °C"),
                float(cool.conductivity),
                "uS/cm",
                asked.CONDUCTIVITIES,
            ),
            Answer(
                "p_alkalinity",
                gettext_noop("P alkalinity"),
                float(titration.p),
                "mg_CaCO3/L",
                asked.AS_CACO3,
            ),
            Answer(
                "m_alkalinity",
                gettext_noop("M alkalinity"),
                float(titration.m),
                "mg_CaCO3/L",
                asked.AS_CACO3,
            ),
            Answer(
                "ionic_strength",
                gettext_noop("Ionic strength"),
                float(water.ionic_strength) * 1000.0,
                "mmol/kg",
            ),
        ),
        ((gettext_noop("An alkalinity below zero is acid: base is wanted to reach the pH."), {}),)
        if titration.p < 0.0
        else (),
    )


CALCULATION = Calculation(
    key="composition",
    subject="water",
    question=gettext_noop("What is the pH and conductivity of this water?"),
    purpose=gettext_noop(
        "Give what the water holds. Whatever charge is left over is made up by the hydrogen ion: "
        "this is the pH that such a water must have."
    ),
    fields=(asked.temperature(), *asked.EVERY_SUBSTANCE),
    work=_work,
    validity=words.ANY_DILUTE_WATER,
    sources=("PHREEQC", "CRC Handbook", "Robinson and Stokes"),
    example={"Na": "9.2", "PO4": "10"},
)
