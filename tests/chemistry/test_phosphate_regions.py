"""Regions of phosphate control: their figures, and the geometry of their outlines."""

import numpy as np
import pytest

from chemistry.errors import OutOfValidity
from chemistry.phosphate import ph_of_ratio
from chemistry.phosphate_regions import (
    REGIONS,
    caustic_line,
    outline,
    place_in,
    ratio_line,
    swing,
)
from chemistry.solve import equilibrate

FIGURES = {
    # po4 low and high, ratio low and high, free caustic; typed a second time, from memory
    "coordinated": (5.0, 40.0, 2.6, 3.0, 0.0),
    "congruent": (2.0, 25.0, 2.3, 2.6, 0.0),
    "equilibrium": (0.5, 2.4, 2.8, 3.0, 1.0),
}
PHOSPHATE = np.array([1.0, 2.0, 5.0, 10.0, 20.0, 40.0])


@pytest.mark.parametrize("key", REGIONS)
def test_figures(key):
    region = REGIONS[key]
    figures = (region.po4_low, region.po4_high, region.ratio_low, region.ratio_high)
    assert (*figures, region.free_caustic) == FIGURES[key]
    assert region.key == key and "from memory" in region.source and "(19" in region.source


@pytest.mark.parametrize(
    ("ratio", "ph"),
    [
        # a speciation elsewhere (IPhreeqc 3.7.3), 25 °C, no ammonia, no carbon dioxide
        (2.2, (8.42, 8.68, 9.04, 9.32, 9.61, 9.90)),
        (2.6, (8.81, 9.10, 9.49, 9.79, 10.08, 10.37)),
        (2.8, (8.93, 9.22, 9.61, 9.91, 10.20, 10.49)),
        (3.0, (9.02, 9.32, 9.71, 10.01, 10.30, 10.59)),
    ],
)
def test_lines_of_equal_ratio(ratio, ph):
    assert ratio_line(ratio, PHOSPHATE) == pytest.approx(ph, abs=0.006)


def test_lines_of_free_caustic():
    """Without phosphate a speciation elsewhere gives pH 9.39 for 1 mg/kg NaOH, 8.39 for 0.1."""
    traces = np.array([1e-6])
    assert caustic_line(1.0, traces)[0] == pytest.approx(9.39, abs=0.006)
    assert caustic_line(0.1, traces)[0] == pytest.approx(8.39, abs=0.01)
    one_mmol = equilibrate({"Na": 22.990}).ph  # 39.997 mg of NaOH: IUPAC (2022)
    assert caustic_line(39.997, traces)[0] == pytest.approx(one_mmol, abs=2e-6)
    assert caustic_line(0.0, PHOSPHATE) == pytest.approx(ratio_line(3.0, PHOSPHATE), abs=1e-9)
    at_2 = caustic_line(0.0, PHOSPHATE, 2.0)
    assert at_2 == pytest.approx(ratio_line(2.0, PHOSPHATE), abs=1e-9)


@pytest.mark.parametrize("region", REGIONS.values(), ids=lambda region: region.key)
def test_outlines(region):
    found = outline(region)
    assert len(found.po4) == len(found.ph) == 50
    half = len(found.po4) // 2
    assert (found.po4.min(), found.po4.max()) == pytest.approx((region.po4_low, region.po4_high))
    assert np.all(np.diff(found.po4[:half]) > 0.0)
    assert found.po4[half:] == pytest.approx(found.po4[:half][::-1])
    assert found.ph[:half] == pytest.approx(ratio_line(region.ratio_low, found.po4[:half]))
    upper = caustic_line(region.free_caustic, found.po4[half:])
    if region.ratio_high == 3.0:
        assert found.ph[half:] == pytest.approx(upper)
    assert np.all(found.ph[half:][::-1] > found.ph[:half])


@pytest.mark.parametrize("region", REGIONS.values(), ids=lambda region: region.key)
def test_what_lies_inside_an_outline_lies_inside_the_region(region):
    po4 = float(np.sqrt(region.po4_low * region.po4_high))
    low = float(ph_of_ratio(region.ratio_low, po4))
    high = low + float(swing(region, po4))
    assert place_in(region, low + 0.001, po4) == "inside"
    assert place_in(region, low - 0.001, po4) == "too_acid"
    assert place_in(region, high - 0.001, po4) == "inside"
    assert place_in(region, high + 0.001, po4) == "too_caustic"
    assert place_in(region, high, region.po4_high * 1.01) == "too_much"
    if region.po4_low > 0.5:
        assert place_in(region, high, region.po4_low * 0.99) == "too_little"


def test_swing_of_many():
    found = swing(REGIONS["congruent"], PHOSPHATE)
    apart = ratio_line(2.6, PHOSPHATE) - ratio_line(2.3, PHOSPHATE)
    assert found == pytest.approx(apart)


@pytest.mark.parametrize(("po4", "inside"), [(0.499, 0), (0.5, 1), (100.0, 1), (100.1, 0)])
def test_the_diagram_ends_somewhere(po4, inside):
    if inside:
        assert place_in(REGIONS["congruent"], 9.5, po4) in ("too_little", "too_much")
        return
    with pytest.raises(OutOfValidity) as caught:
        place_in(REGIONS["congruent"], 9.5, po4)
    assert caught.value.code == "phosphate_of_diagram"
    assert caught.value.bound == "0.5 <= po4 <= 100"
