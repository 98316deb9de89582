"""What a chemical brings, against the Navy's dose tables and stoichiometry."""

import pytest

from chemistry.dosing import (
    CHEMICALS,
    SO3_PER_OXYGEN,
    kg_for_rise,
    kg_h_blown,
    sulfite_taken_kg_h,
)
from tests.golden import golden

OUNCE_KG, GALLON_KG, POUND_KG = 0.02835, 3.785, 0.45359237  # as NAVEDTRA 14075 takes the first two
EPM = 50.04  # mg/L as CaCO3 of 1 epm
TSP = CHEMICALS["tsp_crystals"]


@pytest.mark.parametrize("row", golden("navedtra_table_7_4"), ids=lambda r: r["alkalinity_epm"])
def test_trisodium_phosphate_to_two_epm(row):
    """NAVEDTRA 14075, Table 7-4: oz a gallon to 2.0 epm to 1.6 %, the rise of PO4 to 6 ppm."""
    rise = (2.0 - float(row["alkalinity_epm"])) * EPM
    kg = kg_for_rise(rise, GALLON_KG, TSP.share("p_alkalinity"))
    assert kg / OUNCE_KG == pytest.approx(float(row["factor_oz_per_gal"]), rel=0.016)
    po4 = kg * TSP.share("phosphate") / GALLON_KG * 1e6
    assert po4 == pytest.approx(float(row["po4_rise_ppm"]), abs=6.0)


@pytest.mark.parametrize(
    ("gallons", "tsp_oz", "dsp_oz"), [(84, 8.5, 2), (215, 21.5, 4.5), (280, 28, 6), (300, 30, 6.5)]
)
def test_the_first_fill(gallons, tsp_oz, dsp_oz):
    """NAVEDTRA 14075, Tables 7-2 and 7-3: 0.100 and 0.022 oz a gallon, to the nearest half ounce.

    The two factors are 187 and 110 mg/L PO4 by stoichiometry: our arithmetic.
    """
    for key, rise, printed in (("tsp_crystals", 187.1, tsp_oz), ("dsp_anhydrous", 110.2, dsp_oz)):
        kg = kg_for_rise(rise, gallons * GALLON_KG, CHEMICALS[key].share("phosphate"))
        assert kg / OUNCE_KG == pytest.approx(printed, abs=0.26)


@pytest.mark.parametrize(
    ("chemical", "analyte", "share"),
    [
        ("tsp_crystals", "phosphate", 0.2498),
        ("tsp_anhydrous", "phosphate", 0.5793),
        ("dsp_anhydrous", "phosphate", 0.6690),
        ("sodium_sulfite", "sulfite", 0.6352),
        ("caustic_soda", "hydroxide_alkalinity", 1.2512),
        ("caustic_soda", "p_alkalinity", 1.2512),
        ("dsp_anhydrous", "p_alkalinity", 0.0),
        ("caustic_soda", "phosphate", 0.0),
        ("caustic_soda", "sulfite", 0.0),
        ("caustic_soda", "chloride", 0.0),
        ("tsp_crystals", "p_alkalinity", 0.1317),
        ("tsp_anhydrous", "p_alkalinity", 0.3053),
    ],
)
def test_what_counts_of_a_chemical(chemical, analyte, share):
    """Balanced equations with IUPAC atomic weights, recomputed by hand.

    One equivalent of alkalinity in a mole of Na3PO4: NAVEDTRA 14075, Table 7-4.
    """
    assert CHEMICALS[chemical].share(analyte) == pytest.approx(share, abs=5e-5)


def test_oxygen_takes_five_times_its_weight_of_sulfite():
    """7.878 parts Na2SO3 for one of oxygen, balanced equation; 7.88 in a training note."""
    assert pytest.approx(5.004, abs=5e-4) == SO3_PER_OXYGEN
    sulfite = CHEMICALS["sodium_sulfite"].share("sulfite")
    assert pytest.approx(7.878, abs=1e-3) == SO3_PER_OXYGEN / sulfite


def test_what_holds_a_residual_in_a_day():
    """Our own numbers on the flows of UFC 3-240-13FN, 3-1.5: 2105 lb/h blown of 42 105 lb/h fed.

    40 ppm PO4: 8.09 lb of TSP crystals; 30 ppm SO3: 2.39 lb Na2SO3; 0.007 ppm oxygen: 0.056 lb.
    """
    sulfite = CHEMICALS["sodium_sulfite"].share("sulfite")
    blown, fed = 2105 * POUND_KG, 42105 * POUND_KG
    day = 24.0 / POUND_KG
    phosphate = kg_h_blown(40.0, blown) / TSP.share("phosphate") * day
    assert phosphate == pytest.approx(8.09, abs=0.005)
    assert kg_h_blown(30.0, blown) / sulfite * day == pytest.approx(2.39, abs=0.005)
    assert sulfite_taken_kg_h(fed, 7.0) / sulfite * day == pytest.approx(0.056, abs=5e-4)
