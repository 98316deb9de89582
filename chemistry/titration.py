"""Titrations: from the volume of titrant to what the sample holds."""

import numpy as np

from chemistry.arrays import Floats
from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop


def per_milliliter(strength: Floats, mg_per_equivalent: Floats, sample_ml: Floats) -> Floats:
    """Return the mg/L that one mL of titrant stands for.

    strength * mg_per_equivalent / sample_ml; `strength` in eq/L with mg per equivalent, or in mol/L
    with mg per mole. Source: the definition of normality, common practice. Errors: OutOfValidity
    for a strength, an equivalent or a sample that is not more than nothing.

    >>> per_milliliter(0.02, 50_000.0, 50.0)
    20.0
    """
    for value in (strength, mg_per_equivalent, sample_ml):
        _more_than_nothing(value)
    return strength * mg_per_equivalent / sample_ml


def concentration(
    used_ml: Floats,
    blank_ml: Floats,
    strength: Floats,
    sample_ml: Floats,
    mg_per_equivalent: Floats,
) -> Floats:
    """Return mg/L: (used - blank) * strength * mg_per_equivalent / sample_ml.

    Below zero where the blank took more than the sample: never clamped here. Source: the equations
    of Standard Methods 2320 B, 2340 C, 4500-Cl- B and 4500-SO3 B, all of this form (from memory).
    Errors: OutOfValidity, those of `per_milliliter`.

    >>> concentration(3.2, 0.2, 0.0141, 50.0, 35_450.0)
    29.991
    """
    return (used_ml - blank_ml) * per_milliliter(strength, mg_per_equivalent, sample_ml)


def equivalents_per_million(mg_per_liter: Floats, mg_per_equivalent: Floats) -> Floats:
    """Return milliequivalents per liter (epm) of `mg_per_liter`, whose equivalent weighs
    `mg_per_equivalent` mg. Errors: OutOfValidity.

    >>> equivalents_per_million(35.45, 35_450.0)
    1.0
    """
    _more_than_nothing(mg_per_equivalent)
    return mg_per_liter * 1000.0 / mg_per_equivalent


def _more_than_nothing(value: Floats) -> None:
    values = np.asarray(value)
    if np.all(np.isfinite(values) & (values > 0.0)):
        return
    raise OutOfValidity(
        "not_more_than_nothing",
        gettext_noop("A titration needs a titrant of known strength and a sample of known volume."),
        bound="> 0",
    )
