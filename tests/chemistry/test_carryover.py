"""Boiler water in steam, told by sodium."""

import numpy as np
import pytest

from chemistry.carryover import brought_over, carryover
from chemistry.errors import ChemistryError, OutOfValidity


def test_sodium_in_steam_over_sodium_in_the_boiler():
    """IAPWS TGD1-08 (2008), definition; 20 µg/kg over 40 mg/kg by hand."""
    found = carryover(20.0, 40.0, 4000.0)
    assert (found.percent, found.low, found.high) == (0.05, 0.05, 0.05)


def test_both_readings_widen_it():
    """JCGM 100:2008, 5.1.2, by hand: 10 % and 5 % in quadrature are 11.18 %."""
    found = carryover(20.0, 40.0, 4000.0, steam_expanded=2.0, boiler_expanded=2.0)
    assert found.high - found.percent == pytest.approx(0.05 * 0.1118034, rel=1e-6)
    assert found.percent - found.low == pytest.approx(0.05 * 0.1118034, rel=1e-6)


def test_there_is_no_less_than_nothing():
    assert carryover(1.0, 40.0, 4000.0, steam_expanded=2.0).low == 0.0


def test_many_at_once():
    found = carryover(np.array([20.0, 40.0]), 40.0, 4000.0)
    assert found.percent == pytest.approx([0.05, 0.1])


def test_what_droplets_bring():
    """By hand: a thousandth of the boiler water."""
    assert brought_over(0.1, 3500.0) == pytest.approx(3.5)


def test_where_sodium_is_volatile_it_is_refused():
    assert carryover(20.0, 40.0, 15000.0).percent == 0.05
    with pytest.raises(OutOfValidity) as caught:
        carryover(20.0, 40.0, 15001.0)
    assert caught.value.bound == "abs_kpa <= 15000" and str(caught.value)


@pytest.mark.parametrize(
    ("steam", "boiler", "more"),
    [
        (-1.0, 40.0, {}),
        (20.0, 0.0, {}),
        (41_000.0, 40.0, {}),
        (float("nan"), 40.0, {}),
        (20.0, float("inf"), {}),
        (20.0, 40.0, {"steam_expanded": -1.0}),
        (20.0, 40.0, {"boiler_expanded": -1.0}),
        (20.0, 40.0, {"boiler_expanded": 40.0}),
    ],
)
def test_what_can_not_be_is_refused(steam, boiler, more):
    with pytest.raises(ChemistryError) as caught:
        carryover(steam, boiler, 4000.0, **more)
    assert caught.value.code == "no_carryover" and str(caught.value)


def test_steam_as_salty_as_the_boiler_is_priming_and_counts():
    assert carryover(40_000.0, 40.0, 1000.0).percent == pytest.approx(100.0)


def test_no_sodium_in_steam_is_no_carryover():
    assert carryover(0.0, 40.0, 4000.0).percent == 0.0
    assert carryover(0.0, 0.005, 4000.0).percent == 0.0
    with pytest.raises(ChemistryError):
        carryover(0.0, 0.0, 4000.0)
