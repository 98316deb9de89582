"""Sodium to phosphate: across databases, with its interval, and refused where it means nothing."""

import numpy as np
import pytest

from chemistry.errors import ChemistryError, OutOfValidity, Refused
from chemistry.phosphate import PH_HALF_WIDTH, ph_of_ratio, sodium_to_phosphate
from chemistry.solve import equilibrate
from chemistry.totals import molar_mass
from tests.chemistry.phreeqc_reference import ELEMENT_OF, Reference

NA, PO4 = 22.990, 94.970  # g/mol, IUPAC (2022)


def drawn(count: int, low: float, high: float, seed: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    return np.exp(rng.uniform(np.log(low), np.log(high), count)), rng.uniform(2.1, 3.2, count)


@pytest.mark.parametrize("file", ["phreeqc.dat", "wateq4f.dat", "minteq.v4.dat", "sit.dat"])
@pytest.mark.parametrize(("low", "high", "most"), [(5.0, 60.0, 0.02), (0.5, 5.0, 0.08)])
def test_ratios_across_databases(file, low, high, most):
    """IPhreeqc 3.8.6: the ratio from the pH that each of its databases gives a known ratio."""
    po4, ratio = drawn(80, low, high, 1)
    waters = [
        {"Na": float(r * p / PO4 * NA), "PO4": float(p)} for p, r in zip(po4, ratio, strict=True)
    ]
    rows = Reference(file=file, elements=ELEMENT_OF).solved(waters, [25.0] * len(waters))
    found = sodium_to_phosphate(np.array([row["ph"] for row in rows]), po4)
    assert np.abs(found.ratio - ratio).max() < most
    assert np.all((found.low < ratio) & (ratio < found.high))


@pytest.mark.parametrize(
    ("ratio", "ph"),
    [
        # a speciation elsewhere (IPhreeqc 3.7.3), 25 °C, at 1, 2, 5, 10, 20, 40 mg/kg PO4
        (2.2, (8.42, 8.68, 9.04, 9.32, 9.61, 9.90)),
        (2.6, (8.81, 9.10, 9.49, 9.79, 10.08, 10.37)),
        (3.0, (9.02, 9.32, 9.71, 10.01, 10.30, 10.59)),
    ],
)
def test_ph_of_a_ratio(ratio, ph):
    po4 = np.array([1.0, 2.0, 5.0, 10.0, 20.0, 40.0])
    assert ph_of_ratio(ratio, po4) == pytest.approx(ph, abs=0.006)
    assert ph_of_ratio(ratio, 10.0) == pytest.approx(ph[3], abs=0.006)


@pytest.mark.parametrize("temp_c", [10.0, 25.0, 45.0])
def test_there_and_back_with_all_that_disturbs(temp_c):
    others = {"NH3": 0.3, "SiO2": 1.0, "C": 0.1}
    water = {"Na": 2.7 * 20.0 / PO4 * NA, "PO4": 20.0, **others}
    found = sodium_to_phosphate(
        equilibrate(water, temp_c).ph, 20.0, 0.3, 1.0, 0.1, temperature_c=temp_c
    )
    assert found.ratio == pytest.approx(2.7, abs=1e-5)
    assert found.low < 2.7 < found.high


def test_leaving_ammonia_out_shifts_the_ratio():
    water = {"Na": 2.5 * 10.0 / PO4 * NA, "PO4": 10.0, "NH3": 1.0}
    ph = equilibrate(water).ph
    with_it, without = sodium_to_phosphate(ph, 10.0, nh3=1.0), sodium_to_phosphate(ph, 10.0)
    assert with_it.ratio == pytest.approx(2.5, abs=1e-5)
    assert with_it.shift == pytest.approx(with_it.ratio - without.ratio, abs=1e-6)
    assert with_it.shift < -0.1


def test_what_a_ph_meter_is_worth():
    """1 mg/kg PO4 is 1.053e-5 mol/kg; at pH 9.5 there are 10^(9.5 - 13.995) / 0.993 mol/kg of OH-,
    and 0.05 pH is 12.2 % of them."""
    moved = sodium_to_phosphate(9.55, 1.0).ratio - sodium_to_phosphate(9.5, 1.0).ratio
    assert moved == pytest.approx(0.122 * 3.2214e-5 / 1.053e-5, rel=0.01)


def test_the_interval_by_hand():
    """Squares of what 0.05 pH and 5 % of phosphate change, from the pairing that is farther out."""

    def alone(ph: float, po4: float) -> float:
        return sodium_to_phosphate(ph, po4).ratio

    found, base = sodium_to_phosphate(10.0, 20.0), alone(10.0, 20.0)
    paired = _with_strong_pairs(10.0, 20.0)
    up = np.hypot(alone(10.05, 20.0) - base, alone(10.0, 19.0) - base)
    down = np.hypot(alone(9.95, 20.0) - base, alone(10.0, 21.0) - base)
    assert paired < base - 1e-5
    assert found.high == pytest.approx(max(base, paired) + up, abs=1e-9)
    assert found.low == pytest.approx(min(base, paired) - down, abs=1e-9)


def _with_strong_pairs(ph: float, po4: float) -> float:
    """Return the ratio with the other pairing: sodium by halves until the pH fits."""
    low, high = 1.0, 4.0
    for _ in range(60):
        ratio = 0.5 * (low + high)
        water = {"Na": ratio * po4 / molar_mass("PO4") * NA, "PO4": po4}
        below = equilibrate(water, strong_pairs=True).ph < ph
        low, high = (ratio, high) if below else (low, ratio)
    return low


def test_a_better_meter_narrows_the_interval():
    usual = sodium_to_phosphate(10.0, 20.0)
    better = sodium_to_phosphate(10.0, 20.0, ph_half_width=0.01)
    assert better.high - better.low < usual.high - usual.low
    assert sodium_to_phosphate(10.0, 20.0, ph_half_width=PH_HALF_WIDTH) == usual


@pytest.mark.parametrize("po4", [0.49, float("nan"), np.array([5.0, 0.1])])
def test_too_little_phosphate_is_refused(po4):
    with pytest.raises(OutOfValidity) as caught:
        sodium_to_phosphate(9.5, po4)
    assert (caught.value.code, caught.value.bound) == ("phosphate_too_low", "po4 >= 0.5")
    assert sodium_to_phosphate(8.8, 0.5).ratio > 2.0


def test_swamped_ratios_are_refused():
    """A softened makeup's carbonate and silica; the shift that is still told is 1."""
    for others in ({"carbon": 10.0}, {"sio2": 50.0}, {"nh3": 60.0}):
        with pytest.raises(Refused) as caught:
            sodium_to_phosphate(10.5, 10.0, **others)
        assert caught.value.code == "swamped"
    # 5 mg/kg of silica at pH 10 beside 10 mg/kg PO4: +0.5, a trial by PHREEQC elsewhere
    shift = sodium_to_phosphate(10.0, 10.0, sio2=5.0).shift
    assert shift == pytest.approx(0.5, abs=0.03)
    just = sodium_to_phosphate(10.0, 10.0, sio2=0.99 * 5.0 / shift).shift
    assert just == pytest.approx(0.99, abs=0.005)
    with pytest.raises(Refused):
        sodium_to_phosphate(10.0, 10.0, sio2=1.01 * 5.0 / shift)


def test_bad_amounts_are_refused():
    with pytest.raises(ChemistryError):
        sodium_to_phosphate(9.5, 10.0, nh3=-1.0)
    with pytest.raises(ChemistryError):
        sodium_to_phosphate(13.0, 10.0)


def test_it_is_refused_once_others_shift_it_by_one():
    """Rule of our own. The silica at which it is refused is looked for by halving."""
    low, high = 0.0, 50.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        try:
            shift = abs(float(sodium_to_phosphate(10.0, 10.0, sio2=middle).shift))
            low = middle
        except Refused:
            high = middle
    assert shift == pytest.approx(1.0, abs=2e-3)
