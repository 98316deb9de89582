"""What a softener can still do before it has to be regenerated."""

from chemistry import softener
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.words import gettext_noop

_VOLUMES = ("m**3", "L", "US_liquid_gallon")


def _work(given: Given) -> Found:
    flow = given["flow"] if given.get("flow") > 0.0 else None
    inlet, outlet = given["inlet"], given.get("outlet")
    left = softener.left(given["capacity"], inlet, given["throughput"], outlet, flow)
    answers = [
        Answer("percent", gettext_noop("Capacity left"), float(left.percent), "percent", digits=3),
        Answer("water", gettext_noop("Water left"), float(left.water_m3), "m**3", _VOLUMES),
        Answer(
            "leakage",
            gettext_noop("Hardness let through"),
            float(softener.leakage_percent(inlet, outlet)),
            "percent",
            digits=2,
        ),
    ]
    if left.hours is not None:
        answers.append(
            Answer("hours", gettext_noop("Time left"), float(left.hours), "h", ("h", "d"))
        )
    return Found(tuple(answers))


CALCULATION = Calculation(
    key="softener_left",
    subject="hardness",
    question=gettext_noop("How long does the softener still last?"),
    purpose=gettext_noop(
        "From its capacity and what has gone through since it was regenerated. Less than nothing "
        "left means that it is overrun."
    ),
    fields=(
        Field(
            "capacity",
            gettext_noop("Capacity, as CaCO3"),
            unit="kg",
            units=("kg", "lb"),
            low=0.001,
            high=100_000.0,
            help=gettext_noop(
                "As the maker states it for your salt dose; 1 kilograin is 0.0648 kg."
            ),
        ),
        asked.as_caco3("inlet", gettext_noop("Hardness of the raw water")),
        asked.as_caco3("outlet", gettext_noop("Hardness behind the softener"), required=False),
        Field(
            "throughput",
            gettext_noop("Water through since it was regenerated"),
            unit="m**3",
            units=_VOLUMES,
            low=0.0,
            high=10_000_000.0,
        ),
        Field(
            "flow",
            gettext_noop("Flow now"),
            unit="m**3/h",
            units=("m**3/h", "L/min", "gal/min"),
            low=0.0,
            high=100_000.0,
            required=False,
        ),
    ),
    work=_work,
    validity=gettext_noop(
        "A bed that takes up what its maker states; old or fouled resin does less."
    ),
    sources=("softener pages",),
    example={"capacity": "30", "inlet": "300", "throughput": "75", "flow": "5"},
)
