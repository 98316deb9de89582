"""Chemicals dosed into boiler water, and how much of one changes the water by how much.

Masses in kg, flows in kg/h, concentrations in mg/L; a liter of cooled sample is taken as a
kilogram. Formula masses follow from the IUPAC standard atomic weights (2021).
"""

from dataclasses import dataclass

from chemistry.words import gettext_noop

# IUPAC standard atomic weights (2021), abridged.
_H = 1.008  # IUPAC 2021
_C = 12.011  # IUPAC 2021
_O = 15.999  # IUPAC 2021
_NA = 22.990  # IUPAC 2021
_P = 30.974  # IUPAC 2021
_S = 32.06  # IUPAC 2021
_CA = 40.078  # IUPAC 2021
_WATER = 2.0 * _H + _O  # IUPAC 2021
_PO4 = _P + 4.0 * _O  # IUPAC 2021
_SO3 = _S + 3.0 * _O  # IUPAC 2021
_CACO3_PER_EQUIVALENT = (_CA + _C + 3.0 * _O) / 2.0  # IUPAC 2021

SO3_PER_OXYGEN = 2.0 * _SO3 / (2.0 * _O)
"""Sulfite as SO3 that a part of dissolved oxygen takes up, 2 SO3 + O2 -> 2 SO4: balanced equation,
IUPAC atomic weights (2021)."""


@dataclass(frozen=True)
class Chemical:
    """A chemical by formula mass, g/mol, and what a mole brings into boiler water.

    `phosphate` and `sulfite` in moles; `alkalinity` in equivalents above the P end point.
    """

    key: str
    name: str
    formula_mass: float
    phosphate: float = 0.0
    sulfite: float = 0.0
    alkalinity: float = 0.0

    def share(self, analyte: str) -> float:
        """Return the part of the pure chemical that counts as an analyte, in that analyte's basis.

        >>> round(CHEMICALS["tsp_crystals"].share("phosphate"), 4)
        0.2498
        """
        grams = {
            "phosphate": self.phosphate * _PO4,
            "sulfite": self.sulfite * _SO3,
            "p_alkalinity": self.alkalinity * _CACO3_PER_EQUIVALENT,
            "hydroxide_alkalinity": self.alkalinity * _CACO3_PER_EQUIVALENT,
        }
        return grams.get(analyte, 0.0) / self.formula_mass


# A phosphate of three sodiums holds one equivalent above the P end point, as Table 7-4 of Engineman
# 1 & C (NAVEDTRA 14075) has it; one of two sodiums holds none.
CHEMICALS: dict[str, Chemical] = {
    each.key: each
    for each in (
        Chemical(
            "tsp_crystals",
            gettext_noop("Trisodium phosphate, crystals (Na3PO4·12H2O)"),
            3.0 * _NA + _PO4 + 12.0 * _WATER,
            phosphate=1.0,
            alkalinity=1.0,
        ),
        Chemical(
            "tsp_anhydrous",
            gettext_noop("Trisodium phosphate, anhydrous (Na3PO4)"),
            3.0 * _NA + _PO4,
            phosphate=1.0,
            alkalinity=1.0,
        ),
        Chemical(
            "dsp_anhydrous",
            gettext_noop("Disodium phosphate, anhydrous (Na2HPO4)"),
            2.0 * _NA + _H + _PO4,
            phosphate=1.0,
        ),
        Chemical(
            "sodium_sulfite",
            gettext_noop("Sodium sulfite, anhydrous (Na2SO3)"),
            2.0 * _NA + _SO3,
            sulfite=1.0,
        ),
        Chemical(
            "caustic_soda",
            gettext_noop("Caustic soda (NaOH)"),
            _NA + _O + _H,
            alkalinity=1.0,
        ),
    )
}


def kg_for_rise(rise_mg_l: float, water_kg: float, share: float) -> float:
    """Return the kg of product that raise `water_kg` by `rise_mg_l`; `share` is the part of the
    product that counts.

    >>> round(kg_for_rise(40.0, 10_000.0, 0.2498), 3)
    1.601
    """
    return rise_mg_l * 1e-6 * water_kg / share


def kg_h_blown(value_mg_l: float, blowdown_kg_h: float) -> float:
    """Return what blowdown carries away of something held at `value_mg_l`, kg/h."""
    return value_mg_l * 1e-6 * blowdown_kg_h


def sulfite_taken_kg_h(feed_kg_h: float, oxygen_ug_l: float) -> float:
    """Return the sulfite as SO3 that the feedwater's oxygen takes up, kg/h."""
    return SO3_PER_OXYGEN * oxygen_ug_l * 1e-9 * feed_kg_h
