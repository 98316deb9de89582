"""Hydroxide, carbonate and bicarbonate from P and M."""

from chemistry import alkalinity
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    parts = alkalinity.split(given["p"], given["m"])
    named = (
        ("hydroxide", gettext_noop("Hydroxide"), parts.hydroxide),
        ("carbonate", gettext_noop("Carbonate"), parts.carbonate),
        ("bicarbonate", gettext_noop("Bicarbonate"), parts.bicarbonate),
    )
    return Found(
        tuple(
            Answer(key, name, float(value), "mg_CaCO3/L", asked.AS_CACO3)
            for key, name, value in named
        )
    )


CALCULATION = Calculation(
    key="alkalinity_split",
    subject="alkalinity",
    question=gettext_noop("How much hydroxide, carbonate and bicarbonate do P and M mean?"),
    purpose=gettext_noop("From the two end points of the acid titration."),
    fields=(
        asked.as_caco3("p", gettext_noop("P alkalinity")),
        asked.as_caco3("m", gettext_noop("M alkalinity")),
    ),
    work=_work,
    validity=gettext_noop(
        "Waters whose alkalinity is nothing else. Phosphate, silica, sulfite and amines count too: "
        "beside them this says nothing of hydroxide."
    ),
    sources=("SM 2320",),
    example={"p": "50", "m": "80"},
)
