"""What can't be right together in one sample. The waters are invented; the relations name their
source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.coherence import beside_others


def codes(results, expanded=None):
    return [each.code for each in beside_others(results, expanded)]


BOILER = {
    "conductivity": 2400.0,
    "ph": 11.4,
    "p_alkalinity": 320.0,
    "m_alkalinity": 420.0,
    "hydroxide_alkalinity": 220.0,
    "chloride": 180.0,
    "total_hardness": 0.0,
    "calcium_hardness": 0.0,
    "iron": 0.5,
    "iron_dissolved": 0.1,
    "iron_reactive": 0.3,
}
RAW = {
    "conductivity": 450.0,
    "ph": 7.6,
    "p_alkalinity": 0.0,
    "m_alkalinity": 150.0,
    "chloride": 30.0,
    "total_hardness": 149.3,
    "calcium_hardness": 99.9,
}


@pytest.mark.parametrize("water", [BOILER, RAW, {}])
def test_a_sound_water_is_not_asked_about(water):
    assert codes(water) == []


@pytest.mark.parametrize(
    ("part", "whole", "code"),
    [
        # Standard Methods 2320 B, from memory: P is titrated on the way to M
        ("p_alkalinity", "m_alkalinity", "p_above_m"),
        ("hydroxide_alkalinity", "m_alkalinity", "hydroxide_above_m"),
        # Standard Methods 2340 B, published: total hardness = 2.497 Ca + 4.118 Mg
        ("calcium_hardness", "total_hardness", "calcium_above_total"),
    ],
)
@pytest.mark.parametrize(
    ("value", "wrong"), [(200.0, False), (209.9, False), (210.5, True), (400.0, True)]
)
def test_a_part_above_its_whole(part, whole, code, value, wrong):
    assert codes({part: value, whole: 200.0}) == ([code] if wrong else [])


def test_two_drops_are_let_pass():
    """One 0.05 mL drop of 0.01 M EDTA in 50 mL is 1 mg/L as CaCO3 (calculated)."""
    assert codes({"calcium_hardness": 13.9, "total_hardness": 10.0}) == []
    assert codes({"calcium_hardness": 14.1, "total_hardness": 10.0}) == ["calcium_above_total"]


@pytest.mark.parametrize("part", ["iron_dissolved", "iron_reactive"])
def test_part_of_the_iron_above_all_of_it(part):
    """By definition; half a step of a comparator is common practice, no source."""
    assert codes({part: 0.119, "iron": 0.1}) == []
    assert len(codes({part: 0.121, "iron": 0.1})) == 1


def test_known_uncertainties_replace_the_margin():
    results = {"p_alkalinity": 205.0, "m_alkalinity": 200.0}
    assert codes(results, {"p_alkalinity": 3.0, "m_alkalinity": 3.9}) == ["p_above_m"]
    assert codes(results, {"p_alkalinity": 3.0, "m_alkalinity": 4.1}) == []
    assert codes(results, {"p_alkalinity": 0.0}) == []


@pytest.mark.parametrize(
    ("hydroxide", "ph", "wrong"),
    [
        (100.1, 10.45, True),  # 2.0 meq/L: pH 11.30 at 25 °C
        (100.1, 10.55, False),  # a warm sample shows less
        (4.0, 7.0, False),  # two drops are nothing
        (4.1, 7.0, True),
    ],
)
def test_hydroxide_needs_a_high_ph(hydroxide, ph, wrong):
    """pKw 14.0 at 25 °C: IAPWS R11-24 (from memory)."""
    assert codes({"hydroxide_alkalinity": hydroxide, "ph": ph}) == (
        ["hydroxide_without_ph"] if wrong else []
    )


@pytest.mark.parametrize(("ph", "wrong"), [(12.05, False), (12.15, True)])
def test_a_high_ph_needs_alkalinity(ph, wrong):
    """pH 12.1 - 0.8 is 2.0 meq/L of hydroxide, 99.8 mg/L as CaCO3 (calculated)."""
    assert codes({"ph": ph, "m_alkalinity": 96.0}) == (["ph_without_alkalinity"] if wrong else [])


@pytest.mark.parametrize(
    ("ph", "p", "wrong"), [(7.9, 20.0, True), (8.1, 20.0, False), (7.9, 4.0, False)]
)
def test_no_p_alkalinity_below_its_end_point(ph, p, wrong):
    """End point 8.3: Standard Methods 2320 B (from memory)."""
    assert codes({"ph": ph, "p_alkalinity": p}) == (["p_below_end_point"] if wrong else [])


@pytest.mark.parametrize(
    ("results", "least"),
    [
        ({"chloride": 354.5}, 758.4),  # 10 meq/L of NaCl: 1264 µS/cm before hindrance
        ({"m_alkalinity": 504.4}, 567.6),  # two drops less: 10 meq/L of NaHCO3
        ({"chloride": 354.5, "m_alkalinity": 504.4}, 1326.0),
    ],
)
def test_ions_conduct(results, least):
    """Limiting conductivities 50.08, 76.31, 44.5 S cm²/mol: CRC Handbook (2016), published."""
    assert codes({**results, "conductivity": 1.001 * least}) == []
    (found,) = beside_others({**results, "conductivity": 0.999 * least})
    assert found.code == "conductivity_too_low" and found.likely is None


def test_published_chloride_solutions_are_not_asked_about():
    """KCl 0.001 and 0.1 mol/L, 25 °C: 146.88 and 12890 µS/cm, CRC Handbook (2016), published."""
    for molar, conductivity in ((0.001, 146.88), (0.1, 12890.0)):
        assert codes({"chloride": molar * 35450.0, "conductivity": conductivity}) == []


KEYS = [*BOILER, "sulfite"]


@given(st.dictionaries(st.sampled_from(KEYS), st.floats(0.0, 1e5), max_size=8))
def test_any_results_give_whole_sentences(results):
    for each in beside_others({**results, "ph": min(results.get("ph", 7.0), 14.0)}):
        assert "%(" not in each.template % each.params
