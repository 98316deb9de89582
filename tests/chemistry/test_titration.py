"""The equations of a titration, and units that a label may state."""

import numpy as np
import pytest

from chemistry import units
from chemistry.errors import OutOfValidity
from chemistry.titration import concentration, equivalents_per_million, per_milliliter
from chemistry.titration_budget import BURETTE, Sensitivity, budget


def test_alkalinity_by_its_equation():
    """EPA 310.1 (1971, rev. 1978), from memory: A N 50,000 / mL; 4.0 mL of 0.02 N in 50 mL."""
    assert concentration(4.0, 0.0, 0.02, 50.0, 50_000.0) == pytest.approx(80.0)


def test_chloride_by_its_equation():
    """Standard Methods 4500-Cl- B, from memory: (A - B) N 35,450 / mL. 0.0141 N is made so that
    1 mL stands for 500 µg of chloride (from memory too)."""
    assert per_milliliter(0.0141, 35_450.0, 1000.0) == pytest.approx(0.500, abs=5e-4)
    assert concentration(5.2, 0.2, 0.0141, 50.0, 35_450.0) == pytest.approx(49.98, abs=5e-3)


def test_sulfite_by_its_equation():
    """EPA 377.1 (1974, rev. 1978), equation from memory: (A - B) N 40,000 / mL. 0.0125 N is made so
    that 1 mL stands for 500 µg of SO3 (from memory)."""
    assert per_milliliter(0.0125, 40_000.0, 1000.0) == pytest.approx(0.500)
    assert concentration(3.1, 0.1, 0.0125, 50.0, 40_000.0) == pytest.approx(30.0)


def test_a_blank_that_took_more_is_not_clamped():
    assert concentration(0.1, 0.2, 0.02, 50.0, 50_000.0) == pytest.approx(-2.0)


def test_a_year_of_titrations_in_one_call():
    used = np.array([1.0, 2.0, 4.0])
    found = concentration(used, 0.0, 0.02, np.array([50.0, 25.0, 100.0]), 50_000.0)
    assert found == pytest.approx([20.0, 80.0, 40.0])
    assert equivalents_per_million(found, 50_000.0) == pytest.approx([0.4, 1.6, 0.8])


@pytest.mark.parametrize("bad", [(0.0, 50_000.0, 50.0), (0.02, 0.0, 50.0), (0.02, 50_000.0, 0.0)])
def test_nothing_is_worked_from_nothing(bad):
    with pytest.raises(OutOfValidity):
        per_milliliter(*bad)
    with pytest.raises(OutOfValidity):
        per_milliliter(np.array([bad[0], 1.0]), bad[1], float("nan"))


@pytest.mark.parametrize(
    ("unit", "mg"),
    [
        ("gpg", 17.118),  # 64.79891 mg in 3.785411784 L: NIST SP 811 (2008), from memory
        ("dH", 17.85),  # DIN 38409-6, from memory: 10 mg/L CaO
        ("fH", 10.0),  # common practice, no source
    ],
)
def test_degrees_of_hardness(unit, mg):
    assert units.convert(1.0, unit, "mg_CaCO3/L") == pytest.approx(mg, rel=2e-4)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("mg_CaCO3/L", "mg/L"),
        ("gpg", "mg/L"),
        ("epm", "mg/L"),
        ("eq/L", "M"),
        ("drop", "mL"),
        ("pH", "1"),
    ],
)
def test_no_silent_change_of_what_is_meant(one, other):
    """100 mg/L of hardness as CaCO3 is not 100 mg/L of calcium; that must be asked for."""
    assert not units.same_dimension(one, other)


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("N", "eq/L"),
        ("epm", "epm"),
        ("mg/L as CaCO3", "mg_CaCO3/L"),
        ("°dH", "dH"),
        ("gr/gal", "gpg"),
        ("drops", "drop"),
        ("mL", "mL"),
        ("M", "M"),
        ("pH", "pH"),
    ],
)
def test_units_as_people_write_them(written, key):
    assert units.unit_key(written) == key


def test_what_is_not_stated_adds_nothing():
    """Without a start and without a blank only the end point's own digit counts."""
    at = Sensitivity(value=80.0, per_unit=20.0, weights={"end": 1.0}, half_digits={"end": 0.005})
    found = {part.name: part.u for part in budget(at, BURETTE).components}
    assert "blank" not in found
    assert found["last digit of the volume"] == pytest.approx(20.0 * 0.005 / 3.0**0.5)


def test_a_weak_titrant_and_a_small_sample_are_enough():
    """By hand: there is no least strength and no least sample."""
    assert per_milliliter(0.005, 0.005, 0.005) == pytest.approx(0.005)
