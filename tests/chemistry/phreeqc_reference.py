"""PHREEQC (USGS; IPhreeqc 3.8.6 by the package `phreeqc`) as a reference outside the project.

`own_database` writes the project's own constants as a database of that program, so that the two
differ in nothing but the arithmetic; `solved` runs totals through any database.
"""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import phreeqc

from chemistry import equilibria
from chemistry.totals import COMPONENT_OF, molar_mass

DATABASES = Path(phreeqc.__file__).parent / "databases"

ELEMENT_OF = {
    "Na+": "Na", "K+": "K", "Ca+2": "Ca", "Mg+2": "Mg", "NH4+": "Amm", "CO3-2": "C", "PO4-3": "P",
    "Cl-": "Cl", "SO4-2": "S", "SO3-2": "Sul", "NO3-": "N", "F-": "F", "H4SiO4": "Si",
    "H3BO3": "B", "CH3COO-": "Ace", "morpholine": "Mor", "cyclohexylamine": "Cyc",
    "ethanolamine": "Eth",
}  # fmt: skip
"""The name of each total as an element of the database: what PHREEQC would oxidize or reduce gets
an element of its own, which nothing can."""

_WRITTEN = {
    "NH4+": "AmmH+", "NH3": "Amm", "NH4SO4-": "AmmHSO4-", "SO3-2": "SulO3-2", "HSO3-": "HSulO3-",
    "SO2": "SulO2", "CH3COO-": "Ace-", "CH3COOH": "HAce", "morpholine": "Mor",
    "morpholineH+": "MorH+", "cyclohexylamine": "Cyc", "cyclohexylamineH+": "CycH+",
    "ethanolamine": "Eth", "ethanolamineH+": "EthH+",
}  # fmt: skip


def own_database(*, strong_pairs: bool = False) -> str:
    """Return the project's table of equilibria as a database of PHREEQC."""
    rows = equilibria.table(strong_pairs=strong_pairs)
    lines = ["SOLUTION_MASTER_SPECIES", "H H+ -1 H 1.008", "H(1) H+ -1 0", "H(0) H2 0 H",
             "E e- 0 0 0", "O H2O 0 O 15.999", "O(-2) H2O 0 0", "O(0) O2 0 O",
             "Alkalinity CO3-2 1 Ca0.5(CO3)0.5 50.05"]  # fmt: skip
    for component, element in ELEMENT_OF.items():
        lines.append(f"{element} {_name(component)} 0 {element} 1.0")
    lines += ["SOLUTION_SPECIES", "H2O = H2O", "log_k 0", "e- = e-", "log_k 0",
              "2 H2O = O2 + 4 H+ + 4 e-", "log_k -86.08",
              "2 H+ + 2 e- = H2", "log_k -3.15"]  # fmt: skip
    for row in rows.values():
        lines += _reaction(row, rows)
    return "\n".join([*lines, "END"])


def _name(key: str) -> str:
    return _WRITTEN.get(key, key)


def _reaction(row: equilibria.Species, rows: Mapping[str, equilibria.Species]) -> list[str]:
    name = _name(row.key)
    if row.key == "OH-":
        equation = "H2O = OH- + H+"
    elif not row.parent:
        equation = f"{name} = {name}"
    else:
        parent = rows[row.parent]
        protons, water = row.protons - parent.protons, row.water - parent.water
        metals = 1 if row.metal and not parent.metal else 0
        parts = [(1, _name(row.parent)), (protons, "H+"), (water, "H2O")]
        equation = _equation(name, [*parts, (metals, _name(row.metal))])
    lines = [equation, f"log_k {row.log_k}", f"delta_h {row.delta_h_kj} kJ"]
    if row.analytic:
        lines.append("-analytic " + " ".join(str(each) for each in row.analytic))
    if row.ion_size is not None:
        lines.append(f"-gamma {row.ion_size} {row.linear}")
    return lines


def _equation(product: str, parts: Iterable[tuple[int, str]]) -> str:
    parts = list(parts)
    left = " + ".join(f"{count} {name}" for count, name in parts if count > 0)
    right = " + ".join([product, *(f"{-count} {name}" for count, name in parts if count < 0)])
    return f"{left} = {right}"


class Reference:
    """One PHREEQC with one database, as text or as the name of a file it brings along."""

    def __init__(
        self, *, text: str = "", file: str = "", elements: Mapping[str, str] = ELEMENT_OF
    ) -> None:
        self.engine, self.elements = phreeqc.Phreeqc(), elements
        load = self.engine.LoadDatabaseString if text else self.engine.LoadDatabase
        if load(text or str(DATABASES / file)):
            raise RuntimeError(self.engine.GetErrorString())

    def solved(
        self, waters: Sequence[Mapping[str, float]], temps_c: Sequence[float]
    ) -> list[dict[str, float]]:
        """Return pH, ionic strength (mol/kg) and conductivity (µS/cm) of totals in mg per kg."""
        text = ["SELECTED_OUTPUT", "-reset false", "USER_PUNCH", "-headings ph strength sc",
                '10 PUNCH -LA("H+"), MU, SC', "END"]  # fmt: skip
        for number, (water, temp) in enumerate(zip(waters, temps_c, strict=True), 1):
            text += self._solution(number, water, temp)
        if self.engine.RunString("\n".join(text)):
            raise RuntimeError(self.engine.GetErrorString())
        rows = range(1, self.engine.GetSelectedOutputRowCount())
        value = self.engine.GetSelectedOutputValue
        names = ("ph", "strength", "sc")
        return [{name: value(row, place) for place, name in enumerate(names)} for row in rows]

    def _solution(self, number: int, water: Mapping[str, float], temp_c: float) -> list[str]:
        amounts: dict[str, float] = {}
        for formula, mg in water.items():
            element = self.elements[COMPONENT_OF[formula]]
            amounts[element] = amounts.get(element, 0.0) + mg / molar_mass(formula) / 1000.0
        totals = [f"{key} {value!r}" for key, value in amounts.items() if value > 0.0]
        head = [f"SOLUTION {number}", f"temp {temp_c}", "pH 7 charge", "units mol/kgw"]
        return [*head, *totals, "END", "DELETE", "-all"]
