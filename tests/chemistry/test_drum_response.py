"""Did a dose or a blowdown do what it must have done?"""

import pytest

from chemistry import drum_words
from chemistry.drum import Blow, Dose, Result, Setting
from chemistry.drum_filter import Spread
from chemistry.drum_model import Model
from chemistry.drum_response import Response, response
from chemistry.errors import ChemistryError, Refused

MASS_KG = 50_000.0
MODEL = Model(MASS_KG, ("chloride", "phosphate"))
STEADY = Setting(0.0, 20_000.0, 1000.0, {"chloride": 1.0}, {"phosphate": 20_000.0})
DOSE = Dose(70.0, {"phosphate": 5e5})
"""10 mg/kg of PO4 in 50 t."""


def log(*after):
    shifts = [8.0 * turn for turn in range(9)]
    return [
        STEADY,
        *(Result(hour, "chloride", 21.0, 0.5) for hour in shifts),
        *(Result(hour, "phosphate", 20.0, 0.5) for hour in shifts),
        *after,
    ]


@pytest.mark.parametrize(
    ("found", "code"),
    [
        pytest.param(30.0, "as_foretold", id="10 mg/kg more"),
        pytest.param(20.0, "no_effect", id="as before"),
        pytest.param(25.0, "less", id="half of it"),
        pytest.param(40.0, "more", id="twice as much"),
        pytest.param(10.0, "wrong_way", id="lower"),
    ],
)
def test_a_dose_is_held_against_the_next_result(found, code):
    answer = response(MODEL, log(DOSE, Result(72.0, "phosphate", found, 0.5)), DOSE)
    assert answer.code == code
    assert answer.code in drum_words.RESPONSES
    assert answer.moves == pytest.approx(10.0, rel=0.05)
    assert answer.part == pytest.approx((found - 20.0) / 10.0, abs=0.12)
    assert answer.expected.value == pytest.approx(30.0, abs=0.6)


def test_a_small_dose_can_not_be_told():
    small = Dose(70.0, {"phosphate": 5e4})
    answer = response(MODEL, log(small, Result(72.0, "phosphate", 20.5, 0.5)), small)
    assert answer.code == "cannot_tell"
    answer = response(MODEL, log(small, Result(72.0, "phosphate", 28.0, 0.5)), small)
    assert answer.code == "something_else"


def test_a_blow_is_held_against_what_it_moves_most():
    blow = Blow(70.0, 15_000.0)
    after = (Result(72.0, "phosphate", 14.0, 2.0), Result(72.0, "chloride", 15.2, 0.5))
    answer = response(MODEL, log(blow, *after), blow)
    assert answer.result.solute == "chloride"
    assert answer.code == "as_foretold"


def test_another_valve_setting_takes_its_time():
    """From 1000 to 3000 kg/h for 24 h: 21 mg/kg go to 7.67 + 13.33 exp(-24 / 16.7) = 10.8."""
    opened = Setting(70.0, 20_000.0, 3000.0, {"chloride": 1.0}, {"phosphate": 20_000.0})
    after = (Result(94.0, "chloride", 10.8, 0.5), Result(94.0, "phosphate", 10.0, 0.5))
    answer = response(MODEL, log(opened, *after), opened)
    assert answer.code == "as_foretold"


def test_what_follows_counts_for_both():
    second = Dose(71.0, {"phosphate": 5e5})
    answer = response(MODEL, log(DOSE, second, Result(72.0, "phosphate", 40.0, 0.5)), DOSE)
    assert answer.untouched.value == pytest.approx(30.0, abs=0.6)
    assert answer.code == "as_foretold"


def test_only_the_first_result_after_it_is_asked():
    after = (Result(72.0, "phosphate", 30.0, 0.5), Result(80.0, "phosphate", 20.0, 0.5))
    assert response(MODEL, log(DOSE, *after), DOSE).result.at_h == 72.0


def test_a_result_from_a_banked_boiler_does_not_count():
    banked = Setting(71.0, 0.0, 0.0, {}, state="banked")
    with pytest.raises(Refused) as refused:
        response(MODEL, log(DOSE, banked, Result(72.0, "phosphate", 30.0, 0.5)), DOSE)
    assert refused.value.code == "no_result_after"


def test_an_action_must_be_in_the_log():
    with pytest.raises(Refused) as refused:
        response(MODEL, log(), DOSE)
    assert refused.value.code == "not_in_log"


def answered(value, expected=30.0, untouched=20.0, u=1.0):
    result = Result(0.0, "phosphate", value, 0.5)
    return Response(result, Spread(expected, u), Spread(untouched, u)).code


@pytest.mark.parametrize(
    ("value", "expected", "code"),
    [
        pytest.param(31.99, 30.0, "as_foretold", id="within two"),
        pytest.param(32.01, 30.0, "more", id="beyond two"),
        pytest.param(21.99, 30.0, "no_effect", id="within two of before"),
        pytest.param(22.01, 30.0, "less", id="beyond two of before"),
        pytest.param(17.99, 30.0, "wrong_way", id="the other way"),
        pytest.param(22.5, 23.01, "as_foretold", id="moves by three: judged"),
        pytest.param(22.5, 22.99, "cannot_tell", id="moves by less"),
        pytest.param(12.01, 10.0, "less", id="downward, not all the way"),
        pytest.param(7.99, 10.0, "more", id="downward, too far"),
    ],
)
def test_where_the_answers_part(value, expected, code):
    assert answered(value, expected) == code


@pytest.mark.parametrize(
    ("value", "code"), [(30.05, "more"), (20.05, "less"), (19.95, "wrong_way")]
)
def test_where_the_answers_part_for_sharp_tests(value, code):
    assert answered(value, u=0.01) == code


def test_every_code_has_its_words():
    codes = {"as_foretold", "less", "more", "no_effect", "wrong_way", "cannot_tell"}
    assert set(drum_words.RESPONSES) == codes | {"something_else"}


def test_what_was_never_tested_before_it_can_not_tell():
    early = [each for each in log() if not isinstance(each, Result) or each.solute == "chloride"]
    blow = Blow(70.0, 12_500.0)
    later = [Result(78.0, "phosphate", 30.0, 0.5), Result(78.0, "chloride", 16.7, 0.5)]
    found = response(MODEL, [*early, blow, *later], blow)
    # A quarter swapped for feedwater of 1.0 leaves 16.0; 8 of 50 h later 16.74 on its way to 21.0
    assert found.result.solute == "chloride" and found.code == "as_foretold"
    assert found.expected.value == pytest.approx(16.74, abs=0.1)


def test_without_any_result_before_it_nothing_is_foretold():
    with pytest.raises(ChemistryError) as error:
        response(MODEL, [STEADY, DOSE, Result(78.0, "phosphate", 30.0, 0.5)], DOSE)
    assert error.value.code == "no_result"
