"""Checks of the boiler: outcomes in words, refusals, and what they say when something failed."""

import numpy as np
import pytest

from chemistry import methods
from chemistry.checks import CHECKS, OUTCOME_WORDS, REASON_WORDS
from chemistry.errors import EntryError, OutOfValidity
from chemistry.methods.base import InstrumentFacts, Outcome
from chemistry.safety_valve import PSI_KPA, popping_tolerance_kpa
from chemistry.units import convert
from tests.chemistry.workings import outcomes, parts_of, trouble, work_all

CUTOFF = methods.get("low_water_cutoff", "1")
GLASS = methods.get("gauge_glass", "1")
BLOW = methods.get("bottom_blow", "1")
VALVE = methods.get("safety_valve", "1")
ALL = (CUTOFF, GLASS, BLOW, VALVE)


def said(outcome: Outcome) -> str:
    return " ".join(template % params for template, params in outcome.notes)


def test_a_check_that_worked_has_an_outcome_and_no_number():
    found = outcomes(CUTOFF, "blow_down", outcome="worked", witness="  Ana   Berg ")
    assert found == {"low_water_cutoff": Outcome("low_water_cutoff", "worked", witness="Ana Berg")}
    assert work_all(CUTOFF, "blow_down", outcome="worked") == {}


@pytest.mark.parametrize(
    ("method", "mode", "typed"),
    [
        (CUTOFF, "blow_down", {"outcome": "did_not_work"}),
        (CUTOFF, "slow_drain", {"outcome": "did_not_work"}),
        (GLASS, "glass", {"glass": "did_not_work"}),
        (VALVE, "lever", {"outcome": "did_not_work"}),
    ],
)
def test_a_check_that_failed_says_stop(method, mode, typed):
    assert trouble(method, mode, **typed) == {"remark": "remark_needed"}
    (found,) = outcomes(method, mode, remark="burner ran on", **typed).values()
    assert (found.outcome, found.remark) == ("did_not_work", "burner ran on")
    assert "take the boiler off the line" in said(found) and "Do not bypass" in said(found)


def test_a_choked_bottom_blow_is_to_be_put_right():
    found = outcomes(BLOW, "blow", outcome="did_not_work", remark="choked")["bottom_blow"]
    assert "put right" in said(found) and "off the line" not in said(found)


@pytest.mark.parametrize("method", ALL)
def test_not_done_needs_a_reason(method):
    mode = method.modes[0].key
    keys = [field.key for field in method.mode(mode).fields if field.key in ("glass", "column")]
    typed = dict.fromkeys(keys or ["outcome"], "not_done")
    assert trouble(method, mode, **typed) == {"reason": "reason_needed"}
    assert trouble(method, mode, reason="other", **typed) == {"remark": "remark_needed"}
    for found in outcomes(method, mode, reason="load", **typed).values():
        assert (found.outcome, found.reason) == ("not_done", "load")
        assert "stays due" in said(found)


def test_a_reason_without_need_is_refused_not_dropped():
    typed = {"outcome": "worked", "reason": "load"}
    assert trouble(CUTOFF, "blow_down", **typed) == {"reason": "reason_not_wanted"}


def test_a_cutoff_that_trips_too_late_did_not_work():
    typed = {"outcome": "worked", "water_in_glass": "no"}
    assert trouble(CUTOFF, "slow_drain", **typed) == {"outcome": "tripped_too_late"}
    assert trouble(CUTOFF, "slow_drain", outcome="worked") == {"water_in_glass": "missing"}
    found = outcomes(CUTOFF, "slow_drain", outcome="worked", water_in_glass="yes")
    assert found["low_water_cutoff"].notes == ()


def test_a_test_button_is_no_check_with_water():
    found = outcomes(CUTOFF, "button", outcome="worked")
    assert set(found) == {"low_water_cutoff_button"}
    assert "does not stand for" in said(found["low_water_cutoff_button"])


def test_glass_and_column_have_an_outcome_each():
    found = outcomes(GLASS, "glass_and_column", column="not_done", glass="worked", reason="repair")
    assert {key: each.outcome for key, each in found.items()} == {
        "water_column": "not_done",
        "gauge_glass": "worked",
    }
    assert found["gauge_glass"].reason == "" and found["water_column"].reason == "repair"


def test_a_clocked_blow_keeps_its_seconds():
    found = work_all(BLOW, "blow", outcome="worked", open_time="15")["bottom_blow_time"]
    assert (found.value, found.unit) == (15.0, "s")
    assert parts_of(found) == pytest.approx(
        {"stopwatch": 1.0 / 3.0**0.5, "last digit of the reading": 0.5 / 3.0**0.5}
    )
    skipped = {"outcome": "not_done", "reason": "load"}
    assert work_all(BLOW, "blow", open_time="15", **skipped) == {}
    assert work_all(BLOW, "blow", outcome="worked") == {}


@pytest.mark.parametrize(
    ("set_psi", "tolerance_psi"),
    [
        (15, 2),
        (70, 2),
        (70.001, 2.1),
        (150, 4.5),
        (300, 9),
        (300.001, 10),
        (1000, 10),
        (1005, 10.05),
        (1050, 10.5),
        (0.005, 2),
    ],
)
def test_how_near_a_valve_must_open(set_psi, tolerance_psi):
    """ASME Section I, PG-72.2, from memory: 2 psi; 3 %; 10 psi; 1 %."""
    found = popping_tolerance_kpa(set_psi * PSI_KPA) / PSI_KPA
    assert found == pytest.approx(tolerance_psi, rel=1e-4)
    many = popping_tolerance_kpa(np.array([set_psi * PSI_KPA]))
    assert many == pytest.approx([tolerance_psi * PSI_KPA], rel=1e-4)


@pytest.mark.parametrize("setting", [0.0, -1.0, float("nan")])
def test_a_valve_has_a_setting(setting):
    with pytest.raises(OutOfValidity):
        popping_tolerance_kpa(setting)


def popped(**typed):
    return outcomes(VALVE, "pressure", outcome="worked", setting="150 psig", **typed)[
        "safety_valve"
    ]


def test_a_valve_opened_by_pressure():
    assert popped(pressure="153 psig").notes == ()
    low = said(popped(pressure="140 psig"))
    assert "10 psig away" in low and "4.5" in low
    typed = {"outcome": "worked", "setting": "150 psig"}
    assert trouble(VALVE, "pressure", pressure="155 psig", **typed) == {
        "outcome": "opened_too_high"
    }
    assert trouble(VALVE, "pressure", **typed) == {"pressure": "missing"}
    assert trouble(VALVE, "pressure", outcome="worked", pressure="150 psig") == {
        "setting": "missing"
    }
    found = work_all(VALVE, "pressure", pressure="153 psig", **typed)["safety_valve_pressure"]
    assert found.value == pytest.approx(153 * PSI_KPA)
    assert parts_of(found) == pytest.approx(
        {
            "instrument": 153 * PSI_KPA * 0.02 / 3.0**0.5,
            "last digit of the reading": 0.5 * PSI_KPA / 3.0**0.5,
        }
    )


def test_a_valve_that_opened_too_high_is_kept_as_failed():
    typed = {"outcome": "did_not_work", "remark": "late", "setting": "150 psig"}
    found = outcomes(VALVE, "pressure", pressure="160 psig", **typed)["safety_valve"]
    assert "10 psig away" in said(found) and "off the line" in said(found)


@pytest.mark.parametrize(("pressure", "noted"), [("112.5 psig", False), ("112.0 psig", True)])
def test_a_lever_needs_three_quarters_of_the_setting(pressure, noted):
    """ASME Section I, PG-73.1.3, from memory."""
    typed = {"outcome": "worked", "setting": "150 psig", "pressure": pressure}
    found = outcomes(VALVE, "lever", **typed)["safety_valve"]
    assert ("three quarters" in said(found)) is noted
    assert work_all(VALVE, "lever", **typed) == {}


@pytest.mark.parametrize(
    ("typed", "where", "code"),
    [
        ({"outcome": "worked", "remark": "x" * 201}, "remark", "too_long"),
        ({"outcome": "worked", "witness": "x" * 61}, "witness", "too_long"),
        ({"outcome": "worked", "remark": "a\x00b"}, "remark", "not_plain"),
        ({"outcome": "worked", "remark": "a\ud800b"}, "remark", "not_plain"),
        ({"outcome": "fine"}, "outcome", "not_a_choice"),
        ({}, "outcome", "missing"),
    ],
)
def test_bad_input_stands_beside_its_field(typed, where, code):
    assert trouble(CUTOFF, "blow_down", **typed) == {where: code}


def test_own_words_are_kept_on_one_line():
    entry = CUTOFF.read("blow_down", {"outcome": "worked", "remark": " slow\n to  trip "}, {})
    assert entry.texts == {"remark": "slow to trip"}
    assert len("é" * 200) == 200
    assert not CUTOFF.read("blow_down", {"outcome": "worked", "remark": "é" * 200}, {}).errors


def test_trouble_in_the_entry_is_not_concluded():
    entry = CUTOFF.read("blow_down", {}, {})
    with pytest.raises(EntryError):
        CUTOFF.outcomes("blow_down", entry)
    with pytest.raises(EntryError):
        CUTOFF.outcomes("by_ear", entry)
    assert methods.get("conductivity", "1").checks == ()


def test_a_test_of_the_water_has_no_outcomes():
    method = methods.get("phosphate", "1")
    entry = method.read("photometer", {"reading": "40"}, {})
    assert method.outcomes("photometer", entry) == ()
    assert len(method.work("photometer", entry, InstrumentFacts())) == 1


@pytest.mark.parametrize("method", ALL)
def test_every_check_defers_and_warns(method):
    cautions = " ".join(step.text for step in method.steps if step.caution)
    assert "order nothing" in cautions and "licensed practice" in cautions
    assert set(method.checks) <= set(CHECKS)


def test_words_are_there_for_every_key():
    assert set(OUTCOME_WORDS) == {"worked", "did_not_work", "not_done"}
    assert all(REASON_WORDS.values()) and all(each.name for each in CHECKS.values())


def test_a_psi_is_what_the_units_say():
    """NIST SP 811 (2008), Appendix B: 6.894757293168361 kPa."""
    assert convert(1.0, "psi", "kPa") == pytest.approx(PSI_KPA, rel=1e-12)


def test_any_setting_above_nothing_has_a_tolerance():
    assert popping_tolerance_kpa(0.005) > 0.0
