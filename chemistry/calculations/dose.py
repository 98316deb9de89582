"""How much of a chemical raises a boiler's water by so much."""

from chemistry import dosing
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.dosing import CHEMICALS
from chemistry.methods.base import Field
from chemistry.words import gettext_noop

RAISES = {
    "phosphate": gettext_noop("Phosphate, as PO4, is raised by"),
    "sulfite": gettext_noop("Sulfite, as SO3, is raised by"),
    "p_alkalinity": gettext_noop("P alkalinity, as CaCO3, is raised by"),
}


def _first(key: str) -> str:
    """Return what a chemical is dosed for."""
    return next(each for each in RAISES if CHEMICALS[key].share(each))


def _work(given: Given) -> Found:
    chemical = CHEMICALS[given.choice("chemical")]
    strength = given["strength"] / 100.0
    share = chemical.share(_first(chemical.key)) * strength
    kg = dosing.kg_for_rise(given["rise"], given["mass"], share)
    grams_per_kg = 1e6 * kg * strength / given["mass"]
    others = tuple(
        Answer(name, RAISES[name], grams_per_kg * chemical.share(name), "mg/L", digits=3)
        for name in RAISES
        if chemical.share(name)
    )
    return Found(
        (Answer("dose", gettext_noop("Dose"), kg, "kg", ("kg", "g", "lb"), digits=3), *others)
    )


CALCULATION = Calculation(
    key="dose",
    subject="dosing",
    question=gettext_noop("How much of a chemical raises the boiler water by so much?"),
    purpose=gettext_noop(
        "The rise is of phosphate as PO4, of sulfite as SO3, and of P alkalinity as CaCO3, "
        "whichever the chemical is dosed for."
    ),
    fields=(
        Field(
            "chemical",
            gettext_noop("Chemical"),
            choices=tuple((each.key, each.name) for each in CHEMICALS.values()),
            default="tsp_crystals",
        ),
        Field(
            "rise", gettext_noop("Rise wanted"), unit="mg/L", units=("mg/L",), low=0.0, high=5000.0
        ),
        asked.mass("mass", gettext_noop("Water in the boiler")),
        Field(
            "strength",
            gettext_noop("Strength of the product"),
            unit="percent",
            units=("percent",),
            low=0.1,
            high=100.0,
            default="100",
            help=gettext_noop("How much of it is the chemical named, by weight."),
        ),
    ),
    work=_work,
    validity=gettext_noop("Mixed in, and nothing lost to blowdown, oxygen or scale meanwhile."),
    sources=("weights", "NAVEDTRA"),
    example={"rise": "40", "mass": "10000"},
    cautions=words.DOSING,
)
