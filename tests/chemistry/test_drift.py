"""The line through an instrument's checks, and the interval that follows from it."""

import numpy as np
import pytest
from scipy import stats

from chemistry.check_interval import Found, suggest
from chemistry.drift import fit
from chemistry.errors import ChemistryError

# JCGM 100:2008, example H.3, a thermometer's calibration: figures from memory, self-proving.
TEMPERATURES = [
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
]  # fmt: skip
CORRECTIONS = [
    -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
]  # fmt: skip


def test_the_thermometer_of_gum_h3():
    line = fit(TEMPERATURES, CORRECTIONS, 20.0)
    assert (line.intercept, line.u_intercept) == pytest.approx((-0.1712, 0.0029), abs=5e-5)
    assert (line.slope, line.u_slope) == pytest.approx((0.00218, 0.00067), abs=5e-6)
    assert line.correlation == pytest.approx(-0.930, abs=5e-4)
    assert line.scatter == pytest.approx(0.0035, abs=5e-5)


def test_the_thermometer_of_gum_h3_at_30_degrees():
    line = fit(TEMPERATURES, CORRECTIONS, 20.0)
    assert line.at(30.0) == pytest.approx(-0.1494, abs=5e-5)
    assert line.u_at(30.0) == pytest.approx(0.0041, abs=5e-5)


def test_where_the_line_is_referred_to_changes_nothing_that_it_says():
    near, far = fit(TEMPERATURES, CORRECTIONS, 20.0), fit(TEMPERATURES, CORRECTIONS, -300.0)
    assert far.u_at(30.0) == pytest.approx(near.u_at(30.0), rel=1e-6)
    assert far.band_at(30.0) == pytest.approx(near.band_at(30.0), rel=1e-6)


def test_a_second_opinion_agrees_on_line_and_band():
    """scipy.stats.linregress, and the textbook's prediction band worked with NumPy."""
    x, y = np.arange(8.0), np.array([0.1, -0.2, 0.3, 0.2, 0.6, 0.5, 0.9, 0.8])
    line, other = fit(x, y), stats.linregress(x, y)
    assert (line.slope, line.u_slope) == pytest.approx((other.slope, other.stderr))
    assert line.u_intercept == pytest.approx(other.intercept_stderr)
    spread = np.sum((x - x.mean()) ** 2)
    u = line.scatter * np.sqrt(1.0 + 1.0 / 8.0 + (10.0 - x.mean()) ** 2 / spread)
    k = stats.t.ppf(0.5 + 0.9545 / 2.0, 6)
    low, high = line.band_at(10.0)
    assert (low, high) == pytest.approx((line.at(10.0) - k * u, line.at(10.0) + k * u))


def test_the_band_reaches_the_tolerance_where_it_says():
    line = fit([0.0, 30.0, 60.0, 90.0], [0.0, 0.31, 0.59, 0.9])
    day = line.reaches(2.0, 90.0, 400.0)
    assert day is not None
    assert line.band_at(day)[1] == pytest.approx(2.0, abs=1e-6)
    assert line.band_at(day - 0.01)[1] < 2.0


def test_a_falling_line_reaches_the_lower_tolerance():
    rising = fit([0.0, 30.0, 60.0, 90.0], [0.0, 0.31, 0.59, 0.9])
    falling = fit([0.0, 30.0, 60.0, 90.0], [0.0, -0.31, -0.59, -0.9])
    assert falling.reaches(2.0, 90.0, 400.0) == pytest.approx(rising.reaches(2.0, 90.0, 400.0))


def test_a_band_already_beyond_says_now_and_a_steady_one_says_never():
    assert fit([0.0, 1.0, 2.0], [0.0, 3.0, 6.0]).reaches(2.0, 2.0, 10.0) == 2.0
    steady = fit([0.0, 1.0, 2.0, 3.0], [0.01, -0.01, 0.0, 0.01])
    assert steady.reaches(5.0, 3.0, 10.0) is None


@pytest.mark.parametrize(("x", "y"), [([], []), ([0.0, 1.0], [0.0, 1.0]), ([1.0] * 3, [0.0] * 3)])
def test_too_few_checks_draw_no_line(x, y):
    with pytest.raises(ChemistryError, match="at least 3"):
        fit(x, y)


GOOD = [Found(0.0, 0.2), Found(90.0, -0.3)]


def stairs(checks, **changed):
    given = {"tolerance": 2.0, "interval": 100.0, "longest": 365.0} | changed
    return suggest(checks, **given).by_staircase


def test_two_good_checks_make_the_interval_longer():
    assert stairs(GOOD) == 125.0


def test_one_good_check_leaves_it():
    assert stairs(GOOD[:1]) == 100.0
    assert stairs([]) == 100.0


def test_a_small_tolerance_is_one_too():
    assert stairs([Found(0.0, 0.001), Found(90.0, 0.001)], tolerance=0.005) == 125.0


def test_a_check_near_the_tolerance_leaves_it():
    assert stairs([Found(0.0, 0.2), Found(90.0, 1.61)]) == 100.0
    assert stairs([Found(0.0, 0.2), Found(90.0, 1.6)]) == 125.0


def test_a_failed_check_halves_it():
    assert stairs([*GOOD, Found(180.0, -2.01)]) == 50.0
    assert stairs([*GOOD, Found(180.0, -2.0)]) == 100.0


def test_the_program_sets_the_longest():
    assert stairs(GOOD, longest=110.0) == 110.0


def test_a_drift_shortens_it_before_anything_fails():
    drifting = [Found(0.0, 0.0), Found(30.0, 0.41), Found(60.0, 0.79), Found(90.0, 1.2)]
    found = suggest(drifting, tolerance=2.0, interval=90.0, longest=365.0)
    assert found.by_drift is not None
    line = fit([0.0, 30.0, 60.0, 90.0], [0.0, 0.41, 0.79, 1.2])
    reached = line.reaches(2.0, 90.0, 455.0)
    assert found.by_drift == pytest.approx(0.8 * (reached - 90.0))
    assert found.days == found.by_drift < found.by_staircase


def test_the_staircase_stands_where_no_line_can_be_drawn():
    found = suggest(GOOD, tolerance=2.0, interval=100.0, longest=365.0)
    assert (found.days, found.by_drift) == (125.0, None)


def test_checks_close_to_each_other_have_a_trend_too():
    """By hand: three points on y = 2 x, an hour and a half apart; (0, .06, .12)² sums to 0.0018."""
    found = fit([0.0, 0.03, 0.06], [0.0, 0.06, 0.12])
    assert found.slope == pytest.approx(2.0)
    assert found.correlation == pytest.approx(-0.09 / (3.0 * 0.0045) ** 0.5)


def reasons(checks, **changed):
    given = {"tolerance": 2.0, "interval": 100.0, "longest": 365.0} | changed
    return [template % params for template, params in suggest(checks, **given).reasons]


def test_the_suggestion_says_why():
    assert reasons([]) == [
        "No check is on record yet: the interval in use stays, 100 days.",
        "A trend takes at least 3 checks on different days.",
    ]
    assert "within 80 % of its tolerance" in reasons(GOOD)[0]
    assert "last 2 checks" in reasons(GOOD)[0]
    assert "365 days" in reasons([*GOOD, Found(180.0, 0.1)], tolerance=1000.0)[1]
    assert "half the interval" in reasons([*GOOD, Found(180.0, 9.0)])[0]
    assert "stays" in reasons(GOOD[:1])[0]
    assert reasons(GOOD, longest=110.0)[-1] == "The program allows 110 days at most."


def test_a_drift_says_when_it_reaches_the_tolerance():
    drifting = [Found(0.0, 0.0), Found(30.0, 0.41), Found(60.0, 0.79), Found(90.0, 1.2)]
    said = reasons(drifting)
    days = suggest(drifting, tolerance=2.0, interval=100.0, longest=365.0).days
    assert f"in {days / 0.8:.0f} days; 80 % of that" in said[1]
    assert said[2] == f"The shorter of the two counts: {days:.0f} days."


def test_a_trend_already_beyond_asks_for_a_check_now():
    """At least a day, though: rule of our own."""
    wild = [Found(0.0, -1.5), Found(30.0, 1.9), Found(60.0, -1.9)]
    found = suggest(wild, tolerance=2.0, interval=100.0, longest=365.0)
    assert (found.by_drift, found.days) == (0.0, 1.0)
    assert "check it now" in reasons(wild)[1]


@pytest.mark.parametrize(
    ("checks", "tolerance", "code"),
    [
        (GOOD, 0.0, "no_tolerance"),
        (GOOD, float("nan"), "no_tolerance"),
        (GOOD[::-1], 2.0, "checks_crossed"),
    ],
)
def test_no_interval_without_tolerance_or_order(checks, tolerance, code):
    with pytest.raises(ChemistryError) as caught:
        suggest(checks, tolerance=tolerance, interval=90.0, longest=180.0)
    assert caught.value.code == code and str(caught.value)
