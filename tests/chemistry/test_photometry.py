"""The law of Beer and Lambert, and standards by eye."""

import numpy as np
import pytest

from chemistry.errors import OutOfValidity
from chemistry.photometry import between_standards, concentration


def test_absorbance_times_factor():
    """By hand: (0.423 - 0.012) times 95 is 39.045; twice the path halves it (IUPAC Gold Book,
    B00626, from memory)."""
    assert concentration(0.423, 95.0, blank=0.012) == pytest.approx(39.045)
    assert concentration(0.423, 95.0, blank=0.012, path_mm=20.0) == pytest.approx(39.045 / 2.0)
    found = concentration(np.array([0.0, 0.5]), 95.0)
    assert found == pytest.approx([0.0, 47.5])


@pytest.mark.parametrize("absorbance", [-0.001, 2.001, float("nan")])
def test_an_absorbance_out_of_range_is_refused(absorbance):
    with pytest.raises(OutOfValidity) as caught:
        concentration(absorbance, 95.0)
    assert "absorbance" in caught.value.bound and str(caught.value)


def test_the_edges_are_still_worked():
    assert concentration(0.0, 95.0) == 0.0 and concentration(2.0, 95.0) == 190.0


def test_the_middle_of_two_standards():
    assert between_standards(20.0, 30.0) == (25.0, 5.0)
    assert between_standards(30.0, 20.0) == (25.0, 5.0)
