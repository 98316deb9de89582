"""Chloride: pretreatment, blank, and the two units of its result."""

import pytest

from chemistry import methods
from tests.chemistry.working import notes, parts, trouble, work

METHOD = methods.get("chloride", "1")
READY = {"ph_ready": "yes", "sulfite": "destroyed", "phosphate": "bound"}
TYPED = {"start": "0.50", "end": "5.70", "blank": "0.20", "sample_volume": "50", **READY}


def test_mg_per_liter_and_epm():
    """Standard Methods 4500-Cl- B, from memory: (5.2 - 0.2) 0.0141 x 35,450 / 50 = 49.98; and
    5.0 mL of 0.0141 N in 50 mL are 1.41 milliequivalents per liter."""
    found = work(METHOD, "burette", **TYPED)
    assert found["chloride"].value == pytest.approx(49.9845)
    assert (found["chloride"].unit, found["chloride"].basis.text) == ("mg/L", "||ion")
    assert found["chloride_epm"].value == pytest.approx(1.41)
    assert (found["chloride_epm"].unit, found["chloride_epm"].basis.text) == ("epm", "||")
    ratio = found["chloride"].budget.expanded / found["chloride_epm"].budget.expanded
    assert ratio == pytest.approx(35.45)


@pytest.mark.parametrize("left", ["sulfite", "phosphate"])
def test_what_else_takes_silver_makes_it_less_than(left):
    """Common practice: both take silver as chloride does, so the reading is the most there can
    be."""
    found = work(METHOD, "burette", **{**TYPED, left: "left"})
    assert [each.qualifier for each in found.values()] == ["<", "<"]
    assert "takes silver too" in notes(found["chloride"])


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"ph_ready": "no"}, {"ph_ready": "ph_out"}),
        ({"ph_ready": ""}, {"ph_ready": "missing"}),
        ({"sulfite": ""}, {"sulfite": "missing"}),
        ({"phosphate": ""}, {"phosphate": "missing"}),
        ({"blank": ""}, {"blank": "missing"}),
        ({"end": "0.40"}, {"end": "final_below_initial"}),
        ({"sample_volume": "0"}, {"sample_volume": "impossible"}),
        ({"blank": "5.0"}, {}),
        ({"end": "0.59"}, {"blank": "blank_too_large"}),
        ({"end_point": "ran_out", "sulfite": "left"}, {"end_point": "nothing_known"}),
    ],
)
def test_bad_input_stands_beside_its_field(change, expected):
    assert trouble(METHOD, "burette", **{**TYPED, **change}) == expected


@pytest.mark.parametrize(("end", "qualifier"), [("0.70", "<"), ("0.60", "<"), ("0.71", "")])
def test_no_more_than_the_blank_is_less_than_one_drop(end, qualifier):
    found = work(METHOD, "burette", **{**TYPED, "end": end})["chloride"]
    assert found.qualifier == qualifier
    if qualifier:
        assert found.value == pytest.approx(0.05 * 0.0141 * 35_450 / 50)
        assert "no titrant beyond the blank" in notes(found)


def test_a_card_without_blank_is_noted():
    found = work(METHOD, "factor", end="6.4", factor="10", **READY)["chloride"]
    assert "No blank" in notes(found) and "blank" not in parts(found)
    taken_off = work(METHOD, "factor", end="6.4", factor="10", blank="0.2", **READY)["chloride"]
    assert taken_off.value == pytest.approx(62.0) and "blank" in parts(taken_off)


def test_titrant_that_ran_out_says_more_than():
    found = work(METHOD, "burette", **TYPED, end_point="ran_out")
    assert [each.qualifier for each in found.values()] == [">", ">"]


def test_cautions():
    said = " ".join(step.text for step in METHOD.steps if step.caution)
    assert "Silver nitrate" in said and "chromate" in said
