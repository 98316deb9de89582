"""Sulfite: its equation, its temperature, what a label means, and what it can't tell."""

import pytest

from chemistry import methods
from chemistry.sulfite import SO3_PER_NA2SO3, as_so3
from tests.chemistry.working import notes, trouble, work

METHOD = methods.get("sulfite", "1")
TYPED = {
    "temperature": "25",
    "start": "0.20",
    "end": "3.40",
    "blank": "0.10",
    "sample_volume": "50",
}


def test_the_equation():
    """EPA 377.1 (1974, rev. 1978), equation from memory: (3.2 - 0.1) 0.0125 x 40,000 / 50 = 31.0
    mg/L as SO3."""
    found = work(METHOD, "burette", **TYPED)["sulfite"]
    assert found.value == pytest.approx(31.0)
    assert (found.unit, found.basis.text, found.qualifier) == ("mg/L", "||SO3", "")


def test_so3_in_sodium_sulfite():
    """IUPAC weights (2021): S 32.06, O 15.999, Na 22.990; Na2SO3 is 1.574 times SO3."""
    so3 = 32.06 + 3 * 15.999
    assert pytest.approx(so3 / (so3 + 2 * 22.990), rel=1e-4) == SO3_PER_NA2SO3
    assert as_so3(157.4) == pytest.approx(100.0, rel=5e-4)


@pytest.mark.parametrize(
    ("mode", "typed"),
    [
        ("drops", {"end": "7", "per_drop_result": "10"}),
        ("factor", {"end": "7", "factor": "10"}),
    ],
)
def test_a_label_for_sodium_sulfite_is_turned_into_so3(mode, typed):
    so3 = work(METHOD, mode, temperature="25", **typed)["sulfite"]
    sodium = work(METHOD, mode, temperature="25", **typed, stated_as="Na2SO3")["sulfite"]
    assert so3.value == pytest.approx(70.0)
    assert sodium.value == pytest.approx(70.0 * 0.6352)
    assert sodium.basis.text == so3.basis.text == "||SO3"


def test_a_drop_given_by_volume_is_worked_by_the_equation():
    """The label's word on Na2SO3 changes nothing where the strength of the titrant is used."""
    typed = {"temperature": "25", "end": "60", "drop_means": "volume", "sample_volume": "50"}
    for meaning in ("SO3", "Na2SO3"):
        found = work(METHOD, "drops", **typed, stated_as=meaning)["sulfite"]
        assert found.value == pytest.approx(60 * 0.05 * 0.0125 * 40_000 / 50)


@pytest.mark.parametrize(
    ("temperature", "expected"),
    [
        ("49.9", {}),
        ("50", {"temperature": "too_warm"}),
        ("122 °F", {"temperature": "too_warm"}),
        ("61", {"temperature": "impossible"}),
        ("-5", {"temperature": "impossible"}),
        ("", {"temperature": "missing"}),
    ],
)
def test_the_sample_is_below_50_degrees(temperature, expected):
    """EPA 377.1 (published): the sample is below 50 °C."""
    assert trouble(METHOD, "burette", **{**TYPED, "temperature": temperature}) == expected


@pytest.mark.parametrize(("end", "qualifier"), [("0.49", "<"), ("0.50", ""), ("0.20", "<")])
def test_less_than_3_is_not_told_from_nothing(end, qualifier):
    """EPA 377.1 (published): it detects 2 to 3 mg/L SO3; 0.30 mL of 0.0125 N in 50 mL are 3."""
    found = work(METHOD, "burette", **{**TYPED, "end": end, "blank": ""})["sulfite"]
    assert (found.qualifier, found.value) == (qualifier, pytest.approx(3.0))


def test_little_titrant_is_still_not_none():
    """0.005 mL is far below what the method tells from nothing, and yet it was used."""
    found = work(METHOD, "burette", **{**TYPED, "end": "0.205", "blank": ""})["sulfite"]
    assert found.qualifier == "<" and "no titrant" not in notes(found)
    assert "less than this test can tell" in notes(found)


def test_other_bad_input():
    assert trouble(METHOD, "burette", **{**TYPED, "end": "0.1"}) == {"end": "final_below_initial"}
    assert trouble(METHOD, "burette", **{**TYPED, "sample_volume": "0"}) == {
        "sample_volume": "impossible"
    }
    assert trouble(METHOD, "burette", **{**TYPED, "blank": "4"}) == {"blank": "blank_too_large"}


def test_a_warm_sample_and_a_titrant_that_ran_out_are_noted():
    found = work(METHOD, "burette", **{**TYPED, "temperature": "42"}, end_point="ran_out")
    assert found["sulfite"].qualifier == ">"
    assert "38 °C" in notes(found["sulfite"]) and "ran out" in notes(found["sulfite"])


def test_it_comes_first_after_drawing_and_out_of_air():
    said = " ".join(step.text for step in METHOD.steps)
    assert "first of all" in said and "out of contact with air" in said and "50 °C" in said
