"""Figures in the plant's units."""

import pytest

from dashboards import words


@pytest.mark.parametrize(
    ("value", "expanded", "unit", "wanted", "shown"),
    [
        pytest.param("1240", "36", "uS/cm", "umho/cm", ("1240", "36"), id="the same by name only"),
        pytest.param("25.0", "1.0", "degC", "degF", ("77.0", "1.8"), id="a spread is a difference"),
        pytest.param("13610", "140", "kg", "lb", ("30000", "310"), id="rounded to its spread anew"),
        pytest.param("13610", "", "kg", "lb", ("30005", ""), id="digits are kept"),
    ],
)
def test_it_shows_a_result_in_the_plants_unit(value, expanded, unit, wanted, shown):
    assert words.with_spread(value, expanded, unit, wanted) == shown
