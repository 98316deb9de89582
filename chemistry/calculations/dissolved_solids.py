"""Dissolved solids from a conductivity."""

from chemistry import dissolved_solids as solids_of
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.errors import EntryError
from chemistry.methods.base import MISSING, Field
from chemistry.words import gettext_noop

_OWN_PART = 0.05
"""How good a factor from an analysis of one's own is taken to be: rule of our own."""
_NEUTRALIZED = gettext_noop("The reading has to be of neutralized water.")
_ORIGIN = gettext_noop("Factor: %(label)s.")


def _work(given: Given) -> Found:
    kind = given.choice("kind")
    if kind == "own" and "factor" not in given:
        raise EntryError("missing", MISSING, field="factor")
    factor = (
        solids_of.own_factor(given["factor"], _OWN_PART, neutralized=False)
        if kind == "own"
        else solids_of.FACTORS[kind]
    )
    found = solids_of.dissolved_solids(given["reading"], factor)
    low, high = float(found.low), float(found.high)
    remarks = [(_ORIGIN, {"label": found.origin})]
    if found.neutralized:
        remarks.append((_NEUTRALIZED, {}))
    return Found(
        (
            Answer(
                "solids",
                gettext_noop("Dissolved solids"),
                (low + high) / 2.0,
                "mg/L",
                asked.PER_LITER,
                low,
                high,
                digits=3,
            ),
        ),
        tuple(remarks),
    )


CALCULATION = Calculation(
    key="dissolved_solids",
    subject="conductivity",
    question=gettext_noop("How much dissolved solids does a conductivity mean?"),
    purpose=gettext_noop(
        "An estimate, as good as its factor. The only good factor is a water's own, from an "
        "analysis."
    ),
    fields=(
        asked.conductivity("reading", gettext_noop("Conductivity at 25 °C")),
        Field(
            "kind",
            gettext_noop("The factor"),
            choices=(
                ("boiler", gettext_noop("of boiler water, neutralized")),
                ("natural", gettext_noop("of natural waters")),
                ("own", gettext_noop("this water's own")),
            ),
            default="boiler",
        ),
        Field(
            "factor",
            gettext_noop("This water's own factor"),
            unit="1",
            units=("1",),
            low=0.2,
            high=1.5,
            required=False,
            asked_when=gettext_noop("for a factor of its own"),
            help=gettext_noop("mg/L of solids for each µS/cm."),
        ),
    ),
    work=_work,
    validity=gettext_noop("A reading at 25 °C on the factor's own basis, neutralized or not."),
    sources=("SM 1030", "ABMA"),
    example={"reading": "3000", "kind": "boiler"},
)
