"""Silica that goes into steam, and what a boiler may hold."""

from chemistry import silica
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.units import absolute_kpa
from chemistry.words import gettext_noop

_PART = 0.3
"""How good the ray law is: from memory, as chemistry.silica says."""


def _work(given: Given) -> Found:
    kpa = absolute_kpa(given["pressure"])
    steam = float(silica.steam_silica_mg_kg(given["SiO2"], kpa))
    most = float(silica.permitted_mg_kg(kpa, given["limit"]))
    return Found(
        (
            Answer(
                "steam",
                gettext_noop("Silica in the steam"),
                steam,
                "mg/kg",
                asked.AMOUNTS,
                steam * (1.0 - _PART),
                steam * (1.0 + _PART),
                digits=2,
            ),
            Answer(
                "permitted",
                gettext_noop("Silica that the boiler may hold"),
                most,
                "mg/kg",
                asked.AMOUNTS,
                most * (1.0 - _PART),
                most * (1.0 + _PART),
                digits=2,
            ),
        )
    )


CALCULATION = Calculation(
    key="steam_silica",
    subject="steam",
    question=gettext_noop("How much silica goes over into the steam?"),
    purpose=gettext_noop(
        "Silica goes over as vapor, however dry the steam: a turbine's limit sets the boiler's."
    ),
    fields=(
        asked.amount("SiO2", gettext_noop("Silica in the boiler water, SiO2")),
        asked.pressure(),
        Field(
            "limit",
            gettext_noop("Limit in the steam"),
            unit="mg/kg",
            units=asked.AMOUNTS,
            low=0.001,
            high=1.0,
            default="0.02",
            help=gettext_noop("0.02 mg/kg is common practice for turbines."),
        ),
    ),
    work=_work,
    validity=gettext_noop("2800 to 15,500 kPa absolute; good to about 30 %, safe above pH 10."),
    sources=("ray law", "silica pages"),
    example={"SiO2": "8.8", "pressure": "5898.675 kPag"},
)
