"""Whether a laboratory's full analysis can be right."""

from chemistry import analysis
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.words import gettext_noop

_EVEN = gettext_noop("The charges even out as well as a good laboratory's do.")
_UNEVEN = gettext_noop(
    "The charges don't even out. About %(mg)s mg/kg of %(name)s would do it: something was not "
    "measured, or is wrong."
)
_CONDUCTS = gettext_noop("The water conducts what these ions must: within a tenth of the reading.")
_DOES_NOT = gettext_noop(
    "These ions would conduct %(times)s times the reading: an ion, the reading or a unit is wrong."
)


def _work(given: Given) -> Found:
    totals = given.totals(asked.EVERY_SUBSTANCE)
    found = analysis.analysis_of(
        totals,
        given["ph"],
        given["temperature"],
        measured=given.maybe("measured"),
        m_alkalinity=given.maybe("m_alkalinity"),
    )
    return Found(_answers(found), tuple(_remarks(found)))


def _answers(found: analysis.Analysis) -> tuple[Answer, ...]:
    balance = found.balance
    return (
        Answer("cations", gettext_noop("Positive charges"), balance.cations, "meq/kg"),
        Answer("anions", gettext_noop("Negative charges"), balance.anions, "meq/kg"),
        Answer(
            "difference",
            gettext_noop("Difference, of their sum"),
            balance.difference_percent,
            "percent",
            digits=2,
        ),
        Answer(
            "conductivity",
            gettext_noop("Conductivity of these ions"),
            found.conductivity,
            "uS/cm",
            asked.CONDUCTIVITIES,
        ),
        Answer("solids", gettext_noop("Solids left at dryness"), found.solids, "mg/kg"),
        Answer(
            "factor",
            gettext_noop("This water's own factor, solids for each µS/cm"),
            found.solids_factor,
            digits=3,
        ),
    )


def _remarks(found: analysis.Analysis) -> list[tuple[str, dict[str, str]]]:
    name, mg = found.balance.lacking
    said = {"name": name, "mg": f"{mg:.2g}"}
    remarks = [(_EVEN, {}) if found.balance.even else (_UNEVEN, said)]
    if found.ratio is not None:
        told = {"times": f"{found.ratio:.2g}"}
        remarks.append((_CONDUCTS, {}) if found.conducts else (_DOES_NOT, told))
    return remarks


CALCULATION = Calculation(
    key="full_analysis",
    subject="water",
    question=gettext_noop("Can this full analysis be right?"),
    purpose=gettext_noop(
        "Ions carry as much positive charge as negative, and they conduct what they must. An "
        "analysis that does neither holds an error."
    ),
    fields=(
        asked.ph(),
        asked.temperature(),
        asked.as_caco3(
            "m_alkalinity",
            gettext_noop("M alkalinity"),
            required=False,
            help=gettext_noop("In place of inorganic carbon."),
        ),
        asked.conductivity(
            "measured", gettext_noop("Conductivity, measured at that temperature"), required=False
        ),
        *asked.EVERY_SUBSTANCE,
    ),
    work=_work,
    validity=gettext_noop("0 to 60 °C; every ion that matters has to be among those given."),
    sources=("SM 1030", "PHREEQC"),
    example={"ph": "7.0", "Na": "23.0", "Cl": "35.5", "measured": "124"},
)
