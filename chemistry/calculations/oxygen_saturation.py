"""Oxygen that water takes up from air."""

from chemistry import oxygen
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.deaerator import atmosphere_kpa
from chemistry.methods.base import Field
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    air = float(atmosphere_kpa(given["altitude"]))
    held = float(oxygen.saturation_mg_l(given["temperature"], air, given["salinity"]))
    return Found(
        (
            Answer("oxygen", gettext_noop("Oxygen, beside air"), held, "mg/L", asked.PER_LITER),
            Answer("air", gettext_noop("Pressure of the air"), air, "kPa", ("kPa", "psi", "bar")),
        )
    )


CALCULATION = Calculation(
    key="oxygen_saturation",
    subject="oxygen",
    question=gettext_noop("How much oxygen does water take up from air?"),
    purpose=gettext_noop("What makeup or an open feed tank brings to the deaerator."),
    fields=(
        asked.temperature(high=40.0, default=""),
        asked.altitude(),
        Field(
            "salinity",
            gettext_noop("Salt in it"),
            unit="g/kg",
            units=("g/kg",),
            low=0.0,
            high=40.0,
            default="0",
            required=False,
        ),
    ),
    work=_work,
    validity=gettext_noop("0 to 40 °C, fresh water to the sea."),
    sources=("Benson and Krause", "Green and Carritt", "ISO 2533"),
    example={"temperature": "24"},
)
