"""Oxygen beside air, against the tables."""

import numpy as np
import pytest

from chemistry.errors import OutOfValidity
from chemistry.oxygen import saturation_mg_l
from tests.golden import golden


@pytest.mark.parametrize("row", golden("oxygen_saturation"), ids=lambda row: row["temp_c"])
def test_saturation_beside_air(row):
    """Benson and Krause (1984), published as tabulated at 0, 8 ... 40 °C; each row names its own
    source and kind."""
    found = saturation_mg_l(float(row["temp_c"]))
    assert found == pytest.approx(float(row["mg_l"]), abs=float(row["tolerance"]))


def test_many_at_once():
    found = saturation_mg_l(np.array([[0.0, 24.0], [32.0, 40.0]]))
    assert found == pytest.approx(np.array([[14.621, 8.418], [7.305, 6.413]]), abs=5e-4)
    assert saturation_mg_l(np.array([24.0])).shape == (1,)


@pytest.mark.parametrize("temp_c", [-0.1, 40.1, float("nan")])
def test_outside_the_fit_it_is_refused(temp_c):
    with pytest.raises(OutOfValidity) as caught:
        saturation_mg_l(temp_c)
    assert caught.value.code == "oxygen_range" and str(caught.value)
