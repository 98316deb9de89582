"""What a deaerator below boiling can leave in the water, and what it took out."""

from chemistry import deaeration
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.deaerator import atmosphere_kpa
from chemistry.units import absolute_kpa
from chemistry.water import saturation_temperature_c
from chemistry.words import gettext_noop


def _work(given: Given) -> Found:
    gauge, high = given["pressure"], given["altitude"]
    boils = float(saturation_temperature_c(absolute_kpa(gauge, float(atmosphere_kpa(high)))))
    most = float(deaeration.oxygen_at_most_ug_kg(given["temperature"], gauge, high))
    answers = [
        Answer(
            "boiling", gettext_noop("Boiling at that pressure"), boils, "degC", asked.TEMPERATURES
        ),
        Answer(
            "below",
            gettext_noop("Water stands below boiling by"),
            boils - given["temperature"],
            "K",
            digits=3,
        ),
        Answer("most", gettext_noop("Oxygen it can leave, at most"), most, "ug/kg", asked.AMOUNTS),
    ]
    if "outlet" in given and "inlet" in given:
        removed = float(deaeration.removed_percent(given["outlet"], given["inlet"], high))
        answers.append(Answer("removed", gettext_noop("Oxygen taken out"), removed, "percent"))
    return Found(tuple(answers))


CALCULATION = Calculation(
    key="deaerator_oxygen",
    subject="oxygen",
    question=gettext_noop("Does the deaerator do what it must?"),
    purpose=gettext_noop(
        "Water at boiling holds no oxygen beside steam. More oxygen than the temperature explains "
        "means a shut vent, trays that steam goes round, or air drawn in behind."
    ),
    fields=(
        asked.temperature(
            label=gettext_noop("Temperature of the storage"), low=1.0, high=200.0, default=""
        ),
        asked.pressure(label=gettext_noop("Pressure of the deaerator")),
        asked.altitude(),
        asked.amount(
            "outlet", gettext_noop("Oxygen found behind it"), required=False, unit="ug/kg"
        ),
        asked.temperature(
            "inlet",
            gettext_noop("Temperature of the water that comes in"),
            high=40.0,
            default="",
            required=False,
        ),
    ),
    work=_work,
    validity=gettext_noop(
        "1 to 200 °C; the gas beside the steam is taken for air, the worst case."
    ),
    sources=("IAPWS G7-04", "IF97", "ISO 2533", "Benson and Krause"),
    example={"temperature": "104", "pressure": "20 kPag", "outlet": "7", "inlet": "20"},
)
