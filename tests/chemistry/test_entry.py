"""What people type into a number field. The rules are our own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.entry import parse_number, parse_reading, written_unit
from chemistry.errors import EntryError

CONDUCTIVITY = ("uS/cm", "umho/cm", "mS/cm")


@pytest.mark.parametrize(
    ("typed", "normalized", "value", "resolution"),
    [
        ("1230", "1230", 1230.0, 1.0),
        (" 1 230 ", "1230", 1230.0, 1.0),
        ("1\u00a0230", "1230", 1230.0, 1.0),
        ("7.10", "7.10", 7.1, 0.01),
        ("12,5", "12.5", 12.5, 0.1),
        ("1,230.5", "1230.5", 1230.5, 0.1),
        ("1.230,5", "1230.5", 1230.5, 0.1),
        ("1,230,000", "1230000", 1230000.0, 1.0),
        ("0,123", "0.123", 0.123, 0.001),
        ("1.2e3", "1200", 1200.0, 100.0),
        ("1.2e2", "120", 120.0, 10.0),
        ("\u22125", "-5", -5.0, 1.0),
        (".5", "0.5", 0.5, 0.1),
        ("0", "0", 0.0, 1.0),
        ("-0.0", "0.0", 0.0, 0.1),
        ("1" * 20, "1" * 20, float("1" * 20), 1.0),
        ("1e30", "1" + "0" * 30, 1e30, 1e30),
    ],
)
def test_it_reads_numbers(typed, normalized, value, resolution):
    number = parse_number(typed)
    assert (number.typed, number.normalized) == (typed, normalized)
    assert number.value == value
    assert number.resolution == pytest.approx(resolution)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("abc", "not_a_number"),
        ("nan", "not_a_number"),
        ("inf", "not_a_number"),
        ("12,", "not_a_number"),
        ("1,23,4", "not_a_number"),
        ("1 23", "not_a_number"),
        ("1.2.3", "not_a_number"),
        ("٣", "not_a_number"),
        ("1,230", "ambiguous_comma"),
        ("-1,230", "ambiguous_comma"),
        ("1" * 21, "too_long"),
        ("1e31", "out_of_scale"),
        ("1e-31", "out_of_scale"),
        ("1e99", "out_of_scale"),
    ],
)
def test_it_refuses_with_a_code_and_a_sentence(typed, code):
    with pytest.raises(EntryError) as caught:
        parse_number(typed)
    assert caught.value.code == code
    assert "%(" not in str(caught.value)


def test_an_ambiguous_comma_asks_for_either_spelling():
    with pytest.raises(EntryError, match=r"1230 or 1\.230"):
        parse_number("1,230")


@given(st.text(max_size=60))
def test_any_text_parses_or_is_refused(text):
    try:
        number = parse_number(text)
    except EntryError as error:
        assert str(error)
    else:
        assert float(number.normalized) == number.value


@given(
    st.text(alphabet="0123456789.,eE+- µuSmMhocCFK/%°²³1", max_size=45),
    st.sampled_from(["uS/cm", "degC", "1/cm", "%/K", "nonsense", ""]),
)
def test_any_text_reads_with_a_unit_or_is_refused(text, unit):
    try:
        reading = parse_reading(text, unit=unit, units=CONDUCTIVITY)
    except EntryError as error:
        assert str(error)
    else:
        assert float(reading.normalized) == reading.value


@given(st.text(max_size=60))
def test_no_text_breaks_the_reading_of_units(text):
    try:
        parse_reading(f"1 {text}", unit="uS/cm", units=CONDUCTIVITY)
    except EntryError as error:
        assert str(error)


def test_a_written_unit_wins_over_the_selected_one():
    reading = parse_reading("1.23 mS/cm", unit="uS/cm", units=CONDUCTIVITY)
    assert (reading.unit, reading.value, reading.normalized) == ("mS/cm", 1.23, "1.23")


def test_the_selected_unit_holds_when_none_is_written():
    assert parse_reading("1230", unit="umho/cm", units=CONDUCTIVITY).unit == "umho/cm"


@pytest.mark.parametrize(
    ("typed", "code"),
    [("20 °C", "wrong_dimension"), ("5 kg", "wrong_dimension"), ("5 smoots", "unknown_unit")],
)
def test_a_unit_that_does_not_fit_is_refused_naming_what_does(typed, code):
    with pytest.raises(EntryError, match="µS/cm") as caught:
        parse_reading(typed, unit="uS/cm", units=CONDUCTIVITY)
    assert caught.value.code == code


def test_the_unit_written_behind_a_number():
    assert written_unit("1,22 mS/cm") == "mS/cm"
    assert written_unit("1.2e3") == written_unit("abc") == ""
