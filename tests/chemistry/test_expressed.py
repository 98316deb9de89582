"""What a concentration is expressed as. Ratios recomputed from IUPAC atomic weights."""

import pytest

from chemistry.errors import ChemistryError
from chemistry.expressed import ratio


@pytest.mark.parametrize(
    ("wanted", "given", "expected"),
    [
        # published: molar masses 94.971, 30.974 and 60.083, 28.085 g/mol (IUPAC), by division
        ("PO4", "P", 3.0662),
        ("PO4", "P2O5", 1.3381),  # common practice, no source
        ("SiO2", "Si", 2.1393),
        ("PO4", "PO4", 1.0),
    ],
)
def test_ratios_of_mass(wanted, given, expected):
    assert ratio(wanted, given) == pytest.approx(expected, abs=1e-4)
    assert ratio(given, wanted) == pytest.approx(1.0 / expected, rel=1e-4)


@pytest.mark.parametrize(
    ("wanted", "given"), [("PO4", "Si"), ("gold", "P"), ("P", "gold"), ("", "")]
)
def test_unlike_things_are_not_converted(wanted, given):
    with pytest.raises(ChemistryError) as caught:
        ratio(wanted, given)
    assert caught.value.code == "not_the_same" and str(caught.value)
