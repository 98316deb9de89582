"""How much caustic soda a water takes to a pH."""

from chemistry import at_ph, solve
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.totals import molar_mass
from chemistry.words import gettext_noop

_WATER = asked.EVERY_SUBSTANCE


def _work(given: Given) -> Found:
    totals, temp = given.totals(_WATER), given["temperature"]
    base = float(at_ph.base_to_reach(totals, given["ph"], temp))
    now = float(solve.equilibrate(totals, temp).ph)
    name = gettext_noop("Caustic soda, NaOH") if base >= 0.0 else gettext_noop("Acid, as HCl")
    mass = (molar_mass("Na") + molar_mass("OH")) if base >= 0.0 else molar_mass("HCl")
    remark = gettext_noop(
        "The water is more alkaline than that already. Never put acid into a boiler."
    )
    return Found(
        (
            Answer("now", gettext_noop("pH of the water as it is"), now, decimals=2),
            Answer("needed", name, abs(base) * mass * 1000.0, "mg/kg", asked.AMOUNTS),
        ),
        () if base >= 0.0 else ((remark, {}),),
    )


CALCULATION = Calculation(
    key="ph_by_base",
    subject="water",
    question=gettext_noop("How much caustic soda brings this water to a pH?"),
    purpose=gettext_noop(
        "Weak acids such as phosphate, carbon dioxide and silica swallow base: this counts all of "
        "it."
    ),
    fields=(asked.ph(label=gettext_noop("pH wanted")), asked.temperature(), *_WATER),
    work=_work,
    validity=words.ANY_DILUTE_WATER,
    sources=("PHREEQC",),
    example={"ph": "10", "PO4": "94.97"},
    cautions=words.DOSING,
)
