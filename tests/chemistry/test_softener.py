"""What is left of a softener, against published household examples."""

import numpy as np
import pytest

from chemistry.errors import ChemistryError, Refused
from chemistry.softener import leakage_percent, left, water_between_m3

GRAIN_KG = 64.79891e-6  # NIST SP 811 (2008), from memory
GALLON_M3 = 3.785411784e-3  # NIST SP 811 (2008), from memory
GRAIN_PER_GALLON = GRAIN_KG * 1000.0 / GALLON_M3  # g/m³, that is mg/L


@pytest.mark.parametrize(
    ("grains", "gpg", "gallons"),
    [(8000.0, 11.0, 727.0), (8000.0, 58.0, 137.0), (16000.0, 11.0, 1454.0)],
)
def test_water_between_regenerations(grains, gpg, gallons):
    """A public page on how often a small softener regenerates, published (truncated gallons)."""
    found = water_between_m3(grains * GRAIN_KG, gpg * GRAIN_PER_GALLON)
    assert int(found / GALLON_M3 + 1e-9) in (gallons, gallons + 1.0)
    assert found / GALLON_M3 == pytest.approx(gallons, abs=1.0)


def test_a_household_for_three_days():
    """A public page on softening requirements, published: 4 persons of 70 gallons, 20 grains per
    gallon, 3 days take 16,800 grains."""
    per_hour = 4 * 70 * GALLON_M3 / 24.0
    found = left(16_800 * GRAIN_KG, 20 * GRAIN_PER_GALLON, 0.0, flow_m3_h=per_hour)
    assert found.hours == pytest.approx(72.0) and found.percent == 100.0


def test_what_is_let_through_is_not_taken_up():
    """By hand: 30 kg at 290 taken of 300 mg/L."""
    assert water_between_m3(30.0, 300.0, 10.0) == pytest.approx(30_000.0 / 290.0)


def test_an_overrun_bed_shows_less_than_nothing():
    found = left(30.0, 300.0, 110.0)
    assert found.percent == pytest.approx(-10.0) and found.water_m3 == pytest.approx(-10.0)
    assert found.hours is None


def test_small_figures_are_figures():
    """By hand."""
    assert leakage_percent(0.005, 0.0) == 0.0
    assert water_between_m3(0.005, 0.005) == pytest.approx(1000.0)
    assert water_between_m3(30.0, 300.0) == pytest.approx(100.0, rel=1e-9)
    assert left(30.0, 300.0, 100.0).percent == pytest.approx(0.0, abs=1e-9)
    assert left(30.0, 300.0, 99.0, flow_m3_h=0.005).hours == pytest.approx(200.0)


def test_many_at_once():
    found = left(30.0, np.array([300.0, 150.0]), 50.0, flow_m3_h=10.0)
    assert found.percent == pytest.approx([50.0, 75.0])
    assert found.hours == pytest.approx([5.0, 15.0])


def test_leakage():
    """By hand."""
    assert leakage_percent(250.0, 0.5) == pytest.approx(0.2)
    assert leakage_percent(100.0, np.array([0.0, 100.0])) == pytest.approx([0.0, 100.0])


def test_no_capacity_is_assumed():
    for asked in (lambda: water_between_m3(None, 300.0), lambda: left(None, 300.0, 1.0)):
        with pytest.raises(Refused) as caught:
            asked()
        assert caught.value.missing == ("capacity_kg",) and str(caught.value)


@pytest.mark.parametrize(
    "asked",
    [
        lambda: leakage_percent(0.0, 0.0),
        lambda: leakage_percent(10.0, 11.0),
        lambda: leakage_percent(10.0, -1.0),
        lambda: leakage_percent(float("nan"), 1.0),
        lambda: water_between_m3(0.0, 300.0),
        lambda: water_between_m3(30.0, 300.0, 300.0),
        lambda: water_between_m3(30.0, 300.0, -1.0),
        lambda: left(30.0, 300.0, -1.0),
        lambda: left(30.0, 300.0, 1.0, flow_m3_h=0.0),
    ],
)
def test_what_fits_no_softener_is_refused(asked):
    with pytest.raises(ChemistryError) as caught:
        asked()
    assert caught.value.code == "no_hardness" and str(caught.value)
