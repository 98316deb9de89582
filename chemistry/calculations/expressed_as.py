"""Phosphate and silica, said as one formula or another."""

from chemistry import expressed
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.words import gettext_noop

FORMULAS = tuple((each, each) for each in ("PO4", "P2O5", "P", "SiO2", "Si"))


def _work(given: Given) -> Found:
    times = expressed.ratio(given.choice("wanted"), given.choice("given"))
    return Found(
        (
            Answer(
                "amount",
                gettext_noop("The same, as wanted"),
                times * given["amount"],
                "mg/L",
                asked.PER_LITER,
            ),
            Answer("times", gettext_noop("Times the figure given"), times),
        )
    )


CALCULATION = Calculation(
    key="expressed_as",
    subject="expressing",
    question=gettext_noop("What is this phosphate or silica as another formula?"),
    purpose=gettext_noop("The same water is 10 mg/L as PO4 and 3.3 mg/L as P: never mix the two."),
    fields=(
        Field(
            "amount",
            gettext_noop("The figure"),
            unit="mg/L",
            units=asked.PER_LITER,
            low=0.0,
            high=50_000.0,
        ),
        Field("given", gettext_noop("is given as"), choices=FORMULAS, default="P"),
        Field("wanted", gettext_noop("and wanted as"), choices=FORMULAS, default="PO4"),
    ),
    work=_work,
    validity=gettext_noop("Two formulas of one element."),
    sources=("atomic weights",),
    example={"amount": "10", "given": "P", "wanted": "PO4"},
)
