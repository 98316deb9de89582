"""Control charts, held against the published data sets of the handbooks."""

import numpy as np
import pytest

from chemistry.control_charts import cusum, ewma, individuals
from chemistry.errors import ChemistryError

NIST_EWMA = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2,
    52.6, 52.4, 53.6, 52.1,
]  # fmt: skip
NIST_CUSUM = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
]  # fmt: skip
MONTGOMERY = [
    9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40,
    10.08, 9.37, 10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62,
    11.31, 10.52,
]  # fmt: skip
DIAMETERS = [
    24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.10, 23.98, 24.03, 23.91, 24.06, 24.06,
    23.96, 23.98, 24.06, 24.01, 24.00, 23.93, 23.92, 24.09, 24.11, 24.05, 23.98, 23.98, 24.06,
    24.02, 24.06, 23.97, 23.96,
]  # fmt: skip


def test_the_moving_average_of_nist_6_3_2_4():
    """NIST/SEMATECH 6.3.2.4, as quoted in a public test file (published)."""
    found = ewma(NIST_EWMA, 50.0, 2.0539, weight=0.3, width=3.0)
    published = [
        50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
        50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ]  # fmt: skip
    assert found.values == pytest.approx(published, abs=0.0051)
    assert found.upper[-1] == pytest.approx(52.58843, abs=2e-3)
    assert found.lower[-1] == pytest.approx(47.41157, abs=2e-3)
    assert found.first_beyond is None


def test_the_cusum_of_nist_6_3_2_3():
    """NIST/SEMATECH 6.3.2.3: recalled from memory, the recursion worked again by hand."""
    found = cusum(NIST_CUSUM, 325.0, slack=0.3175, threshold=4.1959)
    above = [3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04]
    below = [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0]
    assert found.above[12:] == pytest.approx(above, abs=0.0051)
    assert found.below[:12] == pytest.approx(below, abs=0.0051)
    assert found.first_beyond == 13


def test_the_cusum_of_montgomery():
    """Montgomery, chapter 9: data published in a library's documentation, results from memory."""
    found = cusum(MONTGOMERY, 10.0, slack=0.5, threshold=5.0)
    assert found.above[22:] == pytest.approx(
        [1.79, 2.79, 2.89, 3.47, 3.35, 4.47, 5.28, 5.30], abs=0.0051
    )
    assert found.below.max() == pytest.approx(1.77, abs=0.0051)
    assert found.first_beyond == 28


def test_the_moving_average_of_montgomery():
    """Montgomery, chapter 9: data published in a library's documentation, results from memory."""
    found = ewma(MONTGOMERY, 10.0, 1.0, weight=0.1, width=2.7)
    at = {1: 9.945, 2: 9.7495, 5: 10.1253, 23: 10.2495, 28: 10.5731, 29: 10.6468, 30: 10.6341}
    for place, published in at.items():
        assert found.values[place - 1] == pytest.approx(published, abs=5.1e-5)
    assert (found.lower[28], found.upper[28]) == pytest.approx((9.3813, 10.6187), abs=5.1e-5)
    assert found.first_beyond == 28


def test_thirty_diameters_come_to_the_manuals_limits():
    """A public statistics manual (published)."""
    found = individuals(DIAMETERS)
    assert found.mean == pytest.approx(24.0083, abs=5e-5)
    assert (found.lower, found.upper) == pytest.approx((23.8571, 24.1596), abs=1e-4)
    assert found.range_mean == pytest.approx(0.056897, abs=5e-7)
    assert found.range_upper == pytest.approx(0.18585, abs=5e-5)
    assert found.beyond(DIAMETERS) == []


def test_beyond_names_the_places():
    found = individuals(DIAMETERS)
    assert found.beyond([24.0, 23.8, 24.0, 24.2]) == [1, 3]


def test_a_fall_fires_as_a_rise_does():
    down = [20.0 - each for each in MONTGOMERY]
    assert cusum(down, 10.0, slack=0.5, threshold=5.0).first_beyond == 28
    assert ewma(down, 10.0, 1.0, weight=0.1, width=2.7).first_beyond == 28


@pytest.mark.parametrize("values", [[], [1.0], [1.0, float("nan")]])
def test_too_few_or_no_numbers_are_refused(values):
    with pytest.raises(ChemistryError, match="at least two"):
        individuals(values)


def test_two_are_enough():
    assert individuals([1.0, 2.0]).range_mean == 1.0


@pytest.mark.parametrize("weight", [0.0, -0.1, 1.01])
def test_a_weight_outside_its_range_is_refused(weight):
    with pytest.raises(ChemistryError, match="between 0 and 1"):
        ewma([1.0, 2.0], 1.0, 1.0, weight=weight, width=3.0)


def test_a_weight_of_one_is_the_values_themselves():
    assert np.array_equal(ewma([1.0, 2.0], 1.0, 1.0, weight=1.0, width=3.0).values, [1.0, 2.0])


def test_a_weight_may_be_as_small_as_one_likes():
    assert ewma([1.0, 2.0], 1.0, 1.0, weight=0.005, width=3.0).first_beyond is None
