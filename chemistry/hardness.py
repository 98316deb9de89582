"""Hardness: what EDTA finds, and conversions between "as CaCO3" and the ions, only when asked."""

from chemistry.arrays import Floats

EDTA_MG_CACO3_PER_MOLE = 100_000.0
"""mg CaCO3 per mole of EDTA: 1.00 mg per mL of 0.01 M, as in EPA 130.2 and Standard Methods 2340 C
(from memory); the exact figure is 100,087."""
CALCIUM_AS_CACO3 = 2.497
"""mg/L CaCO3 per mg/L Ca: Standard Methods 2340 B, read on several public calculation pages
(recomputed with IUPAC weights of 2021: 2.49728)."""
MAGNESIUM_AS_CACO3 = 4.118
"""mg/L CaCO3 per mg/L Mg: Standard Methods 2340 B, read on several public calculation pages
(recomputed with IUPAC weights of 2021: 4.11792)."""


def hardness_of(calcium: Floats, magnesium: Floats) -> Floats:
    """Return total hardness, mg/L as CaCO3, of calcium and magnesium in mg/L as the ions.

    2.497 Ca + 4.118 Mg: Standard Methods 2340 B.

    >>> hardness_of(40.0, 12.0)
    149.296
    """
    return CALCIUM_AS_CACO3 * calcium + MAGNESIUM_AS_CACO3 * magnesium


def calcium_in(hardness: Floats) -> Floats:
    """Return mg/L of the calcium ion in calcium hardness of mg/L as CaCO3.

    >>> round(calcium_in(100.0), 2)
    40.05
    """
    return hardness / CALCIUM_AS_CACO3


def magnesium_in(hardness: Floats) -> Floats:
    """Return mg/L of the magnesium ion in magnesium hardness of mg/L as CaCO3.

    >>> round(magnesium_in(100.0), 2)
    24.28
    """
    return hardness / MAGNESIUM_AS_CACO3
