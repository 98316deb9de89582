"""Hydroxide with barium chloride: what phosphate, silica and amines do to it."""

import math

import pytest

from chemistry import methods
from tests.chemistry.working import notes, parts, trouble, work

METHOD = methods.get("hydroxide_barium", "1")
TYPED = {"start": "0.50", "end": "8.00", "sample_volume": "50"}
CLEAN = {"phosphate": "0", "silica": "0", "amine": "no"}


def only(mode="burette", **typed):
    return work(METHOD, mode, **typed)["hydroxide_alkalinity"]


def test_the_equation():
    """As alkalinity: EPA 310.1, from memory: 7.5 mL x 0.02 x 50,000 / 50 = 150 mg/L as CaCO3."""
    found = only(**TYPED, **CLEAN)
    assert found.value == pytest.approx(150.0)
    assert (found.unit, found.basis.text, found.qualifier) == ("mg/L", "||CaCO3", "")
    assert notes(found) == ""


def test_phosphate_and_silica_enter_the_budget():
    """Stoichiometry: 40 mg/L PO4 can take 21.1, 15 mg/L SiO2 can add 12.5 mg/L as CaCO3."""
    found = only(**TYPED, phosphate="40", silica="15", amine="no")
    root3 = math.sqrt(3.0)
    assert parts(found)["phosphate"] == pytest.approx(40 * 0.527 / root3)
    assert parts(found)["silica"] == pytest.approx(15 * 0.833 / root3)
    assert "beyond trisodium phosphate" in notes(found) and "Silica may add" in notes(found)


def test_what_is_not_known_is_less_sure_than_what_is():
    """60 mg/L PO4 and 50 mg/L SiO2 are allowed for: rule of our own."""
    unknown = only(**TYPED, amine="no")
    assert unknown.budget.expanded > only(**TYPED, phosphate="40", silica="15").budget.expanded
    assert parts(unknown)["phosphate"] == pytest.approx(60 * 0.527 / math.sqrt(3.0))
    assert parts(unknown)["silica"] == pytest.approx(50 * 0.833 / math.sqrt(3.0))
    assert "not known" in notes(unknown)


def test_an_amine_makes_it_less_than():
    assert only(**TYPED, **{**CLEAN, "amine": "yes"}).qualifier == "<"
    unknown = only(**TYPED, phosphate="0", silica="0")
    assert unknown.qualifier == "" and "If an amine is fed" in notes(unknown)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"end": "0.4"}, {"end": "final_below_initial"}),
        ({"sample_volume": "0"}, {"sample_volume": "impossible"}),
        ({"phosphate": "-1"}, {"phosphate": "impossible"}),
        ({"silica": "2 gpg"}, {"silica": "wrong_dimension"}),
        ({"end_point": "ran_out", "amine": "yes"}, {"end_point": "nothing_known"}),
    ],
)
def test_bad_input_stands_beside_its_field(change, expected):
    assert trouble(METHOD, "burette", **{**TYPED, **CLEAN, **change}) == expected


def test_the_barium_is_called_poisonous():
    assert "poisonous" in " ".join(step.text for step in METHOD.steps if step.caution)
