"""The look of a sample: an outcome in words, never a number."""

import pytest

from chemistry import methods
from chemistry.checks import APPEARANCE_WORDS, CHECKS, OIL_FILM, OUTCOME_WORDS
from tests.chemistry.workings import outcomes, trouble, work_all

LOOK = methods.get("appearance", "1")


@pytest.mark.parametrize("look", APPEARANCE_WORDS)
def test_each_look_is_an_outcome_without_a_number(look):
    found = outcomes(LOOK, "by_eye", look=look, remark="as seen")["appearance"]
    assert (found.outcome, found.remark) == (look, "as seen")
    assert work_all(LOOK, "by_eye", look=look, remark="as seen") == {}


def test_oil_and_foam_say_what_they_mean():
    (oil,) = outcomes(LOOK, "by_eye", look=OIL_FILM).values()
    (foam,) = outcomes(LOOK, "by_eye", look="foaming").values()
    assert "comes before everything else" in oil.notes[0][0] and "prime" in foam.notes[0][0]
    assert outcomes(LOOK, "by_eye", look="clear")["appearance"].notes == ()


def test_a_color_is_named_and_nothing_else_is_taken():
    assert trouble(LOOK, "by_eye", look="colored") == {"remark": "remark_needed"}
    assert trouble(LOOK, "by_eye", look="worked", remark="x") == {"look": "not_a_choice"}
    assert trouble(LOOK, "by_eye") == {"look": "missing"}


def test_a_look_is_no_outcome_of_a_check():
    assert not set(APPEARANCE_WORDS) & set(OUTCOME_WORDS)
    assert not CHECKS["appearance"].stops_boiler
