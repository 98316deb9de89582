"""Uncertainty against JCGM 100:2008, examples H.1 and H.3, and its rounding rule."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry import uncertainty as un
from chemistry.errors import ChemistryError
from chemistry.uncertainty import Budget, Component

# JCGM 100:2008, H.1 (end gauge): inputs published in an open library, results from memory.
LENGTH_NM = 50.000623e6
END_GAUGE = Budget(
    (
        Component("standard", 25.0, 18),
        Component("repeated difference", 5.8, 24, "random"),
        Component("comparator, random", 3.9, 5),
        Component("comparator, systematic", 6.7, 8),
        Component("difference of expansion coefficients", LENGTH_NM * 0.1 * 0.58e-6, 50),
        Component("difference of temperatures", LENGTH_NM * 11.5e-6 * 0.029, 2),
    )
)


def test_gum_h1_combined_uncertainty_is_32_nm():
    assert END_GAUGE.combined == pytest.approx(31.7, abs=0.1)
    assert round(END_GAUGE.combined) == 32


def test_gum_h1_sensitivities_give_the_printed_parts():
    parts = {part.name: part.u for part in END_GAUGE.components}
    assert parts["difference of expansion coefficients"] == pytest.approx(2.9, abs=0.01)
    assert parts["difference of temperatures"] == pytest.approx(16.6, abs=0.1)


def test_gum_h1_effective_degrees_of_freedom_are_16():
    assert math.floor(END_GAUGE.dof) == 16


def test_gum_h1_expanded_uncertainty_at_99_percent_is_93_nm():
    u99 = un.coverage_factor(END_GAUGE.dof, 0.99) * END_GAUGE.combined
    assert round(u99) == 93


def test_gum_h1_length_is_50_000838_mm():
    value, _ = un.round_to_uncertainty(50.000623e6 + 215.0, END_GAUGE.combined)
    assert value == "50000838"


def test_gum_h3_thermometer_line():
    """JCGM 100:2008, H.3: data and results from memory, proved by the fit itself."""
    t = np.array(
        [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    )
    b = np.array([-171, -169, -166, -159, -164, -165, -156, -157, -159, -161, -160]) / 1000.0
    design = np.column_stack([np.ones_like(t), t - 20.0])
    fit, residue, *_ = np.linalg.lstsq(design, b)
    covariance = residue[0] / 9.0 * np.linalg.inv(design.T @ design)
    assert fit == pytest.approx([-0.1712, 0.00218], abs=5e-5)
    at_30 = np.array([1.0, 10.0])
    u_correlated = math.sqrt(at_30 @ covariance @ at_30)
    assert u_correlated == pytest.approx(0.0041, abs=5e-5)
    # the trap: taken as uncorrelated, the budget gives the wrong 0.0073
    alone = Budget(
        (
            Component("y1", math.sqrt(covariance[0, 0]), 9),
            Component("y2", 10.0 * math.sqrt(covariance[1, 1]), 9),
        )
    )
    assert alone.combined == pytest.approx(0.0073, abs=5e-5)


def test_coverage_for_many_degrees_of_freedom_is_2():
    """JCGM 100:2008, G.6.6 and Table G.2 (from memory): 95.45 % is 2.00; 2.52 for 6, 13.97 for
    1."""
    assert un.coverage_factor(math.inf) == pytest.approx(2.000, abs=5e-4)
    assert un.coverage_factor(6.9) == pytest.approx(2.52, abs=5e-3)
    assert un.coverage_factor(1.0) == pytest.approx(13.97, abs=5e-3)


def test_constructors_follow_the_guide():
    """JCGM 100:2008, 4.3.7 (a / sqrt 3), 4.3.9 (a / sqrt 6), 4.3.3 (U / k), 4.2.3 (s / sqrt n)."""
    assert un.rectangular("r", 3.0).u == pytest.approx(math.sqrt(3.0))
    assert un.triangular("t", 6.0).u == pytest.approx(math.sqrt(6.0))
    assert un.normal("n", 3.0, k=2.0).u == 1.5
    part = un.type_a("a", [10.0, 12.0, 14.0])
    assert (part.u, part.dof, part.kind) == (pytest.approx(2.0 / math.sqrt(3.0)), 2, "random")
    with pytest.raises(ChemistryError):
        un.type_a("a", [10.0])


def test_random_and_systematic_parts_stay_apart():
    budget = Budget((Component("s", 3.0), Component("r", 4.0, kind="random")))
    assert (budget.u_systematic, budget.u_random, budget.combined) == (3.0, 4.0, 5.0)


def test_the_stored_budget_is_text_only():
    rows = END_GAUGE.as_text()
    assert len(rows) == 6
    assert all(isinstance(text, str) for row in rows for text in row.values())
    assert un.rectangular("r", 1.0).dof == math.inf and rows[0]["dof"] == "18"


@pytest.mark.parametrize(
    ("value", "expanded", "texts"),
    [
        (1234.5, 34.4, ("1234", "34")),  # half to even
        (1235.5, 34.5, ("1236", "35")),
        (1234.5, 345.0, ("1230", "350")),
        (0.123456, 0.0996, ("0.12", "0.10")),
        (9.996, 0.0123, ("9.996", "0.012")),
        (-0.001, 1.0, ("0.0", "1.0")),
        (7.1, 0.0, ("7.1", "0")),
        (10.05762, 0.027, ("10.058", "0.027")),  # JCGM 100:2008, 7.2.6: 10.057 62 with u 27 m
    ],
)
def test_it_rounds_to_two_figures_of_the_uncertainty(value, expanded, texts):
    assert un.round_to_uncertainty(value, expanded) == texts


@given(st.floats(-1e7, 1e7), st.floats(1e-6, 1e6))
def test_rounding_never_moves_a_value_by_more_than_half_its_last_place(value, expanded):
    shown, shown_u = un.round_to_uncertainty(value, expanded)
    assert abs(float(shown) - value) <= 0.051 * float(shown_u) + 1e-9 * abs(value)
    assert len(shown_u.replace(".", "").lstrip("0").rstrip()) >= 2


@pytest.mark.parametrize(
    ("value", "expanded", "shown"),
    [
        (10.7, 0.078, ("10.70", "0.08")),
        (10.7, 0.16, ("10.70", "0.16")),
        (10.7, 1.6, ("10.7", "1.6")),
        (10.7, 0.0096, ("10.70", "0.01")),
        (10.7, 0.001, ("10.70", "0.01")),
    ],
)
def test_a_ph_is_given_with_two_decimals_at_most(value, expanded, shown):
    """common practice, no source; never with an uncertainty of nothing."""
    assert un.round_to_uncertainty(value, expanded, 2) == shown
