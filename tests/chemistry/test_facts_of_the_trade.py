"""Facts of the trade that a bench sheet hands on: they stand in the steps, in the right order.

Common practice, no source, except where one is named.
"""

import pytest

from chemistry import methods
from chemistry.methods.drawing import in_bench_order

TEN_TESTS = (
    "alkalinity",
    "chloride",
    "conductivity",
    "hardness_total",
    "hydrazine",
    "iron",
    "ph",
    "phosphate",
    "silica",
    "sulfite",
)

FACTS = [
    # conductivity
    ("conductivity", "at least 200 mL"),
    ("conductivity", "at least half an inch (13 mm) under the surface"),
    ("conductivity", "half an inch clear of the sides and the bottom"),
    ("conductivity", "up and down a few times to work the bubbles out"),
    ("conductivity", "Never correct twice"),
    ("conductivity", "leave it standing in distilled water"),
    ("conductivity", "rinse it before it dries"),
    ("conductivity", "Every three months"),
    ("conductivity", "about 1400"),
    ("conductivity", "1300 to 1500"),
    # pH
    ("ph", "two fresh buffers, one on either side of the pH you expect"),
    ("ph", "Never pour a used buffer back"),
    ("ph", "Never correct it for temperature a second time"),
    ("ph", "never dry and never in distilled water"),
    # drawing
    ("drawing", "Open the cooling water first and the sample valve last"),
    ("drawing", "always to 38 °C (100 °F) or less"),
    ("drawing", "Rinse the bottle and its cap three times with the sample"),
    ("drawing", "to the bottom of the bottle, let it run over"),
    ("drawing", "Test oxygen, sulfite and pH first"),
    # titrations
    ("sulfite", "never as warm as 50 °C"),  # EPA 377.1 (1974, rev. 1978), published
    ("sulfite", "Test sulfite first of all"),
    ("sulfite", "Put acid and indicator into the flask first"),
    ("chloride", "0.2 to 0.3 mL is usual"),
    ("chloride", "until it is just clear"),
    ("hardness_calcium", "at pH 12 to 13"),
    ("hydroxide_barium", "the first disappearance counts"),
    # oxygen
    ("oxygen", "The water must never touch air"),
    ("oxygen", "Nothing else waits before it"),
    # boiler checks and plant readings
    ("bottom_blow", "60 °C (140 °F)"),  # Ohio Administrative Code 4101:4-4-04 (2013), published
    ("bottom_blow", "Never leave the valve while it is open"),
    ("bottom_blow", "never blow two boilers at once"),
    ("safety_valve", "at least three quarters of its setting under it"),  # ASME I, from memory
    ("safety_valve", "never change its setting"),
    ("low_water_cutoff", "Never feed cold water into a boiler whose level you can't see"),
]
CAUTIONS = [
    ("conductivity", "Never scrub the electrodes"),
    ("ph", "Never rub the glass"),
    ("drawing", "flashes to steam and scalds"),
    ("hardness_calcium", "Caustic burns"),
    ("hydroxide_barium", "Barium chloride is poisonous"),
    ("hydrazine", "may cause cancer"),  # NIOSH page 302-01-2 (May 1994), published
]
ORDERS = [
    (
        "conductivity",
        (
            "Flush the sample line",
            "Rinse cell, thermometer and beaker with some of the sample",
            "Fill the beaker",
            "bubbles out",
            "Read the thermometer",
            "then balance",
            "Read the meter",
            "Rinse the cell with distilled water",
        ),
    ),
    (
        "ph",
        (
            "Set the electrode with two fresh buffers",
            "Rinse the electrode with distilled water, then with the sample",
            "Dip the electrode",
            "Write the pH as shown",
            "keep it in its storage solution",
        ),
    ),
    (
        "drawing",
        (
            "cooling water first",
            "Flush until",
            "Bring the sample to 25 °C",
            "Rinse the bottle",
            "Lead the hose to the bottom",
            "Write point and time",
            "Test oxygen, sulfite and pH first",
        ),
    ),
]


def steps(key: str) -> str:
    return "\n".join(step.text for step in methods.latest(key).steps)


@pytest.mark.parametrize(("key", "fact"), FACTS)
def test_a_step_says_so(key, fact):
    assert fact in steps(key)


@pytest.mark.parametrize(("key", "fact"), CAUTIONS)
def test_a_caution_says_so(key, fact):
    assert fact in "\n".join(step.text for step in methods.latest(key).steps if step.caution)


@pytest.mark.parametrize(("key", "order"), ORDERS, ids=[key for key, _ in ORDERS])
def test_the_steps_come_in_this_order(key, order):
    places = [steps(key).index(words) for words in order]
    assert places == sorted(places)


def test_how_much_to_draw():
    """Conductivity takes 200 mL; ten tests take about 1 L."""
    assert methods.latest("conductivity").sample_ml == 200.0
    together = sum(methods.latest(key).sample_ml for key in TEN_TESTS)
    assert together == pytest.approx(1000.0, rel=0.1)


def test_what_air_spoils_goes_first():
    """Oxygen can wait least, then sulfite, then pH."""
    found = in_bench_order(["ph", "conductivity", "sulfite", "oxygen"])
    assert found == ["oxygen", "sulfite", "ph", "conductivity"]
