"""Heat that blowdown carries away."""

from chemistry import blowdown
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    lost = blowdown.heat_lost_kj(given["blowdown"], given["pressure"], given["makeup"])
    return Found(
        (
            Answer(
                "heat",
                gettext_noop("Heat lost"),
                float(lost) / 3600.0,
                "kW",
                ("kW", "MW", "Btu/h"),
            ),
        )
    )


CALCULATION = Calculation(
    key="blowdown_heat",
    subject="blowdown",
    question=gettext_noop("How much heat does the blowdown carry away?"),
    purpose=gettext_noop("Against makeup of the temperature given, with nothing recovered."),
    fields=(
        asked.flow("blowdown", gettext_noop("Blowdown")),
        asked.pressure(),
        asked.temperature("makeup", gettext_noop("Temperature of the makeup"), default="15"),
    ),
    work=_work,
    validity=gettext_noop("Boiling water at the drum's pressure, the gauge at sea level."),
    sources=("IF97",),
    example={"blowdown": "1000", "pressure": "898.675 kPag", "makeup": "15"},
)
