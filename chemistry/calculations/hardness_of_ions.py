"""Total hardness of calcium and magnesium."""

from chemistry import hardness
from chemistry.calculations import asked
from chemistry.calculations.base import Answer, Calculation, Found, Given
from chemistry.methods.base import Field
from chemistry.words import gettext_noop


def _ion(key: str, label: str) -> Field:
    return Field(
        key, label, unit="mg/L", units=asked.PER_LITER, low=0.0, high=50_000.0, default="0",
        required=False,
    )  # fmt: skip


def _work(given: Given) -> Found:
    calcium, magnesium = given.get("calcium"), given.get("magnesium")
    figures = (
        ("total", gettext_noop("Total hardness"), hardness.hardness_of(calcium, magnesium)),
        ("calcium", gettext_noop("Calcium hardness"), hardness.hardness_of(calcium, 0.0)),
        ("magnesium", gettext_noop("Magnesium hardness"), hardness.hardness_of(0.0, magnesium)),
    )
    return Found(
        tuple(
            Answer(key, name, float(value), "mg_CaCO3/L", asked.AS_CACO3)
            for key, name, value in figures
        )
    )


CALCULATION = Calculation(
    key="hardness_of_ions",
    subject="hardness",
    question=gettext_noop("What hardness do calcium and magnesium make?"),
    purpose=gettext_noop("From the ions, as a laboratory gives them, to hardness as CaCO3."),
    fields=(
        _ion("calcium", gettext_noop("Calcium, as the ion Ca")),
        _ion("magnesium", gettext_noop("Magnesium, as the ion Mg")),
    ),
    work=_work,
    validity=gettext_noop("Any water; other ions that make hardness are left out."),
    sources=("SM 2340",),
    example={"calcium": "40", "magnesium": "12"},
)
