"""A full analysis held against itself: natural waters as measured, and mistakes made on purpose."""

import pytest

from chemistry.analysis import analysis_of, carbon_of, solids_of
from chemistry.errors import OutOfValidity, Refused
from chemistry.solve import equilibrate
from chemistry.titrated import alkalinity_of
from tests.golden import golden

BALANCED = {
    # (cations - anions) / (cations + anions) of the formulas as analyzed, per cent; by hand
    "2": 0.29, "4": 0.03, "9": -1.99, "10": 1.31, "11": -1.41, "15": -0.09, "17": -0.02,
    "22": -1.24, "31": -0.23, "32": -0.23,
}  # fmt: skip
SALT = {"Na": 229.9, "Cl": 354.5}  # 10 mmol/kg


def natural(row, **changed: float):
    names = ("Cl", "SO4", "NO3", "Na", "K", "Ca", "Mg", "NH4")
    given = {name: float(row[name]) for name in names} | changed
    alkalinity = float(row["HCO3"]) / 61.017 * 50.0
    return analysis_of(
        given, float(row["ph"]), 20.0, measured=float(row["us_cm"]), m_alkalinity=alkalinity
    )


@pytest.mark.parametrize("row", golden("natural_waters"), ids=lambda row: row["no"])
def test_natural_waters(row):
    """Stuyfzand (1987), measured, published; their balance by hand from the formulas."""
    found = natural(row)
    assert found.balance.difference_percent == pytest.approx(BALANCED[row["no"]], abs=0.5)
    assert found.conducts is True
    assert found.ratio == pytest.approx(1.02, abs=0.025)
    assert found.solids_factor == pytest.approx(found.solids / float(row["us_cm"]))


def test_solids_lie_in_the_usual_range():
    """0.55 to 0.7 mg/L for each µS/cm at 25 °C, Standard Methods 1030 E (from memory)."""
    for row in golden("natural_waters"):
        if float(row["us_cm"]) < 8000.0:
            assert 0.49 < natural(row).solids / (1.116 * float(row["us_cm"])) < 0.7, row["no"]


def test_a_mistaken_figure_is_seen():
    row = golden("natural_waters")[0]
    tenfold = natural(row, Ca=140.0)
    assert not tenfold.balance.even and not tenfold.conducts
    formula, amount = tenfold.balance.lacking
    # 126 mg/kg Ca too much are 6.29 meq/kg: as much chloride as 223 mg/kg
    assert (formula, amount) == ("Cl", pytest.approx(223.0, rel=0.03))


def test_sums_by_hand():
    found = analysis_of(SALT, 7.0, measured=1184.5)  # CRC Handbook: 0.01 mol/L NaCl, published
    assert found.balance.cations == pytest.approx(10.0, rel=1e-4)
    assert found.balance.anions == pytest.approx(10.0, rel=1e-4)
    assert found.balance.even
    assert found.ratio == pytest.approx(1.0, abs=0.005)
    assert found.solids == pytest.approx(584.4)
    assert found.solids_factor == pytest.approx(584.4 / 1184.5)
    short = analysis_of({"Na": 229.9, "Cl": 354.5 * 0.9}, 7.0)
    assert short.balance.difference_percent == pytest.approx(100.0 / 19.0, rel=1e-3)
    assert short.balance.lacking == ("Cl", pytest.approx(35.45, rel=1e-3))
    assert (short.ratio, short.conducts) == (None, None)
    assert short.solids_factor == pytest.approx(short.solids / short.conductivity)
    lacking = analysis_of({"Na": 229.9 * 0.9, "Cl": 354.5}, 7.0).balance.lacking
    assert lacking == ("Na", pytest.approx(22.99, rel=1e-3))


@pytest.mark.parametrize(
    ("mmol", "part", "even"),
    [
        # Standard Methods 1030 E (from memory): 0.2 meq/L up to 3, 2 % up to 10, 5 % up to 800
        (0.5, 1.38, True), (0.5, 1.401, False), (2.99, 1.066, True), (2.99, 1.068, False),
        (3.01, 1.0405, True), (3.01, 1.041, False), (9.9, 1.0405, True), (9.9, 1.041, False),
        (10.05, 1.105, True), (10.05, 1.106, False),
    ],
)  # fmt: skip
def test_how_even_is_even_enough(mmol, part, even):
    salt = {"Na": 22.990 * mmol * part, "Cl": 35.45 * mmol}
    assert analysis_of(salt, 7.0).balance.even is even


@pytest.mark.parametrize(("mmol", "even"), [(799.0, True), (801.0, False)])
def test_beyond_800_meq_nothing_is_called_even(mmol, even):
    salt = {"Na": 22.990 * mmol, "Cl": 35.45 * mmol}
    assert analysis_of(salt, 7.0).balance.even is even


@pytest.mark.parametrize(
    ("measured", "conducts"), [(1310.0, True), (1325.0, False), (1080.0, True), (1070.0, False)]
)
def test_calculated_over_measured_conductivity(measured, conducts):
    """0.9 to 1.1, Standard Methods 1030 E (from memory); 1184.5 is right."""
    assert analysis_of(SALT, 7.0, measured=measured).conducts is conducts


def test_charges_that_cannot_be_are_refused():
    """Three times as many of one sign: 50 % of both."""
    assert analysis_of({"Na": 22.990 * 2.99, "Cl": 35.45}, 7.0).balance.even is False
    with pytest.raises(Refused) as caught:
        analysis_of({"Na": 22.990 * 3.01, "Cl": 35.45}, 7.0)
    assert caught.value.code == "impossible_charges"
    assert "3.01 meq/kg of cations against 1 of anions" in str(caught.value)
    with pytest.raises(Refused):
        analysis_of({"Na": 22.990, "Cl": 35.45 * 3.01}, 7.0)


def test_traces_are_not_refused_for_their_charges():
    trace = {"Na": 22.990 * 0.039, "Cl": 35.45 * 0.0097}
    assert analysis_of(trace, 7.0).balance.even
    with pytest.raises(Refused):
        analysis_of({"Na": 22.990 * 0.0402, "Cl": 35.45 * 0.0099}, 7.0)


@pytest.mark.parametrize("measured", [0.0, -1.0, float("nan"), float("inf")])
def test_a_conductivity_has_to_be_one(measured):
    with pytest.raises(OutOfValidity) as caught:
        analysis_of(SALT, 7.0, measured=measured)
    assert caught.value.code == "conductivity_above_zero"


@pytest.mark.parametrize(
    "totals",
    [{"Na": 200.0, "C": 20.0}, {"Na": 100.0, "Cl": 50.0, "SiO2": 30.0, "NH3": 1.0, "C": 2.0}],
)
def test_carbon_from_alkalinity_and_back(totals):
    ph, m = equilibrate(totals).ph, alkalinity_of(totals).m
    others = {key: each for key, each in totals.items() if key != "C"}
    assert carbon_of(others, ph, m) == pytest.approx(totals["C"], rel=2e-4)


def test_alkalinity_of_other_substances_leaves_no_carbon():
    with pytest.raises(Refused) as caught:
        carbon_of({"Na": 100.0, "PO4": 50.0}, 8.3, 5.0)
    assert caught.value.code == "no_such_carbon"


def test_carbon_of_bicarbonate_by_hand():
    """pH 8.3: nearly all bicarbonate. Of 1 meq/kg (50 mg/kg as CaCO3) 0.033 stay free acid at pH
    4.5, and 1.5 % of the carbon takes none: 12.011 * 0.967 / 0.985."""
    assert carbon_of({"Cl": 10.0, "Na": 29.0}, 8.3, 50.0) == pytest.approx(11.79, abs=0.05)


def test_solids_by_hand():
    """Two bicarbonates (122.03) leave one carbonate (60.01); ammonia leaves nothing."""
    assert solids_of({"HCO3": 122.034, "NH3": 5.0}) == pytest.approx(60.008, rel=1e-4)
    kept = ("Na", "K", "Ca", "Mg", "Cl", "SO4", "SO3", "NO3", "PO4", "F", "SiO2", "B")
    assert solids_of(dict.fromkeys(kept, 2.0)) == pytest.approx(24.0)


def test_small_figures_count():
    trace = {"Na": 22.990, "K": 0.005 * 39.098, "Cl": 35.45 * 1.005}
    assert analysis_of(trace, 7.0).balance.cations == pytest.approx(1.005, abs=3e-4)
    assert analysis_of({"Na": 1e-5}, 7.0, measured=0.005).ratio > 1.0


def test_it_is_25c_unless_said():
    assert analysis_of(SALT, 7.0).conductivity == analysis_of(SALT, 7.0, 25.0).conductivity
    assert carbon_of(SALT, 8.0, 50.0) == carbon_of(SALT, 8.0, 50.0, 25.0)
