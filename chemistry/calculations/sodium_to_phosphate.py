"""The sodium-to-phosphate ratio of a boiler water, with its interval."""

from chemistry import phosphate, phosphate_regions
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.totals import molar_mass
from chemistry.words import gettext_noop

PLACES = {
    "inside": gettext_noop("%(label)s treatment: inside its region."),
    "too_caustic": gettext_noop("%(label)s treatment: too much caustic for it."),
    "too_acid": gettext_noop("%(label)s treatment: too little caustic for it."),
    "too_little": gettext_noop("%(label)s treatment: too little phosphate for it."),
    "too_much": gettext_noop("%(label)s treatment: too much phosphate for it."),
}
_FROM_MEMORY = gettext_noop(
    "The regions are of pure phosphate and from memory: your own program decides."
)


def _work(given: Given) -> Found:
    po4, carbon = given["PO4"], given.get("CO2") * molar_mass("C") / molar_mass("CO2")
    found = phosphate.sodium_to_phosphate(
        given["ph"], po4, given.get("NH3"), given.get("SiO2"), carbon, given["temperature"]
    )
    pure = float(phosphate.ph_of_ratio(found.ratio, po4))
    remarks: list[tuple[str, dict[str, str]]] = [
        (PLACES[phosphate_regions.place_in(region, pure, po4)], {"label": region.name})
        for region in phosphate_regions.REGIONS.values()
    ]
    return Found(
        (
            Answer(
                "ratio",
                gettext_noop("Na:PO4 molar ratio"),
                float(found.ratio),
                low=float(found.low),
                high=float(found.high),
                decimals=2,
            ),
            Answer(
                "shift",
                gettext_noop("Taken off for ammonia, silica and carbonate"),
                float(found.shift),
                decimals=2,
            ),
            Answer("pure", gettext_noop("pH of the phosphate alone at 25 °C"), pure, decimals=2),
        ),
        (*remarks, (_FROM_MEMORY, {})),
    )


CALCULATION = Calculation(
    key="sodium_to_phosphate",
    subject="alkalinity",
    question=gettext_noop("What is the sodium-to-phosphate ratio?"),
    purpose=gettext_noop(
        "3 is trisodium phosphate; beyond it there is free caustic. A pH meter that is off by 0.05 "
        "moves it by more than most people think: read the interval."
    ),
    fields=(
        asked.ph(),
        asked.temperature(),
        asked.amount("PO4", asked.NAMES["PO4"]),
        *asked.substances("NH3", "SiO2", "CO2"),
    ),
    work=_work,
    validity=gettext_noop(
        "At least 0.5 mg/kg of phosphate. Refused where silica, carbonate and ammonia swamp it, as "
        "they do with softened makeup."
    ),
    sources=("PHREEQC", "phosphate regions"),
    example={"ph": "9.8", "PO4": "10"},
)
