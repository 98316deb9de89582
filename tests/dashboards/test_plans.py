"""A plan's figures as people weigh them."""

from types import SimpleNamespace

import pytest

from dashboards.build.plans import mass_words

US, SI = SimpleNamespace(mass_flow_unit="lb/h"), SimpleNamespace(mass_flow_unit="kg/h")


@pytest.mark.parametrize(
    ("plant", "kg", "told"),
    [
        pytest.param(SI, 0.751, "751 g", id="grams"),
        pytest.param(SI, 12.34, "12.3 kg", id="kilograms"),
        pytest.param(US, 0.1, "100 g (3.5 oz)", id="ounces"),
        pytest.param(US, 0.751, "751 g (1 lb 10.5 oz)", id="pounds and ounces"),
        pytest.param(US, 0.9071, "907 g (2 lb 0.0 oz)", id="never sixteen ounces"),
    ],
)
def test_a_mass_in_the_plants_way(plant, kg, told):
    """A pound is 0.45359237 kg (NIST SP 811, 2008, Appendix B), and sixteen ounces."""
    assert mass_words(plant, kg) == told


def test_a_rate_says_so_in_both_units():
    assert mass_words(US, 0.1, per_hour=True) == "100 g/h (3.5 oz/h)"
