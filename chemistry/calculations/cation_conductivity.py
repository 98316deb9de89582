"""What a steam or condensate conducts behind a cation exchanger."""

from chemistry import cation, solve
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop

_WATER = asked.substances(
    "NH3", "Na", "Cl", "SO4", "CO2", "CH3COO", "morpholine", "cyclohexylamine", "ethanolamine"
)


def _work(given: Given) -> Found:
    totals, temp = given.totals(_WATER), given["temperature"]
    water = solve.equilibrate(totals, temp)
    behind = float(cation.cation_conductivity(totals, temp))
    degassed = float(cation.cation_conductivity(totals, temp, degassed=True))
    figures = (
        ("plain", gettext_noop("Conductivity"), float(water.conductivity)),
        ("cation", gettext_noop("Behind the cation exchanger"), behind),
        ("degassed", gettext_noop("Behind it, and degassed"), degassed),
    )
    return Found(
        (
            *(
                Answer(key, name, value, "uS/cm", asked.CONDUCTIVITIES)
                for key, name, value in figures
            ),
            Answer("ph", gettext_noop("pH at its temperature"), float(water.ph), decimals=2),
        )
    )


CALCULATION = Calculation(
    key="cation_conductivity",
    subject="conductivity",
    question=gettext_noop("What does a condensate conduct behind a cation exchanger?"),
    purpose=gettext_noop(
        "Ammonia and amines stay in the exchanger and every salt becomes its acid: traces show "
        "threefold. Degassed, carbon dioxide is gone too."
    ),
    fields=(asked.temperature(), *_WATER),
    work=_work,
    validity=words.ANY_DILUTE_WATER,
    sources=("PHREEQC", "CRC Handbook"),
    example={"NH3": "0.5", "Na": "0.0065", "Cl": "0.01"},
)
