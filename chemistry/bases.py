"""The bases on which the bench tests give their results: what a limit can be held against."""

from chemistry.analytes import ANALYTES, Basis

_AT_25 = Basis("25C")
_ANY = Basis("any")
_AS_CACO3 = Basis("", "", "CaCO3")
_ALL_AS_CACO3 = (
    "p_alkalinity",
    "m_alkalinity",
    "hydroxide_alkalinity",
    "carbonate_alkalinity",
    "bicarbonate_alkalinity",
    "total_hardness",
    "calcium_hardness",
)
_BY_COLOR = {
    "phosphate": "PO4",
    "silica": "SiO2",
    "iron": "Fe",
    "iron_dissolved": "Fe",
    "iron_reactive": "Fe",
    "hydrazine": "N2H4",
    "oxygen": "O2",
    "deha": "displayed",
    "erythorbate": "displayed",
    "carbohydrazide": "displayed",
    "scavenger": "displayed",
}
_OWN: dict[str, tuple[Basis, ...]] = {
    "conductivity": (Basis("25C", "not_neutralized"), Basis("25C", "neutralized")),
    "ph": (_AT_25, Basis("sample")),
    "sulfite": (Basis("", "", "SO3"),),
    "chloride": (Basis("", "", "ion"),),
    "chloride_epm": (Basis(""),),
    **{key: (_AS_CACO3,) for key in _ALL_AS_CACO3},
    **{key: (Basis("any", as_what=what),) for key, what in _BY_COLOR.items()},
}

BASES: dict[str, tuple[Basis, ...]] = {key: _OWN.get(key, (_ANY,)) for key in ANALYTES}
"""Analyte -> the bases of its results, the usual one first. Plant readings depend on nothing."""
