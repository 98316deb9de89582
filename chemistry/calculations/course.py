"""How long a changed blowdown takes, and where it ends."""

from chemistry import blowdown
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.errors import EntryError
from chemistry.words import gettext_noop

_TIMES = ("h", "d")
NO_BLOWDOWN = gettext_noop("Without blowdown the water only grows richer. Give a flow above zero.")


def _work(given: Given) -> Found:
    now, feed, steam = given["now"], given["feed"], given["steam"]
    flow, mass = given["blowdown"], given["mass"]
    if flow <= 0.0:
        raise EntryError("no_blowdown", NO_BLOWDOWN, field="blowdown")
    ends = float(blowdown.steady_value(feed, steam, flow))
    answers = [
        Answer("ends", gettext_noop("Where it ends"), ends),
        Answer("constant", gettext_noop("Time constant"), mass / flow, "h", _TIMES),
    ]
    if "wanted" in given:
        hours = float(blowdown.hours_to_reach(now, given["wanted"], feed, steam, flow, mass))
        answers.insert(0, Answer("hours", gettext_noop("Time to get there"), hours, "h", _TIMES))
    return Found(tuple(answers))


CALCULATION = Calculation(
    key="course",
    subject="blowdown",
    question=gettext_noop("How long does a continuous blowdown take?"),
    purpose=gettext_noop(
        "A continuous valve is slow: after one time constant two thirds of the way are done. Type "
        "conductivity or chloride, all of them of one kind and in one unit."
    ),
    fields=(
        asked.level("now", gettext_noop("Boiler water now")),
        asked.level("wanted", gettext_noop("Value wanted"), required=False),
        asked.level("feed", gettext_noop("Feedwater")),
        asked.flow("steam", gettext_noop("Steam made")),
        asked.flow("blowdown", gettext_noop("Blowdown")),
        asked.mass("mass", gettext_noop("Water in the boiler")),
    ),
    work=_work,
    validity=gettext_noop("A boiler that mixes, at a steady load."),
    sources=("UFC", "our own"),
    example={
        "now": "3500",
        "wanted": "3000",
        "feed": "100",
        "steam": "10000",
        "blowdown": "500",
        "mass": "8000",
    },
    cautions=words.BLOWING_DOWN,
)
