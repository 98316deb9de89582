"""What an oxygen scavenger needs by its equation."""

from chemistry import deaeration
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.words import gettext_noop

NAMES = (
    ("sodium_sulfite", gettext_noop("sodium sulfite")),
    ("sodium_bisulfite", gettext_noop("sodium bisulfite")),
    ("sodium_metabisulfite", gettext_noop("sodium metabisulfite")),
    ("hydrazine", gettext_noop("hydrazine")),
    ("carbohydrazide", gettext_noop("carbohydrazide")),
    ("diethylhydroxylamine", gettext_noop("diethylhydroxylamine")),
    ("hydroquinone", gettext_noop("hydroquinone")),
    ("methyl_ethyl_ketoxime", gettext_noop("methyl ethyl ketoxime")),
)


def _work(given: Given) -> Found:
    key = given.choice("scavenger")
    needed = float(deaeration.scavenger_kg_h(key, given["oxygen"], given["feed"]))
    return Found(
        (
            Answer(
                "ratio",
                gettext_noop("Scavenger for each part of oxygen"),
                deaeration.scavenger_ratio(key),
                digits=3,
            ),
            Answer("needed", gettext_noop("Pure scavenger"), needed, "kg/h", ("kg/h", "lb/h")),
        ),
        (
            (
                gettext_noop(
                    "By the equation alone. The residual you hold and what blowdown carries away "
                    "come on top, and of the organic ones practice feeds more."
                ),
                {},
            ),
        ),
    )


CALCULATION = Calculation(
    key="scavenger_demand",
    subject="oxygen",
    question=gettext_noop("How much scavenger does the oxygen take?"),
    purpose=gettext_noop("What has to be fed merely to meet the oxygen in the feedwater."),
    fields=(
        Field("scavenger", gettext_noop("Scavenger"), choices=NAMES, default="sodium_sulfite"),
        asked.amount("oxygen", gettext_noop("Oxygen in the feedwater"), unit="ug/kg"),
        asked.flow("feed", gettext_noop("Feedwater flow")),
    ),
    work=_work,
    validity=gettext_noop(
        "Balanced equations. Sulfite is not for boilers above 900 psig, hydrazine never where "
        "steam touches food or air that people breathe."
    ),
    sources=("scavenger note", "weights"),
    example={"oxygen": "7", "feed": "10000"},
    cautions=words.DOSING,
)
