"""Cycles of concentration and the blowdown that keeps them."""

from chemistry import blowdown
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    cycles = float(blowdown.cycles_of_concentration(given["boiler"], given["feed"]))
    answers = [
        Answer("cycles", gettext_noop("Cycles of concentration"), cycles),
        Answer(
            "of_feed",
            gettext_noop("Blowdown, of the feedwater"),
            float(blowdown.percent_of_feedwater(cycles)),
            "percent",
        ),
        Answer(
            "of_steam",
            gettext_noop("Blowdown, of the steam"),
            float(blowdown.percent_of_steam(cycles)),
            "percent",
        ),
    ]
    if "steam" in given:
        blown = float(blowdown.blowdown_from_cycles(given["steam"], cycles))
        fed = float(blowdown.feedwater_flow(given["steam"], blown))
        answers += [
            Answer("blowdown", gettext_noop("Blowdown"), blown, "kg/h", asked.FLOWS),
            Answer("fed", gettext_noop("Feedwater"), fed, "kg/h", asked.FLOWS),
        ]
    return Found(tuple(answers))


CALCULATION = Calculation(
    key="cycles",
    subject="blowdown",
    question=gettext_noop("How many cycles does the boiler run, and what blowdown keeps them?"),
    purpose=words.ONE_KIND,
    fields=(
        asked.level("boiler", gettext_noop("Boiler water")),
        asked.level("feed", gettext_noop("Feedwater")),
        asked.flow("steam", gettext_noop("Steam made"), required=False),
    ),
    work=_work,
    validity=gettext_noop("A steady boiler, and something that neither boils away nor settles."),
    sources=("UFC", "TM 5-650"),
    example={"boiler": "5000", "feed": "250", "steam": "10000"},
    cautions=words.BLOWING_DOWN,
)
