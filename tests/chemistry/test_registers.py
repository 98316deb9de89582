"""Counting meters."""

import numpy as np
import pytest

from chemistry.errors import OutOfValidity
from chemistry.registers import counted


def test_it_is_a_difference():
    assert counted(100.0, 135.0) == 35.0
    assert counted(100.0, 100.0) == 0.0
    assert counted(np.array([0.0, 5.0]), np.array([2.0, 8.0])) == pytest.approx([2.0, 3.0])


def test_a_register_that_rolled_over():
    """By hand: 990 to 1000 are 10, 0 to 25 are 25."""
    assert counted(990.0, 25.0, top=1000.0) == 35.0
    assert counted(990.0, 0.0, top=1000.0) == 10.0


@pytest.mark.parametrize(
    ("initial", "final", "top"),
    [
        (100.0, 99.9, None),
        (-1.0, 5.0, None),
        (25.0, 990.0, 1000.0),
        (25.0, 25.0, 1000.0),
        (1001.0, 25.0, 1000.0),
        (990.0, -1.0, 1000.0),
        (float("nan"), 1.0, None),
        (1.0, float("nan"), 1000.0),
    ],
)
def test_readings_that_do_not_follow_are_refused(initial, final, top):
    with pytest.raises(OutOfValidity) as caught:
        counted(initial, final, top)
    assert caught.value.code == "register" and str(caught.value)
