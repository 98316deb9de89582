"""A pH measured warm or cold, at 25 °C."""

from chemistry import at_ph, solve
from chemistry.calculations import asked, words
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.totals import molar_mass
from chemistry.words import gettext_noop

_OTHERS = asked.substances(
    "PO4", "CO2", "NH3", "SiO2", "Cl", "SO4", "morpholine", "cyclohexylamine"
)


def _work(given: Given) -> Found:
    totals = given.totals(_OTHERS)
    base = float(at_ph.base_to_reach(totals, given["ph"], given["temperature"]))
    # one part in a thousand: mol/kg to mg/kg
    totals["Na"] = max(base, 0.0) * molar_mass("Na") * 1000.0
    totals["Cl"] = totals.get("Cl", 0.0) + max(-base, 0.0) * molar_mass("Cl") * 1000.0
    cool = solve.equilibrate(totals)
    return Found(
        (
            Answer("ph_25", gettext_noop("pH at 25 °C"), float(cool.ph), decimals=2),
            Answer(
                "change",
                gettext_noop("Difference to the pH as measured"),
                float(cool.ph) - given["ph"],
                decimals=2,
            ),
        )
    )


CALCULATION = Calculation(
    key="ph_at_25",
    subject="water",
    question=gettext_noop("What would this pH be at 25 °C?"),
    purpose=gettext_noop(
        "A meter's temperature compensation corrects the electrode, not the water: the same boiler "
        "water reads lower when it is warm. The alkali that no field names is taken for caustic "
        "soda."
    ),
    fields=(asked.ph(label=gettext_noop("pH as measured")), asked.temperature(), *_OTHERS),
    work=_work,
    validity=words.ANY_DILUTE_WATER,
    sources=("PHREEQC",),
    example={"ph": "10.55", "temperature": "40"},
)
