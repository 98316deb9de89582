"""Boiler water that goes over with the steam, told by sodium."""

from chemistry import carryover
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.units import absolute_kpa
from chemistry.words import gettext_noop


def _spread(key: str, label: str) -> Field:
    return Field(
        key, label, unit="percent", units=("percent",), low=0.0, high=100.0, default="10",
        required=False,
    )  # fmt: skip


def _work(given: Given) -> Found:
    steam, boiler = given["steam"], given["boiler"]
    found = carryover.carryover(
        steam,
        boiler,
        absolute_kpa(given["pressure"]),
        steam_expanded=steam * given["steam_spread"] / 100.0,
        boiler_expanded=boiler * given["boiler_spread"] / 100.0,
    )
    return Found(
        (
            Answer(
                "carryover",
                gettext_noop("Boiler water in the steam"),
                float(found.percent),
                "percent",
                (),
                float(found.low),
                float(found.high),
                digits=3,
            ),
        )
    )


CALCULATION = Calculation(
    key="steam_carryover",
    subject="steam",
    question=gettext_noop("How much boiler water does the steam carry over?"),
    purpose=gettext_noop(
        "Sodium goes over with droplets alone, so its share tells theirs. Draw the steam before "
        "any spray water."
    ),
    fields=(
        asked.amount("steam", gettext_noop("Sodium in the steam"), unit="ug/kg"),
        asked.amount("boiler", gettext_noop("Sodium in the boiler water")),
        asked.pressure(),
        _spread("steam_spread", gettext_noop("How sure the sodium in the steam is, ±")),
        _spread("boiler_spread", gettext_noop("How sure the sodium in the boiler is, ±")),
    ),
    work=_work,
    validity=gettext_noop("Drums below 15 MPa: above, salts go over as vapor too."),
    sources=("IAPWS TGD1-08",),
    example={"steam": "10", "boiler": "10", "pressure": "40 barg"},
)
