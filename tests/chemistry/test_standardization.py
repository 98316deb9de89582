"""The strength of a titrant from weighed and measured standards, by hand."""

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.errors import ChemistryError, EntryError
from chemistry.standardization import PRIMARIES, Run, measured, standardize, weighed

CARBONATE = weighed(PRIMARIES["sodium_carbonate"], 0.9995, 0.0003, 0.0002)
RUNS = [Run(0.1060, 20.00), Run(0.1061, 20.04), Run(0.1058, 19.95)]


def test_the_masses_of_an_equivalent():
    """IUPAC standard atomic weights (2021), from memory: typed a second time."""
    na, k, c, h, o, cl, ca, i = 22.990, 39.098, 12.011, 1.008, 15.999, 35.45, 40.078, 126.904
    by_hand = {
        "sodium_carbonate": (2 * na + c + 3 * o) / 2,
        "phthalate": k + 5 * h + 8 * c + 4 * o,
        "sodium_chloride": na + cl,
        "calcium_carbonate": (ca + c + 3 * o) / 2,
        "potassium_iodate": (k + i + 3 * o) / 6,
    }
    found = {key: each.g_per_equivalent for key, each in PRIMARIES.items()}
    assert found == pytest.approx(by_hand, rel=1e-4)


def test_an_acid_against_weighed_carbonate_by_hand():
    """0.1060 g x 0.9995 / 52.994 g/eq in 20.00 mL are 0.099962 eq/L."""
    found = standardize(RUNS, CARBONATE, label=0.1)
    assert found.runs[0] == pytest.approx(0.1060 * 0.9995 / 52.994 / 0.02000)
    assert found.strength == pytest.approx(statistics.fmean(found.runs))
    assert found.factor == pytest.approx(found.strength / 0.1)
    assert found.factor_u == pytest.approx(found.budget.combined / 0.1)
    assert found.u_percent == pytest.approx(100.0 * found.budget.combined / found.strength)


def test_the_budget_by_hand():
    """JCGM 100:2008, 4.2.3 and 5.1.6: relative parts, and the scatter of three runs."""
    found = standardize(RUNS, CARBONATE, label=0.1, burette_half_width_ml=0.05)
    parts = {part.name: part for part in found.budget.components}
    mean_mass, mean_ml = (
        statistics.fmean([0.1060, 0.1061, 0.1058]),
        statistics.fmean([20.00, 20.04, 19.95]),
    )
    middle = mean_mass * 0.9995 / 52.994 * 1000.0 / mean_ml
    assert parts["standard"].u == pytest.approx(middle * 0.0003 / 0.9995)
    assert parts["taking the standard"].u == pytest.approx(
        middle * 0.0002 / math.sqrt(3.0) / mean_mass
    )
    assert parts["burette"].u == pytest.approx(middle * 0.05 / math.sqrt(3.0) / mean_ml, rel=1e-4)
    assert parts["titrations"].u == pytest.approx(statistics.stdev(found.runs) / math.sqrt(3.0))
    assert parts["titrations"].dof == 2 and parts["titrations"].kind == "random"


def test_a_blank_is_taken_off():
    """Silver nitrate against 10 mL of 0.0141 eq/L chloride, blank 0.2 mL (SM 4500-Cl-, from
    memory)."""
    chloride = measured(0.0141, 0.00001, 0.02)
    found = standardize([Run(10.0, 10.2)] * 3, chloride, label=0.0141, blank_ml=0.2)
    assert found.factor == pytest.approx(1.0)


@pytest.mark.parametrize(("last", "agree"), [(20.10, True), (20.1005, False)])
def test_runs_that_lie_apart_do_not_agree(last, agree):
    """0.5 % of the mean: common practice, no source."""
    found = standardize(
        [Run(0.1060, 20.00), Run(0.1060, 20.05), Run(0.1060, last)], CARBONATE, label=0.1
    )
    assert found.agree is agree
    assert found.spread_percent == pytest.approx(100.0 * (last - 20.0) / 20.05, rel=1e-4)


@given(st.floats(0.01, 0.5), st.floats(0.85, 1.2), st.floats(0.05, 0.4))
def test_a_known_titrant_is_found_again(label, factor, mass):
    """Exact runs of a titrant of a known factor give that factor, without scatter."""
    used = mass * 0.9995 / 52.994 * 1000.0 / (label * factor)
    found = standardize([Run(mass, used)] * 3, CARBONATE, label=label)
    assert found.factor == pytest.approx(factor, rel=1e-9)
    assert found.spread_percent == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("runs", "given_more", "code", "field"),
    [
        (RUNS[:2], {}, "too_few_runs", "run_3"),
        ([], {}, "too_few_runs", "run_1"),
        ([RUNS[0], Run(0.0, 20.0), RUNS[2]], {}, "not_more_than_nothing", "run_2"),
        ([RUNS[0], RUNS[1], Run(0.1, math.nan)], {}, "not_more_than_nothing", "run_3"),
        (RUNS, {"blank_ml": 20.0}, "below_blank", "run_1"),
        (RUNS, {"blank_ml": -0.1}, "not_more_than_nothing", "run_1"),
        (RUNS, {"label": 0.0}, "no_label", "label"),
        (RUNS, {"label": math.nan}, "no_label", "label"),
        (RUNS, {"label": 0.02}, "factor_far", "label"),
        (RUNS, {"label": 0.126}, "factor_far", "label"),
    ],
)
def test_bad_input_stands_beside_its_run(runs, given_more, code, field):
    with pytest.raises(EntryError) as caught:
        standardize(runs, CARBONATE, **{"label": 0.1, **given_more})
    assert (caught.value.code, caught.value.field) == (code, field) and str(caught.value)


def test_how_far_a_factor_may_lie_from_one():
    """0.8 to 1.25: rule of our own."""
    strength = standardize(RUNS, CARBONATE, label=0.1).strength
    for factor in (0.801, 1.249):
        assert standardize(RUNS, CARBONATE, label=strength / factor).factor == pytest.approx(factor)
    for factor in (0.799, 1.251):
        with pytest.raises(EntryError):
            standardize(RUNS, CARBONATE, label=strength / factor)


def test_little_is_not_nothing():
    weak = weighed(PRIMARIES["phthalate"], 0.005, 0.0001, 0.001)
    assert weak.equivalents_per_unit == pytest.approx(0.005 / 204.22)
    thin = measured(0.005, 0.00001, 0.02)
    found = standardize([Run(0.005, 0.005)] * 3, thin, label=0.005)
    assert found.factor == pytest.approx(1.0)
    assert {part.name for part in found.budget.components} == {"standard", "taking the standard"}


def test_a_standard_of_nothing_is_refused():
    for make in (
        lambda: weighed(PRIMARIES["phthalate"], 0.0, 0.0, 0.001),
        lambda: weighed(PRIMARIES["phthalate"], 1.01, 0.0, 0.001),
        lambda: measured(0.0, 0.0, 0.02),
    ):
        with pytest.raises(ChemistryError, match="more than nothing"):
            make()
