"""Facts of the trade that a bench sheet hands on: they stand in the steps, in the right order.

Common practice, no source, except where one is named.
"""

import pytest

from chemistry import methods
from chemistry.methods.drawing import in_bench_order
from tests.served import ROOT

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
    ("conductivity", "If it won't hold steady, clear the bubbles and read again"),
    ("conductivity", "Rinse cell, thermometer and beaker with distilled water"),
    ("conductivity", "Leave the cell standing in distilled water"),
    ("conductivity", "rinse it before it dries"),
    ("conductivity", "Only where the limit is meant for neutralized water"),
    ("conductivity", "gallic acid"),
    ("conductivity", "At least every three months"),
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
    ("chloride", "stir for a minute"),
    ("chloride", "Bind phosphate with a salt that holds no chloride"),
    ("hardness_calcium", "at pH 12 to 13"),
    ("hardness_calcium", "Those drops don't count"),
    ("hydroxide_barium", "the first disappearance counts"),
    ("hydroxide_barium", "No pink means no hydroxide"),
    ("alkalinity", "methyl orange goes from yellow to orange"),
    # EPA 377.1 (1974, rev. 1978), 3.2 to 3.6, published
    ("sulfite", "sulfamic acid where the water may hold nitrite"),
    ("sulfite", "EDTA where it may hold copper"),
    ("sulfite", "Don't filter it"),
    ("sulfite", "with the tip under the surface"),
    ("sulfite", "Titrate a blank"),
    ("sulfite", "Dissolved iron, sulfide and organic matter take titrant too"),
    # colors
    ("phosphate", "sludge of calcium phosphate would dissolve"),
    ("silica", "Draw and test in plastic"),
    ("hydrazine", "Don't filter it"),
    ("scavenger", "Don't filter it"),
    ("hardness_total", "Of softened water and condensate take 100 mL or more"),
    ("hydroxide_barium", "distilled water that was freshly boiled"),
    # oxygen
    ("oxygen", "The water must never touch air"),
    ("oxygen", "Nothing else waits before it"),
    ("oxygen", "Read the thermometer in the running water"),
    # boiler checks and plant readings
    ("gauge_glass", "open its drain"),
    ("bottom_blow", "60 °C (140 °F)"),  # Ohio Administrative Code 4101:4-4-04 (2013), published
    ("bottom_blow", "Never leave the valve while it is open"),
    ("bottom_blow", "never blow two boilers at once"),
    ("safety_valve", "at least three quarters of its setting under it"),  # ASME I, from memory
    ("safety_valve", "never change its setting"),
    ("low_water_cutoff", "Never feed cold water into a boiler whose level you can't see"),
]
CAUTIONS = [
    ("conductivity", "Never scrub or rub the electrodes by hand"),
    ("ph", "Never rub the glass"),
    ("drawing", "flashes to steam and scalds"),
    ("hardness_calcium", "Caustic burns"),
    ("hydroxide_barium", "Barium chloride is poisonous"),
    ("hydroxide_barium", "Acid and boiler water burn"),
    ("alkalinity", "Acid and boiler water burn"),
    ("sulfite", "Acid burns"),
    ("chloride", "Silver nitrate stains"),
    ("chloride", "peroxide and acid burn"),
    ("hardness_total", "smells of ammonia"),
    ("iron", "pour acid into water, never water into acid"),
    ("bottom_blow", "Never blow a header or water wall while the burner fires"),
    ("hydrazine", "may cause cancer"),  # NIOSH page 302-01-2 (May 1994), published
]
ORDERS = [
    (
        "conductivity",
        (
            "Flush the sample line",
            "Only where the limit is meant for neutralized water",
            "Rinse cell, thermometer and beaker with some of the sample",
            "Fill the beaker",
            "bubbles out",
            "Read the thermometer",
            "then balance",
            "Read the meter",
            "Rinse cell, thermometer and beaker with distilled water",
            "Leave the cell standing in distilled water",
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
    (
        "alkalinity",
        (
            "then measure the sample",
            "Keep your eyes covered",
            "Clear the tip of air",
            "Add phenolphthalein",
            "swirling all the time",
            "read (P)",
            "Don't fill up in between",
            "indicator for pH 4.5",
            "read (M)",
            "Rinse the glassware with distilled water",
        ),
    ),
    (
        "hydroxide_barium",
        (
            "then measure the sample",
            "Barium chloride is poisonous",
            "Add barium chloride",
            "let it stand",
            "Clear the tip of air",
            "Add phenolphthalein",
            "the first disappearance counts",
        ),
    ),
    (
        "chloride",
        (
            "Silver nitrate stains",
            "Destroy sulfite",
            "Bind phosphate",
            "add dilute sulfuric acid until it is just clear",
            "Then add the chromate indicator",
            "Clear the tip of air",
            "Go drop by drop",
            "Titrate a blank",
        ),
    ),
    (
        "hardness_total",
        ("smells of ammonia", "Add the buffer for pH 10", "Add the indicator", "Go drop by drop"),
    ),
    (
        "hardness_calcium",
        ("Caustic burns", "Add caustic", "Add the calcium indicator", "read again", "don't count"),
    ),
    (
        "sulfite",
        (
            "Fill the bottle from the bottom",
            "Acid burns",
            "Clear the tip of air",
            "Put acid and indicator into the flask first",
            "pour it in gently",
            "Read the thermometer",
            "Titrate at once",
            "Titrate a blank",
        ),
    ),
    ("phosphate", ("Filter the sample", "Much silica", "zero the photometer", "Add the reagents")),
    ("silica", ("zero the photometer", "Add the reagents", "Once the color has come", "find the")),
    (
        "gauge_glass",
        (
            "Open the column's drain",
            "Glass: open its drain",
            "Shut the water side, so that steam blows through",
            "open it again and shut the steam side, so that water blows",
            "close the drain and open both sides",
            "The level must come back at once",
        ),
    ),
]
TITRATIONS = (
    "alkalinity",
    "chloride",
    "hardness_calcium",
    "hardness_total",
    "hydroxide_barium",
)


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


@pytest.mark.parametrize("key", TITRATIONS)
def test_glassware_is_rinsed_with_the_sample_first_and_distilled_water_afterwards(key):
    """Common practice, no source. An empty burette is rinsed with its titrant, never with water."""
    said = steps(key)
    places = [
        said.index(words)
        for words in (
            "Rinse cylinder and flask with the sample",
            "shake the flask out well",
            "Rinse an empty burette with a little of the titrant",
            "Rinse the glassware with distilled water",
        )
    ]
    assert places == sorted(places)


def test_no_step_of_the_barium_titration_waits_for_a_color_that_stays():
    """The pink comes back as barium carbonate dissolves: common practice, no source."""
    assert "to stay" not in steps("hydroxide_barium")
    asked = {f.label for m in methods.latest("hydroxide_barium").modes for f in m.fields}
    assert "Was the end point reached?" in asked and not any("to stay" in each for each in asked)


def test_how_much_to_draw():
    """Conductivity takes 200 mL; ten tests take about 1 L."""
    assert methods.latest("conductivity").sample_ml == 200.0
    together = sum(methods.latest(key).sample_ml for key in TEN_TESTS)
    assert together == pytest.approx(1000.0, rel=0.1)
    told = [f.help for m in methods.latest("drawing").modes for f in m.fields if f.key == "due"]
    assert told and all("Ten tests take about 1 L" in each for each in told)
    chapter = (ROOT / "dashboards" / "help" / "tester.md").read_text("utf-8")
    assert "Ten tests take about 1 L, conductivity alone 200 mL" in chapter


def test_what_air_spoils_goes_first():
    """Oxygen can wait least, then sulfite, then pH."""
    found = in_bench_order(["ph", "conductivity", "sulfite", "oxygen"])
    assert found == ["oxygen", "sulfite", "ph", "conductivity"]
