"""Hardness: conversions when asked, the EDTA titrations, and how coarse one drop is."""

import math

import numpy as np
import pytest

from chemistry import methods
from chemistry.analytes import Basis
from chemistry.hardness import (
    CALCIUM_AS_CACO3,
    MAGNESIUM_AS_CACO3,
    calcium_in,
    hardness_of,
    magnesium_in,
)
from chemistry.verdict import Limit, judge
from tests.chemistry.working import notes, parts, trouble, work

TOTAL = methods.get("hardness_total", "1")
CALCIUM = methods.get("hardness_calcium", "1")
BOTH = pytest.mark.parametrize("method", [TOTAL, CALCIUM], ids=["total", "calcium"])


def test_the_public_example():
    """Ca 40, Mg 12 mg/L give 149.296 mg/L as CaCO3 with the two factors of Standard Methods 2340 B
    (published: public calculation pages)."""
    assert hardness_of(40.0, 12.0) == pytest.approx(149.296)


def test_the_factors_are_the_ratio_of_the_weights():
    """IUPAC weights (2021): Ca 40.078, Mg 24.305, CaCO3 100.086; the factors agree to 4 figures."""
    assert pytest.approx(100.086 / 40.078, rel=2e-4) == CALCIUM_AS_CACO3
    assert pytest.approx(100.086 / 24.305, rel=2e-4) == MAGNESIUM_AS_CACO3


def test_a_year_of_waters_there_and_back():
    calcium, magnesium = np.array([0.0, 40.0]), np.array([12.0, 0.0])
    assert hardness_of(calcium, magnesium) == pytest.approx([49.416, 99.88])
    assert calcium_in(hardness_of(calcium, 0.0)) == pytest.approx(calcium)
    assert magnesium_in(hardness_of(0.0, magnesium)) == pytest.approx(magnesium)


@BOTH
def test_the_equation(method):
    """EPA 130.2 and Standard Methods 2340 C, from memory: A B 1000 / mL, B 1.00 mg per mL of
    0.01 M; 12.5 mL in 50 mL are 250 mg/L as CaCO3."""
    found = work(method, "burette", start="0.15", end="12.65", sample_volume="50")
    (result,) = found.values()
    assert result.value == pytest.approx(250.0)
    assert (result.unit, result.basis.text) == ("mg/L", "||CaCO3")


@BOTH
def test_one_drop_is_one_mg_and_the_budget_says_so(method):
    """Common practice: one 0.05 mL drop of 0.01 M EDTA in 50 mL is 1 mg/L as CaCO3."""
    (result,) = work(method, "self_zeroing", end="0.05", sample_volume="50").values()
    assert result.value == pytest.approx(1.0)
    assert parts(result)["one drop of titrant"] == pytest.approx(1.0 / math.sqrt(3.0))
    assert result.budget.expanded > 1.0
    assert "One drop of titrant is 1 mg/L" in notes(result)


@pytest.mark.parametrize(("limit", "reason"), [(0.3, "too_coarse"), (5.0, "")])
def test_a_limit_finer_than_a_drop_is_not_judged(limit, reason):
    """0.3 ppm: feedwater hardness of ASME CRTD-34 (1994), Table 1 (published)."""
    (found,) = work(TOTAL, "self_zeroing", end="0.05", sample_volume="50").values()
    budget = found.budget
    said = judge(
        found.value,
        budget.expanded,
        budget.coverage,
        budget.dof,
        found.basis,
        Limit(None, limit, Basis("", "", "CaCO3"), "mg/L"),
    )
    assert said.reason == reason


@BOTH
def test_blue_at_once_is_less_than_one_drop(method):
    (result,) = work(method, "burette", start="3.1", end="3.1", sample_volume="100").values()
    assert (result.qualifier, result.value) == ("<", pytest.approx(0.5))


@BOTH
def test_labels_in_grains_and_degrees(method):
    """1 grain per US gallon is 17.118, 1 °dH 17.848, 1 °fH 10 mg/L as CaCO3 (NIST SP 811 and
    stoichiometry; see the units' own test)."""
    for unit, mg in (("gpg", 17.1181), ("dH", 17.848), ("fH", 10.0), ("", 1.0)):
        (found,) = work(
            method, "drops", units={"per_drop_result": unit}, end="9", per_drop_result="1"
        ).values()
        assert found.value == pytest.approx(9.0 * mg, rel=1e-5)


@BOTH
def test_mg_of_something_else_is_not_taken_for_hardness(method):
    assert trouble(method, "drops", end="9", per_drop_result="1 mg/L") == {
        "per_drop_result": "wrong_dimension"
    }
    assert trouble(method, "burette", start="5", end="4.9", sample_volume="50") == {
        "end": "final_below_initial"
    }
    assert trouble(method, "self_zeroing", end="5", sample_volume="0 mL") == {
        "sample_volume": "impossible"
    }


def test_cautions():
    said = " ".join(step.text for step in TOTAL.steps if step.caution)
    assert "ammonia" in said and "acid" in said
    assert "Caustic" in " ".join(step.text for step in CALCIUM.steps if step.caution)


@BOTH
def test_a_trace_keeps_its_value_and_its_whole_budget(method):
    """By hand, JCGM 100:2008, 4.3.7, stated defaults: 0.005 mL of 0.01 M in 1000 mL are 0.005 mg/L;
    none of its small parts is dropped."""
    (found,) = work(method, "self_zeroing", end="0.005", sample_volume="1000").values()
    assert (found.value, found.qualifier) == (pytest.approx(0.005), "")
    root3 = math.sqrt(3.0)
    assert parts(found) == pytest.approx(
        {
            "one drop of titrant": 0.05 / root3,
            "end point judged by eye": 0.025 / root3,
            "last digit of the volume": 0.0005 / root3,
            "burette": 0.05 / root3,
            "strength of the titrant": 0.005 * 0.01 / root3,
            "sample volume": 0.005 * 0.01 / root3,
        }
    )


@BOTH
def test_a_syringe_and_drops_by_hand(method):
    """JCGM 100:2008, 4.3.7, stated defaults: 12.5 mL in 50 mL, or 25 drops of 10 mg/L."""
    root3, shared = math.sqrt(3.0), 250.0 * 0.01 / math.sqrt(3.0)
    typed = {"scale": "used", "start": "0", "end": "12.50", "sample_volume": "50"}
    (syringe,) = work(method, "syringe", **typed).values()
    assert parts(syringe) == pytest.approx(
        {
            "one drop of titrant": 20.0 * 0.02 / root3,
            "end point judged by eye": 20.0 * 0.01 / root3,
            "last digit of the volume": 20.0 * math.hypot(0.05, 0.005) / root3,
            "syringe": 250.0 * 0.02 / root3,
            "strength of the titrant": shared,
            "sample volume": shared,
        }
    )
    (drops,) = work(method, "drops", end="25", per_drop_result="10").values()
    assert parts(drops) == pytest.approx(
        {
            "one drop of titrant": 10.0 / root3,
            "end point judged by eye": 5.0 / root3,
            "size of a drop": 25.0 / root3,
            "strength of the titrant": shared,
            "sample volume": shared,
        }
    )


@BOTH
def test_twelve_on_a_burette_is_read_to_a_tenth(method):
    """Common practice, no source: a burette is divided in tenths at least."""
    for end, half_digit in (("12", 0.05), ("12.0", 0.05), ("12.00", 0.005)):
        (found,) = work(method, "self_zeroing", end=end, sample_volume="50").values()
        last = parts(found)["last digit of the volume"]
        assert last == pytest.approx(20.0 * half_digit / math.sqrt(3.0))


@BOTH
def test_no_burette_tells_a_billionth_of_a_milliliter(method):
    """Rule of our own: what is left beyond nine places is noise of the subtraction."""
    typed = {"sample_volume": "50", "blank": "0.5"}
    (none,) = work(method, "self_zeroing", end="0.5000000004", **typed).values()
    (some,) = work(method, "self_zeroing", end="0.500000001", **typed).values()
    assert (none.qualifier, some.qualifier) == ("<", "")
