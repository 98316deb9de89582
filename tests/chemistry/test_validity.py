"""Bounds of validity: both ends belong to it, what is no number does not (rule of our own)."""

import numpy as np
import pytest

from chemistry.errors import OutOfValidity
from chemistry.validity import require_within

BOUNDS = (0.0, 60.0)
SAID = "Known from %(low)s to %(high)s %(unit)s."


def held(values: object) -> None:
    require_within(values, BOUNDS, "temp_c", "too_far", SAID, unit="°C")  # type: ignore[arg-type]


@pytest.mark.parametrize("inside", [0.0, 25.0, 60.0, np.array([0.0, 60.0])])
def test_both_ends_are_inside(inside: object) -> None:
    held(inside)


@pytest.mark.parametrize(
    "outside", [-1e-9, 60.0 + 1e-9, float("nan"), float("inf"), np.array([25.0, 61.0])]
)
def test_what_lies_outside_is_refused_with_the_bound(outside: object) -> None:
    with pytest.raises(OutOfValidity) as refused:
        held(outside)
    assert refused.value.code == "too_far"
    assert refused.value.bound == "0 <= temp_c <= 60"
    assert str(refused.value) == "Known from 0 to 60 °C."
