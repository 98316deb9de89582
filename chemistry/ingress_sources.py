"""What may get into a water: the fingerprints, mg per kg by formula.

A plant keeps its own: analyses of its cooling water, raw water and brine. Only the sea and the pure
chemicals are the same everywhere. What a source holds is uncertain too, each figure by itself; the
fit reckons with that.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from chemistry.errors import ChemistryError
from chemistry.totals import COMPONENT_OF, molar_mass
from chemistry.words import gettext_noop

MG_PER_KG = 1e6
"""SI Brochure, 9th edition (2019)."""
WATER_DOUBT = 0.10
"""Relative standard uncertainty of each figure of a natural water's analysis: rule of our own."""
PURE_DOUBT = 0.02
"""The same for a chemical and for the sea, whose proportions hardly vary: rule of our own."""
KNOWN_DOUBT = 0.05
"""The same for the water itself, as it was before: rule of our own."""

SEAWATER_SALTS: Mapping[str, float] = {
    "Na": 10781.5, "Mg": 1283.7, "Ca": 412.1, "K": 399.1, "Sr": 7.9, "Cl": 19352.7,
    "SO4": 2712.4, "HCO3": 104.8, "CO3": 14.3, "Br": 67.3, "B(OH)4": 7.9, "B(OH)3": 19.4, "F": 1.3,
}  # fmt: skip
"""mg/kg at a reference salinity of 35.165 g/kg: Millero et al., Deep-Sea Res. I 55:50 (2008), as
printed in an open library."""
_BROMIDE, _STRONTIUM = 79.904, 87.62
"""g/mol: IUPAC (2022), from memory."""
_BORATE, _BORIC_ACID = 78.84, 61.83
"""g/mol: B(OH)4 and B(OH)3, of the same weights."""


@dataclass(frozen=True)
class Source:
    """Something that may have got in: `key` names it, `kind` is a key of ingress_words.KINDS.

    `holds`: mg per kg of it by formula (chemistry.totals), sodium beyond the other ions being
    caustic and chloride or sulfate beyond them acid. `doubt`: relative standard uncertainty of each
    figure.
    """

    key: str
    kind: str
    holds: Mapping[str, float]
    doubt: float = WATER_DOUBT

    def __post_init__(self) -> None:
        good = all(key in COMPONENT_OF and value >= 0.0 for key, value in self.holds.items())
        if not good or not any(self.holds.values()) or not 0.0 < self.doubt < 1.0:
            raise ChemistryError(
                "not_a_source",
                gettext_noop("What %(source)s holds can't be so: give mg/kg of known formulas."),
                {"source": self.key},
            )


def seawater(key: str = "seawater") -> Source:
    """Return the sea at reference salinity; bromide counts as chloride, as the titration finds it,
    and strontium as calcium, by equivalents.

    >>> round(seawater().holds["Cl"])
    19383
    """
    salts = dict(SEAWATER_SALTS)
    bromide, strontium = salts.pop("Br") / _BROMIDE, salts.pop("Sr") / _STRONTIUM
    boron = salts.pop("B(OH)4") / _BORATE + salts.pop("B(OH)3") / _BORIC_ACID
    salts["Cl"] += bromide * molar_mass("Cl")
    salts["Ca"] += strontium * molar_mass("Ca")
    return Source(key, "seawater", {**salts, "B": boron * molar_mass("B")}, PURE_DOUBT)


def chemical(
    key: str, kind: str, moles: Mapping[str, float], formula_mass: float, part: float = 1.0
) -> Source:
    """Return a chemical of which a mole, `formula_mass` grams, holds `moles` by formula.

    `part`: kg of it in a kg of what the plant stocks.

    >>> round(chemical("caustic", "caustic", {"Na": 1.0}, 39.997, 0.5).holds["Na"])
    287397
    """
    grams = {each: amount * molar_mass(each) for each, amount in moles.items()}
    scale = part * MG_PER_KG / formula_mass
    return Source(key, kind, {each: mass * scale for each, mass in grams.items()}, PURE_DOUBT)


def concentrating(before: Mapping[str, float], key: str = "little_blowdown") -> Source:
    """Return what too little blowdown brings: more of all that the water held before, mg/kg."""
    return Source(key, "little_blowdown", before, KNOWN_DOUBT)


def returning(sodium_to_phosphate: float, key: str = "hideout_return") -> Source:
    """Return phosphate that comes back from the tubes at a molar ratio of sodium to phosphate, per
    kg of PO4. What else comes back with it is the plant's own experience: give a Source for it."""
    sodium = sodium_to_phosphate * molar_mass("Na") / molar_mass("PO4")
    return Source(key, "hideout_return", {"PO4": MG_PER_KG, "Na": sodium * MG_PER_KG})
