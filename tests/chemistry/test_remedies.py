"""The table of remedies: every kind plans or refuses, and every sentence is there."""

import pytest

from chemistry.analytes import ANALYTES
from chemistry.dosing import CHEMICALS
from chemistry.remedies import REMEDIES, remedy_for
from chemistry.verdict import Side


@pytest.mark.parametrize(
    ("analyte", "side", "key"),
    [
        ("conductivity", Side.HIGH, "blowdown"),
        ("phosphate", Side.LOW, "dose_phosphate"),
        ("sulfite", Side.LOW, "dose_sulfite"),
        ("p_alkalinity", Side.LOW, "dose_alkali"),
        ("phosphate", Side.HIGH, "feed_stop"),
        ("m_alkalinity", Side.HIGH, "feed_down"),
    ],
)
def test_which_remedy_answers_which_result(analyte, side, key):
    assert remedy_for(analyte, side).key == key


@pytest.mark.parametrize(
    ("analyte", "side"),
    [
        ("conductivity", Side.LOW),
        ("conductivity", Side.IN_RANGE),
        ("ph", Side.LOW),
        ("total_hardness", Side.HIGH),
    ],
)
def test_no_remedy_is_made_up(analyte, side):
    assert remedy_for(analyte, side) is None


def test_the_chemicals_of_a_kind_raise_what_is_low():
    for (analyte, _side), kind in REMEDIES.items():
        assert analyte in ANALYTES
        assert all(CHEMICALS[key].share(analyte) > 0.0 for key in kind.chemicals), analyte
