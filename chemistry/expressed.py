"""The same substance expressed as one thing or another: phosphate as PO4 or as P, silica as SiO2.

A number never changes what it is expressed as by itself: whoever wants it changed calls `ratio`.
"""

from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

# Abridged standard atomic weights, IUPAC, Pure Appl. Chem. 94:573 (2022), from memory.
O_WEIGHT = 15.999  # IUPAC 2022
SI_WEIGHT = 28.085  # IUPAC 2022
P_WEIGHT = 30.974  # IUPAC 2022

_SAME_ATOM: dict[str, tuple[str, float]] = {
    "PO4": ("P", P_WEIGHT + 4.0 * O_WEIGHT),
    "P2O5": ("P", (2.0 * P_WEIGHT + 5.0 * O_WEIGHT) / 2.0),
    "P": ("P", P_WEIGHT),
    "SiO2": ("Si", SI_WEIGHT + 2.0 * O_WEIGHT),
    "Si": ("Si", SI_WEIGHT),
}
"""What is expressed: the atom counted, and the mass that goes with one mole of it, g."""


def ratio(wanted: str, given: str) -> float:
    """Return what a concentration expressed as `given` is multiplied by to be one as `wanted`.

    Errors: ChemistryError not_the_same where the two do not count the same atom.

    >>> round(ratio("PO4", "P"), 4), round(ratio("SiO2", "Si"), 4)
    (3.0662, 2.1393)
    """
    atom, mass = _SAME_ATOM.get(wanted, ("", 0.0))
    other, other_mass = _SAME_ATOM.get(given, (" ", 0.0))
    if atom != other:
        raise ChemistryError(
            "not_the_same",
            gettext_noop("%(given)s can't be expressed as %(wanted)s."),
            {"given": given, "wanted": wanted},
        )
    return mass / other_mass
