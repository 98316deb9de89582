"""Robust consensus and scores, held against published data sets."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.errors import ChemistryError
from chemistry.robust import QUESTIONABLE, UNSATISFACTORY, algorithm_a, z_score, zeta_score

COPPER = [
    2.20, 2.20, 2.4, 2.4, 2.5, 2.7, 2.8, 2.9, 3.03, 3.03, 3.10, 3.37, 3.4, 3.4, 3.4, 3.5, 3.6, 3.7,
    3.7, 3.7, 3.7, 3.77, 5.28, 28.95,
]  # fmt: skip
"""24 results for copper, as in the tests of an open statistics library (published)."""
CREOSOTE = [24.140, 20.155, 19.500, 20.300, 20.705, 17.570, 20.100, 20.940, 21.185]
"""Nine means for creosote, ISO 5725-5, as in an open metrology library (published)."""


def test_copper_comes_to_the_published_robust_mean_and_deviation():
    found = algorithm_a(COPPER)
    assert found.mean == pytest.approx(3.2056, abs=5e-5)
    assert found.deviation == pytest.approx(0.6742, abs=1e-4)


def test_creosote_comes_to_the_figures_of_iso_5725_5():
    found = algorithm_a(CREOSOTE)
    assert found.mean == pytest.approx(20.412, abs=5e-4)
    assert found.deviation == pytest.approx(1.070, abs=5e-4)


def test_the_consensus_of_nine_is_as_sure_as_iso_13528_says():
    """1.25 s*/sqrt(n): ISO 13528:2005, 5.6 (from memory)."""
    assert algorithm_a(CREOSOTE).u == pytest.approx(1.25 * 1.0698 / 3.0, abs=1e-4)


def test_a_wild_value_moves_the_consensus_no_further_than_the_edge():
    calm = algorithm_a([10.0, 10.1, 9.9, 10.05, 9.95, 10.6])
    wild = algorithm_a([10.0, 10.1, 9.9, 10.05, 9.95, 1e6])
    assert wild.mean == pytest.approx(calm.mean, abs=0.02)


def test_lead_in_wine_scores_against_the_assigned_value():
    """CCQM-K30, as in an open metrology library (published): assigned 2.99, U 0.06 mg/kg, k 2."""
    assert zeta_score(2.893, 0.022, 2.99, 0.03) == pytest.approx(-2.607, abs=5e-4)
    assert abs(zeta_score(7.71, 0.99, 2.99, 0.03)) > 3.0


def test_a_z_score_counts_deviations():
    assert z_score(5.5, 5.0, 0.25) == 2.0
    assert z_score(4.5, 5.0, 0.25) == -2.0


@pytest.mark.parametrize("values", [[], [1.0], [1.0, 2.0]])
def test_fewer_than_three_make_no_consensus(values):
    with pytest.raises(ChemistryError, match="at least 3"):
        algorithm_a(values)


def test_three_are_enough():
    assert algorithm_a([1.0, 2.0, 3.0]).count == 3


def test_scores_refuse_a_spread_of_nothing():
    with pytest.raises(ChemistryError, match="more than zero"):
        z_score(1.0, 1.0, 0.0)
    with pytest.raises(ChemistryError, match="more than zero"):
        zeta_score(1.0, 0.0, 1.0, 0.0)


@given(
    st.lists(st.floats(0.1, 100.0), min_size=3, max_size=30),
    st.floats(0.5, 20.0),
    st.floats(-50.0, 50.0),
)
def test_a_change_of_unit_changes_nothing_else(values, factor, shift):
    plain, other = algorithm_a(values), algorithm_a([factor * each + shift for each in values])
    assert other.mean == pytest.approx(factor * plain.mean + shift, rel=1e-5, abs=1e-4)
    assert other.deviation == pytest.approx(factor * plain.deviation, rel=1e-4, abs=1e-4)


def test_scores_of_values_that_hardly_scatter():
    assert z_score(1.001, 1.0, 0.001) == pytest.approx(1.0)
    assert zeta_score(1.005, 0.003, 1.0, 0.004) == pytest.approx(1.0)


def test_from_which_score_on_a_result_is_asked_about():
    """ISO 13528:2005, 7.4.2, from memory: typed a second time."""
    assert (QUESTIONABLE, UNSATISFACTORY) == (2.0, 3.0)


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_what_is_no_number_makes_no_consensus(bad):
    with pytest.raises(ChemistryError, match="not a number"):
        algorithm_a([1.0, 2.0, 3.0, bad])
