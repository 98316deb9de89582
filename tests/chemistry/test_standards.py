"""What standards are worth at the temperature they were measured at."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import BarycentricInterpolator

from chemistry.errors import ChemistryError, EntryError, OutOfValidity
from chemistry.ph import BORAX_TABLE
from chemistry.standards import (
    BUFFERS,
    KCL_TABLES,
    Standard,
    buffer,
    interpolated,
    kcl,
)
from tests.golden import golden

KCL = golden("kcl_conductivity")


@pytest.mark.parametrize(("at_25", "column"), [(1408.23, "m001"), (12824.6, "m01"), (108620, "m1")])
def test_the_three_solutions_of_the_table(at_25, column):
    """CRC Handbook p. 5-73 (published), typed a second time in tests/golden."""
    standard = kcl(at_25, 0.0)
    rows = [(float(row["temp_c"]), float(row[column])) for row in KCL if row[column]]
    assert len(rows) >= 11
    for temp_c, value in rows:
        assert standard.at(temp_c).value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("table", KCL_TABLES)
def test_between_the_rows_the_cubic_stays_within_a_ten_thousandth(table):
    """A row left out is foretold from its neighbors, 10 °C apart; between rows it is far better."""
    for place in range(2, len(table) - 2):
        temp, value = table[place]
        others = table[:place] + table[place + 1 :]
        assert interpolated(others, temp) == pytest.approx(value, rel=2e-4)


@pytest.mark.parametrize(
    ("temp_c", "rows"),
    [(2.0, slice(0, 4)), (22.5, slice(4, 8)), (25.0, slice(5, 9)), (48.0, slice(8, 12))],
)
def test_the_cubic_goes_through_the_four_rows_about_it(temp_c, rows):
    """A second opinion: SciPy's barycentric polynomial through the same four rows."""
    temps, values = zip(*KCL_TABLES[0][rows], strict=True)
    expected = float(BarycentricInterpolator(temps, values)(temp_c))
    assert interpolated(KCL_TABLES[0], temp_c) == pytest.approx(expected, rel=1e-12)


def test_a_label_of_1413_moves_with_the_table():
    """1413 and 1408.23 µS/cm are one solution, per liter and per kilogram (CRC Handbook)."""
    assert kcl(1413.0, 3.0).at(20.0).value == pytest.approx(1413.0 * 1273.03 / 1408.23)
    # the nearest of the three, by ratio: 4000 is still nearer to 1408 than to 12825
    assert kcl(4000.0, 3.0).at(20.0).value == pytest.approx(4000.0 * 1273.03 / 1408.23)
    assert kcl(4500.0, 3.0).at(20.0).value == pytest.approx(4500.0 * 11615.9 / 12824.6)


def test_the_slope_of_kcl_near_25_degrees():
    """From 1273.03 at 20 to 1546.63 at 30 °C (CRC Handbook p. 5-73, published)."""
    found = kcl(1408.23, 1.0).at(25.0)
    assert found.per_k == pytest.approx((1546.63 - 1273.03) / 10.0, rel=2e-3)
    assert found.u == 1.0
    assert kcl(1408.23, 1.0).at(0.0).per_k == pytest.approx((890.96 - 772.92) / 5.0, rel=0.03)


@pytest.mark.parametrize("value", [69.9, 120001.0, math.nan, -5.0])
def test_no_kcl_outside_what_is_known(value):
    with pytest.raises(OutOfValidity):
        kcl(value, 0.1)


def test_kcl_to_the_ends_of_what_is_known():
    assert kcl(70.0, 0.1).value == 70.0 and kcl(120000.0, 1.0).value == 120000.0


def test_a_coefficient_by_hand():
    """84 µS/cm, 2.0 %/°C from 25 to 20: 84 x 0.9; ± 0.05 %/K over 5 K as limits."""
    found = Standard(84.0, "uS/cm", 0.5, percent_per_k=2.0).at(20.0)
    assert found.value == pytest.approx(75.6)
    assert found.u == pytest.approx(math.hypot(0.5 * 0.9, 84.0 * 0.0005 * 5.0 / math.sqrt(3.0)))
    assert found.per_k == pytest.approx(1.68)


@pytest.mark.parametrize(
    ("standard", "low", "high"),
    [
        (Standard(84.0, "uS/cm", 0.5, percent_per_k=2.0), 15.0, 35.0),
        (Standard(84.0, "uS/cm", 0.5), 24.5, 25.5),
        (Standard(84.0, "uS/cm", 0.5, reference_c=20.0), 19.5, 20.5),
        (kcl(1413.0, 3.0), 0.0, 50.0),
        (buffer("seven", 0.01), 20.0, 30.0),
        (buffer("borax", 0.01), 0.0, 60.0),
        (buffer("calcium_hydroxide", 0.01), 0.0, 50.0),
    ],
)
def test_between_which_temperatures_each_is_known(standard, low, high):
    """10 K about a coefficient, 0.5 K about a bare value, 7.00 from 20 to 30 °C: rules of our
    own."""
    assert standard.range_c == (low, high)
    assert standard.at(low).value and standard.at(high).value
    for temp_c in (low - 0.01, high + 0.01, math.nan):
        with pytest.raises(OutOfValidity, match="known from"):
            standard.at(temp_c)


def test_a_bare_value_is_taken_as_it_is_within_its_half_degree():
    bare = Standard(84.0, "uS/cm", 0.5).at(25.5)
    assert (bare.value, bare.u, bare.per_k) == (84.0, 0.5, 0.0)
    weight = Standard(100.0, "g", 0.001, steady=True)
    assert (weight.at(-40.0).value, weight.at(400.0).u) == (100.0, 0.001)
    assert weight.at(20.0).per_k == 0.0


@pytest.mark.parametrize(
    "row", golden("buffers"), ids=lambda row: f"{row['buffer']} {row['temp_c']}"
)
def test_buffers_at_temperature(row):
    """Each row of tests/golden names its source and kind; above 50 °C two are not known here."""
    found = buffer(row["buffer"], 0.01).at(float(row["temp_c"])).value
    within = max(float(row["within"]), 0.0045 if row["buffer"] == "calcium_hydroxide" else 0.0)
    assert found == pytest.approx(float(row["ph"]), abs=within)


@pytest.mark.parametrize(
    ("key", "rows"),
    [
        ("carbonate", [10.317, 10.245, 10.179, 10.118, 10.062, 10.012, 9.966, 9.926, 9.889]),
        (
            "calcium_hydroxide",
            [13.423, 13.207, 13.003, 12.810, 12.627, 12.454, 12.289, 12.133, 11.984],
        ),
    ],
)
def test_the_alkaline_buffers_typed_a_second_time(key, rows):
    """Staples and Bates (1969) and Bates (1962), every 5 °C from 0: from memory."""
    for place, ph in enumerate(rows):
        assert buffer(key, 0.01).at(5.0 * place).value == pytest.approx(ph, abs=1e-9)


def test_the_alkaline_buffers_fall_smoothly():
    """A slip of typing would show as a kink: third differences of the rows stay small."""
    for key in ("carbonate", "calcium_hydroxide"):
        table = dict(BUFFERS[key])
        rows = [table[temp] for temp in (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)]
        for _ in range(3):
            rows = [after - before for before, after in pairwise(rows)]
        assert max(map(abs, rows)) < 0.006
    calcium = dict(BUFFERS["calcium_hydroxide"])
    assert (calcium[45.0], calcium[50.0]) == (11.841, 11.705)
    assert dict(BUFFERS["carbonate"])[50.0] == 9.828


def test_a_buffer_of_another_label_shifts_its_table():
    found = buffer("borax", 0.02, 9.20)
    assert found.value == pytest.approx(9.20)
    assert found.at(10.0).value == pytest.approx(dict(BORAX_TABLE)[10.0] + 0.02)
    assert found.at(0.0).u == 0.02  # an amount, not a share


@given(st.floats(0.0, 50.0), st.floats(100.0, 100_000.0))
def test_the_uncertainty_of_kcl_goes_with_its_value(temp_c, value):
    standard = kcl(value, value / 100.0)
    found = standard.at(temp_c)
    assert found.u / found.value == pytest.approx(0.01)


def test_a_standard_in_another_unit():
    """1.413 mS/cm is 1413 µS/cm, table and uncertainty with it."""
    found = Standard(1.413, "mS/cm", 0.003, table=((20.0, 1.278), (25.0, 1.413))).in_unit("uS/cm")
    assert (found.value, found.u, found.unit) == (1413.0, 3.0, "uS/cm")
    assert found.table == ((20.0, 1278.0), (25.0, 1413.0))
    same = Standard(7.0, "pH", 0.01)
    assert same.in_unit("pH") is same
    for standard, unit in ((same, "uS/cm"), (Standard(0.1, "degF", 0.05), "K")):
        with pytest.raises(EntryError) as caught:
            standard.in_unit(unit)
        assert caught.value.code == "wrong_dimension"


@pytest.mark.parametrize(
    "given_",
    [
        {"value": math.nan},
        {"u": -1.0},
        {"u": math.inf},
        {"table": ((20.0, 1.0),)},
        {"table": ((25.0, 1.0), (20.0, 2.0))},
        {"table": ((20.0, 1.0), (20.0, 2.0))},
    ],
)
def test_a_standard_that_can_not_be_is_refused(given_):
    with pytest.raises(ChemistryError):
        Standard(**{"value": 1.0, "unit": "g", "u": 0.1, **given_})
