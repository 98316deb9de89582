"""Sulfite: constants of its titration, and the change from Na2SO3 to SO3, only when asked."""

from chemistry.arrays import Floats

SO3_MG_PER_EQUIVALENT = 40_000.0
"""mg SO3 per equivalent, rounded as in the equation of EPA 377.1 (1974, rev. 1978; from memory);
the exact figure is 40,028."""
SO3_PER_NA2SO3 = 0.6352
"""mg SO3 per mg Na2SO3: balanced equation, IUPAC atomic weights (2021)."""
DETECTION_MG_PER_LITER = 3.0
"""The least sulfite that the titration tells from nothing, mg/L SO3: EPA 377.1 (1974, rev. 1978)
gives 2 to 3."""
TOO_WARM_C = 50.0
"""A sample must be below this, °C: EPA 377.1 (1974, rev. 1978)."""


def as_so3(sodium_sulfite: Floats) -> Floats:
    """Return mg/L as SO3 of mg/L as Na2SO3.

    >>> round(as_so3(50.0), 2)
    31.76
    """
    return SO3_PER_NA2SO3 * sodium_sulfite
