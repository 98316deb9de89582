"""How much water of a banked boiler to let out and fill again."""

from chemistry import blowdown
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    out = blowdown.blown_mass_to_reach(given["now"], given["wanted"], given["feed"], given["mass"])
    return Found(
        (
            Answer(
                "out",
                gettext_noop("Water to let out and fill again"),
                float(out),
                "kg",
                asked.MASSES,
            ),
            Answer(
                "part",
                gettext_noop("Of the boiler's water"),
                100.0 * float(out) / given["mass"],
                "percent",
                digits=3,
            ),
        )
    )


CALCULATION = Calculation(
    key="drain_and_fill",
    subject="blowdown",
    question=gettext_noop("How much water has to be let out and filled again?"),
    purpose=gettext_noop(
        "For a boiler that makes no steam: water out first, then fresh water in. Type conductivity "
        "or chloride, all of them of one kind and in one unit."
    ),
    fields=(
        asked.level("now", gettext_noop("Boiler water now")),
        asked.level("wanted", gettext_noop("Value wanted")),
        asked.level("feed", gettext_noop("The water filled in")),
        asked.mass("mass", gettext_noop("Water in the boiler")),
    ),
    work=_work,
    validity=gettext_noop(
        "Nothing is filled in before the letting out ends. A banked boiler does not mix by itself: "
        "draw again when it has."
    ),
    sources=("our own",),
    example={"now": "3500", "wanted": "3000", "feed": "100", "mass": "8000"},
    cautions=words.BLOWING_DOWN,
)
