"""Which test would tell explanations apart: known cases, the order, and where none does."""

from dataclasses import replace

import pytest

from chemistry.ingress import Analysis, Change, Explanation, explain
from chemistry.ingress_signature import Water
from chemistry.ingress_telling import TESTS, BenchTest, telling
from tests.chemistry.ingress_cases import BOILER, sources_of

ALSO = [test.quantity for test in TESTS]
WATER = Water({"Na": 10.0, "Cl": 10.0})


def told(changes, tests=TESTS):
    found = explain(BOILER, changes, sources_of(BOILER), ALSO)
    return found, telling(BOILER, found, changes, tests)


def test_silica_tells_an_overdose_from_hideout_return():
    found, tests = told({"chloride": Change(1.0, 1.5), "phosphate": Change(12.0, 1.0)})
    assert {("tsp",), ("return",)} <= {each.keys for each in found.leading}
    assert [each.quantity for each in tests] == ["silica", "SO4"]
    foretold = {each.keys: value for each, value, _ in tests[0].foretold}
    assert foretold[("return",)] == pytest.approx(12.0 / 3e5 * 5e4, rel=0.05)
    assert foretold[("tsp",)] == pytest.approx(0.0, abs=1e-6)
    assert tests[0].settles


def test_where_no_bench_test_tells_it_says_so():
    found, tests = told({"chloride": Change(16.0, 1.5), "phosphate": Change(-0.5, 1.0)})
    assert found.code == "several"
    assert tests == ()


def test_what_was_measured_is_not_asked_for_again():
    _, tests = told(
        {"chloride": Change(10.0, 1.0), "phosphate": Change(17.0, 1.0), "silica": Change(4.0, 0.5)}
    )
    assert tests and "silica" not in {each.quantity for each in tests}


def test_without_a_rival_no_test_is_asked_for():
    changes = {
        "Cl": Change(16.0, 0.5), "Na": Change(8.9, 0.5), "K": Change(0.33, 0.02),
        "SO4": Change(2.24, 0.1), "PO4": Change(-0.49, 0.1),
    }  # fmt: skip
    found, tests = told(changes)
    assert found.code == "explained"
    assert tests == ()


def foretelling(key, probability, **predicted):
    values = {each: pair[0] for each, pair in predicted.items()}
    spreads = {each: pair[1] for each, pair in predicted.items()}
    source = replace(sources_of(BOILER)[0], key=key)
    return Explanation((source,), (1.0,), (0.1,), 1.0, 0.5, probability, values, spreads)


def asked(*explanations, tests):
    return telling(WATER, Analysis(explanations, ()), (), tests)


@pytest.mark.parametrize(("rival", "apart"), [(6.548, True), (6.543, False)])
def test_apart_means_three_standard_uncertainties(rival, apart):
    """A gap g of three times the root of (0.1 (10 + g/2))² + 1 + 1 + 1 is 6.546 (by hand)."""
    explanations = (foretelling("a", 0.6, Cl=(0.0, 1.0)), foretelling("b", 0.4, Cl=(rival, 1.0)))
    assert bool(asked(*explanations, tests=(BenchTest("Cl", 5.0, 0.1, 1.0),))) is apart


def test_the_one_that_rules_out_most_comes_first_then_the_quickest():
    best = foretelling("a", 0.5, Na=(0.0, 0.1), Cl=(0.0, 0.1), K=(0.0, 0.1))
    near = foretelling("b", 0.3, Na=(50.0, 0.1), Cl=(50.0, 0.1), K=(0.0, 0.1))
    far = foretelling("c", 0.2, Na=(50.0, 0.1), Cl=(50.0, 0.1), K=(50.0, 0.1))
    tests = (
        BenchTest("K", 1.0, 0.05, 0.1),
        BenchTest("Na", 60.0, 0.05, 0.1),
        BenchTest("Cl", 7.0, 0.05, 0.1),
    )
    found = asked(best, near, far, tests=tests)
    assert [each.quantity for each in found] == ["Cl", "Na", "K"]
    assert [each.settles for each in found] == [True, True, False]
    assert [each.keys for each in found[2].apart] == [("c",)]


def test_a_quantity_that_was_not_foretold_is_not_judged():
    best, other = foretelling("a", 0.5, Cl=(0.0, 0.1)), foretelling("b", 0.5, Cl=(50.0, 0.1))
    assert asked(best, other, tests=(BenchTest("Na", 1.0, 0.05, 0.1),)) == ()


def test_what_the_common_tests_are_taken_to_be():
    """Rule of our own: minutes, part of the value, least; a second table to type against."""
    assert {each.quantity: (each.minutes, each.part, each.least) for each in TESTS} == {
        "conductivity": (2.0, 0.02, 0.1),
        "ph": (3.0, 0.0, 0.05),
        "p_alkalinity": (4.0, 0.03, 1.0),
        "m_alkalinity": (5.0, 0.03, 1.0),
        "total_hardness": (6.0, 0.05, 0.5),
        "chloride": (7.0, 0.05, 1.0),
        "phosphate": (10.0, 0.05, 0.5),
        "silica": (15.0, 0.05, 0.2),
        "Na": (60.0, 0.05, 0.1),
        "SO4": (60.0, 0.05, 0.5),
    }
