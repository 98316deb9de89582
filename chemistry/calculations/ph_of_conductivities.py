"""The pH of a condensate from its two conductivities."""

from typing import cast

from chemistry import cation
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.errors import ChemistryError
from chemistry.methods.base import Field
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    alkali = cast(cation.Alkali, given.choice("alkali"))
    specific, behind = given["specific"], given["cation"]
    water = cation.ph_of_conductivities(specific, behind, alkali)
    answers = [
        Answer("ph", gettext_noop("pH at 25 °C"), float(water.ph), decimals=2),
        Answer("alkali", gettext_noop("The alkali"), float(water.alkali), "mg/kg", asked.AMOUNTS),
        Answer(
            "chloride",
            gettext_noop("Its anions, counted as chloride"),
            float(water.chloride),
            "mg/kg",
            asked.AMOUNTS,
        ),
    ]
    try:
        by_formula = float(cation.ph_by_formula(specific, behind, alkali))
    except ChemistryError as error:
        return Found(tuple(answers), ((error.template, error.params),))
    answers.insert(
        1, Answer("ph_formula", gettext_noop("pH by the usual formula"), by_formula, decimals=2)
    )
    return Found(tuple(answers))


CALCULATION = Calculation(
    key="ph_of_conductivities",
    subject="conductivity",
    question=gettext_noop("What pH do the two conductivities of a condensate tell?"),
    purpose=gettext_noop(
        "In pure water a pH electrode is slow and wanders; two conductivities tell the pH better."
    ),
    fields=(
        asked.conductivity("specific", gettext_noop("Conductivity at 25 °C")),
        asked.conductivity(
            "cation", gettext_noop("Conductivity behind the cation exchanger at 25 °C")
        ),
        Field(
            "alkali",
            gettext_noop("The alkali in it"),
            choices=(("NH3", gettext_noop("ammonia")), ("Na", gettext_noop("caustic soda"))),
            default="NH3",
        ),
    ),
    work=_work,
    validity=gettext_noop(
        "Water of one alkali without phosphate, up to 100 µS/cm; the formula from pH 7.5 to 10.5."
    ),
    sources=("VGB-S-010", "PHREEQC"),
    example={"specific": "6.7", "cation": "0.15"},
)
