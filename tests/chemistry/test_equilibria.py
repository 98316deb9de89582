"""The table of equilibria against the database it was read from and published constants."""

import csv
from pathlib import Path

import numpy as np
import pytest

from chemistry import equilibria
from chemistry.composition import ions
from chemistry.equilibria import formation, log_k, table
from chemistry.totals import COMPONENT_OF
from tests.chemistry.phreeqc_rows import printed

SOURCES = Path(equilibria.__file__).with_name("SOURCES.md").read_text(encoding="utf-8")

OF_OTHERS = {
    # species: log K, delta H in kJ/mol; typed a second time
    "HSO3-": (7.17, 3.668),  # Goldberg and Parker (1985), from memory
    "SO2": (9.03, 21.45),  # the same
    "morpholineH+": (8.491, -39.0),  # Ridley et al. (2000), from memory
    "cyclohexylamineH+": (10.64, -60.0),  # from memory
    "ethanolamineH+": (9.50, -50.5),  # from memory
}


def reactions():
    return [row for row in table().values() if row.parent or row.key == "OH-"]


@pytest.mark.parametrize("row", reactions(), ids=lambda row: row.key)
def test_constants_are_those_printed(row):
    """phreeqc.dat of PHREEQC 3.8.6, published; those that it has not, by their own sources."""
    if row.key in OF_OTHERS:
        assert (row.log_k, row.delta_h_kj) == OF_OTHERS[row.key]
        assert (row.analytic, row.ion_size, row.linear) == ((), None, 0.0)
        return
    if row.key == "CH3COOH":  # NIST 46 as in minteq.v4.dat, published
        found = printed("minteq.v4.dat")["H(Acetate)"]
        assert (row.log_k, row.delta_h_kj) == (found.log_k, found.delta_h_kj)
        assert (row.analytic, row.ion_size, row.linear) == ((), None, 0.0)
        return
    if row.key == "CaHCO3+":
        return  # apart, below
    found = printed("phreeqc.dat")[row.key]
    assert (
        row.analytic
        == (*found.analytic, *[0.0] * (6 - len(found.analytic)))[: 6 * bool(found.analytic)]
    )
    assert row.delta_h_kj == pytest.approx(found.delta_h_kj, abs=2e-3)
    if row.key != "OH-":  # there the file has the analytic form alone
        assert row.log_k == found.log_k
    assert ((row.ion_size, row.linear) if row.ion_size is not None else ()) == found.gamma


def test_activity_sizes_of_the_master_species_are_those_printed():
    """phreeqc.dat of PHREEQC 3.8.6, published."""
    for row in table().values():
        found = printed("phreeqc.dat").get(row.key)
        if not row.parent and found:
            own = (row.ion_size, row.linear) if row.ion_size is not None else ()
            assert own == found.gamma, row.key


def test_calcium_bicarbonate_is_that_of_the_paper_of_the_other_carbonates():
    """Plummer and Busenberg (1982) as in wateq4f.dat (formed from HCO3-), published."""
    row, found = table()["CaHCO3+"], printed("wateq4f.dat")["CaHCO3+"]
    bicarbonate = table()["HCO3-"]
    assert row.log_k == pytest.approx(found.log_k + bicarbonate.log_k, abs=1e-9)
    theirs = (*found.analytic, 0.0)
    parts = [one + other for one, other in zip(theirs, bicarbonate.analytic, strict=True)]
    assert row.analytic == pytest.approx(tuple(parts), rel=2e-6)  # as phreeqc.dat had it rounded
    assert (row.ion_size, row.linear) == found.gamma
    slope = (log_k(row, 298.65) - log_k(row, 297.65)) * np.log(10.0)
    enthalpy = slope * equilibria.GAS_CONSTANT_J_MOL_K * 298.15**2 / 1000.0
    assert row.delta_h_kj == pytest.approx(enthalpy, abs=0.05)


@pytest.mark.parametrize(
    ("key", "temp_c", "value", "within"),
    [
        # IAPWS R11-24 (2024) at 0.1 MPa, computed elsewhere by an open library
        *(("OH-", t, -pk, 0.009) for t, pk in
          [(0, 14.947), (10, 14.534), (20, 14.165), (25, 13.994), (30, 13.833), (40, 13.534),
           (50, 13.265), (60, 13.021)]),
        # Bates and Acree (1945) and Bates (1951), from memory; the table has one enthalpy each
        ("H2PO4-", 25, 7.1976 + 12.346, 0.01), ("H3PO4", 25, 19.553 + 2.148, 0.021),
        # Bates and Pinching (1949), 0 to 50 °C: pKb from memory against pKw of IAPWS
        *(("NH3", t, pkb - pkw, 0.02) for t, pkb, pkw in
          [(0, 4.862, 14.947), (10, 4.804, 14.534), (25, 4.751, 13.994), (40, 4.730, 13.534),
           (50, 4.723, 13.265)]),
        # Harned and Scholes (1941), Harned and Davis (1943), 40 and 50 °C, from memory
        ("HCO3-", 40, 10.220, 0.006), ("HCO3-", 50, 10.172, 0.006),
        ("CO2", 40, 10.220 + 6.298, 0.01), ("CO2", 50, 10.172 + 6.285, 0.01),
        # handbooks, 25 °C, from memory
        ("HSO4-", 25, 1.99, 0.02), ("CH3COOH", 25, 4.756, 0.002), ("HF", 25, 3.18, 0.02),
        ("H2BO3-", 25, -9.24, 0.005), ("H3SiO4-", 25, -9.83, 0.01),
    ],
)  # fmt: skip
def test_formation_against_published_constants(key, temp_c, value, within):
    rows = table()
    assert formation(rows[key], temp_c + 273.15, rows) == pytest.approx(value, abs=within)


def test_it_works_on_numbers_as_on_arrays():
    temps = np.array([273.15, 298.15, 333.15])
    for row in reactions():
        assert [log_k(row, float(each)) for each in temps] == pytest.approx(list(log_k(row, temps)))


def test_van_t_hoff_by_hand():
    """HPO4-2 at 50 °C: 12.346 - 14770 / (ln 10 * 8.314462618) * (1/298.15 - 1/323.15)."""
    assert log_k(table()["HPO4-2"], 323.15) == pytest.approx(12.346 - 0.200183, abs=1e-5)


def test_charges_and_protons_add_up():
    rows = table()
    for row in reactions():
        if row.key != "OH-":
            parent = rows[row.parent]
            metal = rows[row.metal].charge if row.metal != parent.metal else 0
            assert row.charge == parent.charge + row.protons - parent.protons + metal, row.key
    assert (rows["OH-"].charge, rows["OH-"].protons, rows["OH-"].water) == (-1, -1, 1)
    assert rows["H+"].charge == 1
    assert (rows["CO2"].protons, rows["CO2"].water) == (2, -1)
    assert (rows["H3PO4"].protons, rows["NaHPO4-"].protons, rows["NH3"].protons) == (3, 1, -1)


def test_every_total_has_its_master_species_with_its_charge():
    charge = {"Ca+2": 2, "Mg+2": 2, "CO3-2": -2, "SO4-2": -2, "SO3-2": -2, "PO4-3": -3}
    neutral = {"H4SiO4", "H3BO3", "morpholine", "cyclohexylamine", "ethanolamine"}
    for component in set(COMPONENT_OF.values()):
        row = table()[component]
        sign = 0 if component in neutral else 1 if component.endswith("+") else -1
        assert (row.component, row.charge) == (component, charge.get(component, sign))


def test_strong_pairs_are_the_strongest_published():
    """NIST 46.4 as in minteq.v4.dat (there formed from PO4-3), published."""
    found = printed("minteq.v4.dat")
    assert table(strong_pairs=True)["NaHPO4-"].log_k == pytest.approx(
        found["NaHPO4-"].log_k - found["HPO4-2"].log_k, abs=1e-9
    )
    changed = [key for key, row in table().items() if row != table(strong_pairs=True)[key]]
    assert changed == list(equilibria.STRONG_PAIRS)
    assert equilibria.TABLE_VERSION == "1"


def cited(text: str) -> list[str]:
    return [part.strip().removesuffix("(from memory)").strip() for part in text.split(";")]


def sources_missing(rows: list[tuple[str, str]]) -> list[str]:
    """Return what names no source, or one without a row in SOURCES.md."""
    keys = {line.split("|")[1].strip() for line in SOURCES.splitlines() if line.startswith("| ")}
    return [name for name, source in rows if not set(cited(source)) <= keys]


def test_every_figure_of_the_tables_has_its_source():
    assert sources_missing([("bad", ""), ("worse", "PHREEQC; Nobody")]) == ["bad", "worse"]
    rows = [(row.key, row.source) for row in table().values()]
    assert len(rows) > 50
    assert sources_missing(rows) == []
    assert sources_missing([(key, ion.source) for key, ion in ions().items()]) == []
    for name in ("equilibria.csv", "ions.csv"):
        with Path(equilibria.__file__).with_name(name).open(encoding="utf-8") as file:
            assert all(None not in row and row["source"] for row in csv.DictReader(file))
