"""P and M alkalinity: the split, what is withheld, and the budget."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry import methods
from chemistry.alkalinity import PHOSPHATE_AS_CACO3, SILICA_AS_CACO3, split
from chemistry.errors import OutOfValidity
from chemistry.methods.base import InstrumentFacts
from tests.chemistry.working import notes, parts, trouble, work

METHOD = methods.get("alkalinity", "1")
SPLIT = ("hydroxide_alkalinity", "carbonate_alkalinity", "bicarbonate_alkalinity")
TYPED = {"start": "0.50", "p_end": "3.00", "m_end": "4.50", "sample_volume": "50"}


@pytest.mark.parametrize(
    ("p", "m", "expected"),
    [
        (0.0, 80.0, (0.0, 0.0, 80.0)),
        (20.0, 80.0, (0.0, 40.0, 40.0)),
        (39.75, 80.0, (0.0, 79.5, 0.5)),
        (40.0, 80.0, (0.0, 80.0, 0.0)),
        (50.0, 80.0, (20.0, 60.0, 0.0)),
        (80.0, 80.0, (80.0, 0.0, 0.0)),
    ],
)
def test_the_five_rows_of_the_table(p, m, expected):
    """Standard Methods 2320 B.6, Table 2320:II (from memory). The rows P 0, T 80 and P 50, T 80:
    a public operator-training page (published; outputs of the second recomputed)."""
    found = split(p, m)
    assert (found.hydroxide, found.carbonate, found.bicarbonate) == expected


def test_a_year_of_splits_in_one_call():
    found = split(np.array([0.0, 50.0]), 80.0)
    assert list(found.hydroxide) == [0.0, 20.0]
    assert list(found.bicarbonate) == [80.0, 0.0]


@given(st.floats(0.0, 1.0), st.floats(0.0, 1e4))
def test_the_parts_add_up_to_m(share, m):
    found = split(share * m, m)
    assert min(found.hydroxide, found.carbonate, found.bicarbonate) >= 0.0
    total = found.hydroxide + found.carbonate + found.bicarbonate
    assert total == pytest.approx(m, rel=1e-9, abs=1e-300)


@pytest.mark.parametrize(
    ("p", "m"), [(81.0, 80.0), (-1.0, 80.0), (math.nan, 80.0), (1.0, math.inf)]
)
def test_no_split_outside_the_table(p, m):
    with pytest.raises(OutOfValidity):
        split(p, m)


def test_what_a_mg_of_phosphate_or_silica_can_take():
    """Stoichiometry with IUPAC weights (2021): Ca 40.078, C 12.011, O 15.999, P 30.974, Si 28.085.
    100 mg/L of silica at full strength then pass for 83 mg/L; a solver found 80."""
    half_caco3 = (40.078 + 12.011 + 3 * 15.999) / 2.0
    assert pytest.approx(half_caco3 / (30.974 + 4 * 15.999), rel=1e-3) == PHOSPHATE_AS_CACO3
    assert pytest.approx(half_caco3 / (28.085 + 2 * 15.999), rel=1e-3) == SILICA_AS_CACO3


def test_the_training_example_from_burette_to_split():
    """P 50, T 80 (published inputs): 2.50 and 4.00 mL of 0.02 N in 50 mL."""
    found = work(METHOD, "burette", **TYPED, others="no")
    values = {key: each.value for key, each in found.items()}
    assert values == pytest.approx(
        {
            "p_alkalinity": 50.0,
            "m_alkalinity": 80.0,
            "hydroxide_alkalinity": 20.0,
            "carbonate_alkalinity": 60.0,
            "bicarbonate_alkalinity": 0.0,
        }
    )
    assert {each.basis.text for each in found.values()} == {"||CaCO3"}
    assert {each.unit for each in found.values()} == {"mg/L"}


@pytest.mark.parametrize(("answer", "word"), [("yes", "take acid too"), ("", "not known")])
def test_hydroxide_is_withheld_where_others_take_acid(answer, word):
    found = work(METHOD, "burette", **TYPED, others=answer)
    assert set(found) == {"p_alkalinity", "m_alkalinity"}
    assert word in notes(found["m_alkalinity"])


def test_a_phosphate_water_is_never_clamped_to_zero_hydroxide():
    """2P - M below zero, as 40 mg/L PO4 gives: nothing is said of hydroxide."""
    typed = {"p_end": "1.0", "m_end": "2.4", "sample_volume": "50", "others": "yes"}
    assert set(work(METHOD, "self_zeroing", **typed)) == {"p_alkalinity", "m_alkalinity"}


def test_the_same_water_entered_in_five_ways():
    p_and_m = {"p_end": "2.50", "m_end": "4.00"}
    ways = (
        work(METHOD, "burette", **TYPED),
        work(METHOD, "self_zeroing", **p_and_m, sample_volume="50"),
        work(METHOD, "syringe", start="5", p_end="2.5", m_end="1.0", sample_volume="50"),
        work(
            METHOD,
            "syringe",
            scale="used",
            start="0",
            p_end="2.5",
            m_end="4.0",
            sample_volume="50",
        ),
        work(METHOD, "drops", p_end="50", m_end="80", per_drop_result="1"),
        work(METHOD, "drops", p_end="50", m_end="80", drop_means="volume", sample_volume="50"),
        work(METHOD, "factor", **p_and_m, factor="20"),
        work(METHOD, "factor", **p_and_m, factor="2 fH"),
        work(METHOD, "factor", **p_and_m, factor="10", label_volume="50", sample_volume="25"),
        work(
            METHOD,
            "drops",
            p_end="5",
            m_end="8",
            per_drop_result="5",
            label_volume="20",
            sample_volume="10",
        ),
        work(METHOD, "burette", **{**TYPED, "sample_volume": "25"}, dilution="0.5"),
    )
    for found in ways:
        assert found["p_alkalinity"].value == pytest.approx(50.0)
        assert found["m_alkalinity"].value == pytest.approx(80.0)


def test_the_blank_is_taken_off_m_alone():
    found = work(METHOD, "burette", **TYPED, blank="0.10")
    assert found["p_alkalinity"].value == pytest.approx(50.0)
    assert found["m_alkalinity"].value == pytest.approx(78.0)
    assert "blank" in parts(found["m_alkalinity"]) and "blank" not in parts(found["p_alkalinity"])


def test_the_budget_of_hydroxide_by_hand():
    """JCGM 100:2008, 4.3.7 and 5.1.2; OH = 2P - M, 20 mg/L a mL; defaults: common practice."""
    found = parts(work(METHOD, "burette", **TYPED, others="no")["hydroxide_alkalinity"])
    root3, ends = math.sqrt(3.0), math.sqrt(2.0**2 + 1.0)
    assert found == pytest.approx(
        {
            "one drop of titrant": 20.0 * 0.05 * ends / root3,
            "end point judged by eye": 20.0 * 0.025 * ends / root3,
            "last digit of the volume": 20.0 * 0.005 * math.sqrt(4.0 + 1.0 + 1.0) / root3,
            "burette": 20.0 * 0.05 * ends / root3,
            "strength of the titrant": 20.0 * 0.01 / root3,
            "sample volume": 20.0 * 0.01 / root3,
        }
    )


def test_how_carbonate_hangs_on_the_end_points():
    """CO3 is 2P up to half of M: Standard Methods 2320 B.6 (from memory). P is 1.99 of 4.00 mL, so
    a drop more of P is two of carbonate (JCGM 100:2008, 5.1.2)."""
    typed = {"p_end": "1.99", "m_end": "4.00", "sample_volume": "50", "others": "no"}
    found = work(METHOD, "self_zeroing", **typed)["carbonate_alkalinity"]
    assert found.value == pytest.approx(79.6)
    assert parts(found)["one drop of titrant"] == pytest.approx(20.0 * 0.05 * 2.0 / math.sqrt(3.0))


def test_the_least_titrant_is_not_nothing():
    """By hand: 0.005 mL of 0.02 N in 50 mL are 0.1 mg/L, and all of it is bicarbonate."""
    typed = {"p_end": "0", "m_end": "0.005", "sample_volume": "50", "others": "no"}
    found = work(METHOD, "self_zeroing", **typed)
    assert found["bicarbonate_alkalinity"].value == pytest.approx(0.1)
    assert "may be acid" not in notes(found["m_alkalinity"])
    assert found["m_alkalinity"].qualifier == ""


def test_known_glassware_replaces_the_defaults():
    better = InstrumentFacts(burette_half_width_ml=0.02, titrant_u_percent=0.1)
    found = parts(work(METHOD, "burette", better, **TYPED)["p_alkalinity"])
    assert found["burette"] == pytest.approx(20.0 * 0.02 / math.sqrt(3.0))
    assert found["strength of the titrant"] == pytest.approx(50.0 * 0.001)
    drops = work(METHOD, "drops", better, p_end="5", m_end="8", per_drop_result="10")
    assert parts(drops["p_alkalinity"])["size of a drop"] == pytest.approx(5.0 / math.sqrt(3.0))


@pytest.mark.parametrize(
    ("mode", "change", "expected"),
    [
        ("burette", {"p_end": "0.40"}, {"p_end": "final_below_initial"}),
        ("burette", {"m_end": "2.90"}, {"m_end": "less_than_before"}),
        ("burette", {"m_end": "abc"}, {"m_end": "not_a_number"}),
        ("burette", {"sample_volume": "0"}, {"sample_volume": "impossible"}),
        ("burette", {"sample_volume": "50 °C"}, {"sample_volume": "wrong_dimension"}),
        ("burette", {"sample_volume": ""}, {"sample_volume": "missing"}),
        ("burette", {"strength": "0"}, {"strength": "impossible"}),
        ("burette", {"others": "maybe"}, {"others": "not_a_choice"}),
        ("burette", {"start": "-5"}, {"start": "impossible"}),
        ("burette", {"blank": "2.0"}, {"blank": "p_beyond_m"}),
        ("burette", {"m_end": "3.0000", "blank": "0.1005"}, {"blank": "p_beyond_m"}),
        ("burette", {"m_end": "3.0000", "blank": "0.1000"}, {}),
        ("burette", {"blank": "4.5"}, {"blank": "blank_too_large"}),
        ("syringe", {}, {"p_end": "final_below_initial"}),
        ("drops", {}, {"per_drop_result": "missing"}),
        ("drops", {"drop_means": "volume", "sample_volume": ""}, {"sample_volume": "missing"}),
        ("factor", {}, {"factor": "missing"}),
        ("factor", {"factor": "20"}, {"label_volume": "both_volumes"}),
        (
            "factor",
            {"factor": "20", "label_volume": "50", "sample_volume": ""},
            {"sample_volume": "both_volumes"},
        ),
        ("factor", {"factor": "20", "sample_volume": "0"}, {"sample_volume": "impossible"}),
    ],
)
def test_bad_input_stands_beside_its_field(mode, change, expected):
    assert trouble(METHOD, mode, **{**TYPED, **change}) == expected


def test_no_pink_is_a_true_zero():
    """IUPAC Gold Book, entry 09038 (published): P is zero at pH 8.3 and below."""
    found = work(METHOD, "self_zeroing", p_end="0", m_end="4", sample_volume="50", others="no")
    assert (found["p_alkalinity"].value, found["p_alkalinity"].qualifier) == (0.0, "")
    assert "8.3" in notes(found["p_alkalinity"])
    assert found["bicarbonate_alkalinity"].value == pytest.approx(80.0)


def test_a_water_that_takes_no_acid_may_be_acid():
    found = work(METHOD, "self_zeroing", p_end="0", m_end="0", sample_volume="50", others="no")
    m = found["m_alkalinity"]
    assert (m.qualifier, m.value) == ("<", pytest.approx(1.0))
    assert "may be acid" in notes(m) and set(found) == {"p_alkalinity", "m_alkalinity"}


def test_titrant_that_ran_out_says_more_than():
    found = work(METHOD, "burette", **TYPED, others="no", end_point="ran_out")
    assert found["m_alkalinity"].qualifier == ">"
    assert set(found) == {"p_alkalinity", "m_alkalinity"}
    assert "ran out" in notes(found["m_alkalinity"])


@pytest.mark.parametrize(("blank", "split_given"), [("0", True), ("0.05", False)])
def test_p_a_drop_above_m_withholds_the_split(blank, split_given):
    typed = {"p_end": "4.00", "m_end": "4.00", "sample_volume": "50", "others": "no"}
    found = work(METHOD, "self_zeroing", **typed, blank=blank)
    assert ("hydroxide_alkalinity" in found) is split_given
