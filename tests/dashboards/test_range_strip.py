"""The range strip: places along the scale and the words that say the same."""

from dataclasses import replace

import pytest

from dashboards.screens.results import Strip, VerdictView
from dashboards.templatetags.range_strip import (
    EDGE,
    WIDTH,
    scale_of,
    strip_geometry,
    strip_words,
)

MAXIMUM = Strip(value=1240, expanded=30, high=1300, target=1100)
BOTH = Strip(value=11.0, expanded=0.06, low=10.5, high=11.5, target=11.0)
MINIMUM = Strip(value=30, expanded=3, low=20, target=30)
BARE = Strip(value=640, expanded=16)
EVERY_KIND = [
    pytest.param(MAXIMUM, id="maximum only"),
    pytest.param(BOTH, id="two-sided"),
    pytest.param(MINIMUM, id="minimum only"),
    pytest.param(BARE, id="no limit"),
    pytest.param(Strip(value=None), id="nothing at all"),
    pytest.param(Strip(value=0.0), id="zero without limits"),
    pytest.param(Strip(value=-3.0, expanded=1), id="negative without limits"),
    pytest.param(Strip(value=0.0, high=0.0), id="maximum of zero"),
    pytest.param(Strip(value=5.0, low=5.0, high=5.0), id="span of no width"),
    pytest.param(Strip(value=-5.0, low=-8.0, high=-2.0), id="negative span"),
    pytest.param(Strip(value=1.0, high=1300, target=0.0), id="target at zero"),
]


@pytest.mark.parametrize("strip", EVERY_KIND)
def test_everything_lies_on_the_drawing(strip: Strip) -> None:
    left, right = scale_of(strip)
    g = strip_geometry(strip)
    places = [g.low, g.high, g.target, g.value, *(g.span or ()), *(g.spread or ())]
    assert left < right
    assert all(EDGE <= x <= WIDTH - EDGE for x in places if x is not None)


def test_order_along_a_maximum_is_the_order_of_the_numbers() -> None:
    g = strip_geometry(MAXIMUM)
    assert g.target is not None and g.spread is not None and g.value is not None
    assert g.high is not None
    assert g.target < g.spread[0] < g.value < g.spread[1] < g.high


def test_a_maximum_leaves_the_span_open_below() -> None:
    g = strip_geometry(MAXIMUM)
    assert g.judged and g.open_low and not g.open_high
    assert g.span == (EDGE, g.high)


def test_a_minimum_leaves_the_span_open_above() -> None:
    g = strip_geometry(MINIMUM)
    assert g.open_high and not g.open_low
    assert g.span == (g.low, WIDTH - EDGE)


def test_the_middle_of_a_two_sided_span_is_the_middle_of_the_drawing() -> None:
    g = strip_geometry(BOTH)
    assert g.value == g.target == WIDTH / 2


def test_without_a_limit_nothing_is_judged() -> None:
    g = strip_geometry(BARE)
    assert (g.judged, g.span, g.low, g.high, g.target) == (False, None, None, None, None)
    assert g.value == WIDTH / 2


@pytest.mark.parametrize(
    ("value", "off"),
    [
        pytest.param(2650, "right", id="far above"),
        pytest.param(20, "left", id="far below"),
        pytest.param(1300, "", id="on the limit"),
    ],
)
def test_a_value_off_the_scale_becomes_an_arrow(value: float, off: str) -> None:
    g = strip_geometry(replace(MAXIMUM, value=value))
    assert g.off == off
    assert (g.value is None) == bool(off)
    assert (g.spread is None) == bool(off)


def test_the_value_on_the_limit_stands_on_its_post() -> None:
    g = strip_geometry(replace(MAXIMUM, value=1300))
    assert g.value == g.high


def test_a_spread_beyond_the_scale_is_cut_at_its_end() -> None:
    g = strip_geometry(replace(MAXIMUM, value=1700, expanded=400))
    assert g.spread is not None and g.spread[1] == WIDTH - EDGE


def test_two_results_of_one_limit_share_the_scale() -> None:
    assert scale_of(MAXIMUM) == scale_of(replace(MAXIMUM, value=900, expanded=5))


@pytest.mark.parametrize(
    ("strip", "words"),
    [
        pytest.param(
            replace(
                MAXIMUM,
                value_text="1240 ± 30 µS/cm",
                high_text="1300",
                target_text="1100",
                verdict=VerdictView(side="in_range", word="In range", near_limit=True),
            ),
            "1240 ± 30 µS/cm, allowed up to 1300, target 1100, in range, near the limit",
            id="maximum, near the limit",
        ),
        pytest.param(
            replace(
                BOTH,
                value_text="10.31 ± 0.06",
                low_text="10.5",
                high_text="11.5",
                verdict=VerdictView(side="low", word="Low", in_doubt=True),
            ),
            "10.31 ± 0.06, allowed 10.5 to 11.5, low, in doubt",
            id="two-sided, in doubt",
        ),
        pytest.param(
            replace(MINIMUM, value_text="30 ± 3 mg/L", low_text="20"),
            "30 ± 3 mg/L, allowed from 20",
            id="minimum",
        ),
        pytest.param(
            replace(
                BARE,
                value_text="640 ± 16 µS/cm",
                verdict=VerdictView(side="not_judged", word="Not judged"),
            ),
            "640 ± 16 µS/cm, no limit, not judged",
            id="no limit",
        ),
        pytest.param(Strip(value=None, high=1, high_text="1"), "no value yet, allowed up to 1"),
    ],
)
def test_the_words_say_what_is_drawn(strip: Strip, words: str) -> None:
    assert strip_words(strip) == words
