"""What is possible in the shared fields of a titration: the last value taken, the first refused.

The ranges are rules of our own; none of them may move unseen.
"""

import pytest

from chemistry import methods
from chemistry.methods.titrating_fields import MOST_DROPS, MOST_ML

ALKALINITY = ("alkalinity", "burette")
DROPS = ("alkalinity", "drops")
RANGES = (
    (ALKALINITY, "start", "0", "-0.01"),
    (ALKALINITY, "start", "100", "100.1"),
    (ALKALINITY, "m_end", "100", "100.1"),
    (ALKALINITY, "blank", "5", "5.01"),
    (ALKALINITY, "sample_volume", "0.5", "0.49"),
    (ALKALINITY, "sample_volume", "1000", "1001"),
    (ALKALINITY, "dilution", "0.1", "0.09"),
    (ALKALINITY, "dilution", "1000", "1001"),
    (ALKALINITY, "strength", "0.001", "0.0009"),
    (ALKALINITY, "strength", "2", "2.01"),
    (DROPS, "m_end", "500", "501"),
    (DROPS, "blank", "20", "21"),
    (DROPS, "per_drop_volume", "0.005", "0.0049"),
    (DROPS, "per_drop_volume", "0.2", "0.21"),
    (DROPS, "per_drop_result", "0.001", "0.0009"),
    (DROPS, "per_drop_result", "100000", "100001"),
    (DROPS, "label_volume", "0.5", "0.49"),
    (DROPS, "label_volume", "1000", "1001"),
    (("chloride", "burette"), "strength", "0.001", "0.0009"),
    (("chloride", "burette"), "strength", "2", "2.01"),
    (("sulfite", "burette"), "strength", "0.001", "0.0009"),
    (("sulfite", "burette"), "strength", "0.5", "0.51"),
    (("hardness_total", "burette"), "strength", "0.0005", "0.0004"),
    (("hardness_total", "burette"), "strength", "1", "1.01"),
    (("hardness_calcium", "burette"), "strength", "0.0005", "0.0004"),
    (("hardness_calcium", "burette"), "strength", "1", "1.01"),
    (("hydroxide_barium", "burette"), "strength", "0.001", "0.0009"),
    (("hydroxide_barium", "burette"), "strength", "2", "2.01"),
    (("hydroxide_barium", "burette"), "phosphate", "1000", "1001"),
    (("hydroxide_barium", "burette"), "silica", "1000", "1001"),
)


@pytest.mark.parametrize(("way", "field", "taken", "refused"), RANGES)
def test_the_edge_of_what_is_possible(way, field, taken, refused):
    key, mode = way
    method = methods.get(key, "1")
    assert field not in method.read(mode, {field: taken}, {}).errors
    error = method.read(mode, {field: refused}, {}).errors[field]
    assert error.code == "impossible" and str(error)


def test_the_volumes_and_drops_named_in_the_code():
    assert (MOST_ML, MOST_DROPS) == (100.0, 500.0)


@pytest.mark.parametrize(
    "key",
    [
        "alkalinity",
        "chloride",
        "hardness_total",
        "hardness_calcium",
        "hydroxide_barium",
        "sulfite",
        "ph",
    ],
)
def test_how_much_sample_a_test_takes(key):
    """Common practice, no source: 100 mL covers rinsing and one titration of 50 mL."""
    assert methods.get(key, "1").sample_ml == 100.0
