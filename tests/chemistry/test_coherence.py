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
    ("value", "wrong"), [(200.0, False), (209.9, False), (210.05, True), (400.0, True)]
)
def test_a_part_above_its_whole(part, whole, code, value, wrong):
    assert codes({part: value, whole: 200.0}) == ([code] if wrong else [])


def test_two_drops_are_let_pass():
    """One 0.05 mL drop of 0.01 M EDTA in 50 mL is 1 mg/L as CaCO3 (calculated)."""
    assert codes({"calcium_hardness": 14.0, "total_hardness": 10.0}) == []
    assert codes({"calcium_hardness": 14.02, "total_hardness": 10.0}) == ["calcium_above_total"]


@pytest.mark.parametrize("part", ["iron_dissolved", "iron_reactive"])
def test_part_of_the_iron_above_all_of_it(part):
    """By definition; half a step of a comparator is common practice, no source."""
    assert codes({part: 0.1199, "iron": 0.1}) == []
    assert len(codes({part: 0.1201, "iron": 0.1})) == 1


def test_known_uncertainties_replace_the_margin():
    results = {"p_alkalinity": 205.0, "m_alkalinity": 200.0}
    assert codes(results, {"p_alkalinity": 3.0, "m_alkalinity": 3.9}) == ["p_above_m"]
    assert codes(results, {"p_alkalinity": 3.0, "m_alkalinity": 4.1}) == []
    assert codes(results, {"p_alkalinity": 0.0}) == []


@pytest.mark.parametrize(
    ("hydroxide", "ph", "wrong"),
    [
        (100.1, 10.500, True),  # 2.0 meq/L: pH 11.301 at 25 °C
        (100.1, 10.502, False),  # a warm sample shows less
        (4.0, 7.0, False),  # two drops are nothing
        (4.1, 7.0, True),
    ],
)
def test_hydroxide_needs_a_high_ph(hydroxide, ph, wrong):
    """pKw 14.0 at 25 °C: IAPWS R11-24 (from memory)."""
    assert codes({"hydroxide_alkalinity": hydroxide, "ph": ph}) == (
        ["hydroxide_without_ph"] if wrong else []
    )


@pytest.mark.parametrize(("ph", "wrong"), [(12.100, False), (12.101, True)])
def test_a_high_ph_needs_alkalinity(ph, wrong):
    """pH 12.1 - 0.8 is 2.0 meq/L of hydroxide, 99.84 mg/L as CaCO3 (calculated), and two drops
    may be missing."""
    assert codes({"ph": ph, "m_alkalinity": 96.0}) == (["ph_without_alkalinity"] if wrong else [])


@pytest.mark.parametrize(
    ("ph", "p", "wrong"), [(7.999, 20.0, True), (8.001, 20.0, False), (7.9, 4.0, False)]
)
def test_no_p_alkalinity_below_its_end_point(ph, p, wrong):
    """End point 8.3: Standard Methods 2320 B (from memory); 0.3 below it: rule of our own."""
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


@pytest.mark.parametrize(
    ("salt", "normal", "conductivity"),
    [
        ("KCl", 0.001, 146.88),
        ("KCl", 0.1, 12890.0),
        ("NaCl", 0.001, 123.68),
        ("NaCl", 0.01, 1184.5),
        ("NaCl", 0.1, 10669.0),
        ("CaCl2", 0.001, 130.3),
        ("CaCl2", 0.01, 1203.0),
        ("MgCl2", 0.001, 124.15),
        ("MgCl2", 0.01, 1144.9),
    ],
)
def test_published_chloride_solutions_are_not_asked_about(salt, normal, conductivity):
    """25 °C, CRC Handbook (2016), published in an open library: eq/L of chloride and µS/cm; 0.0005
    and 0.005 mol/L of CaCl2 and MgCl2. Ten times their chloride is asked about."""
    chloride = normal * 35450.0
    assert codes({"chloride": chloride, "conductivity": conductivity}) == []
    assert codes({"chloride": 10.0 * chloride, "conductivity": conductivity}) == [
        "conductivity_too_low"
    ]


@pytest.mark.parametrize(("normal", "conductivity"), [(0.001, 123.68), (0.01, 1184.5)])
def test_a_chloride_alone_is_told_from_the_published_one(normal, conductivity):
    """NaCl, 25 °C: CRC Handbook (2016), published. Dilute, its limiting conductivity holds within
    7 %, so what is surely too low lies at six tenths of it (rule of our own)."""
    chloride = normal * 35450.0
    assert codes({"chloride": chloride, "conductivity": 0.66 * conductivity}) == []
    assert codes({"chloride": chloride, "conductivity": 0.60 * conductivity}) != []


def test_water_of_nothing_known_conducts_nothing():
    """Less than pure water shows at 0 °C, 0.0115 µS/cm: IAPWS G1-90 (calculated)."""
    for found in ({}, {"m_alkalinity": 3.0}, {"chloride": 0.0, "m_alkalinity": 0.0}):
        assert codes({**found, "conductivity": 0.01}) == []


KEYS = [*BOILER, "sulfite"]


@given(st.dictionaries(st.sampled_from(KEYS), st.floats(0.0, 1e5), max_size=8))
def test_any_results_give_whole_sentences(results):
    for each in beside_others({**results, "ph": min(results.get("ph", 7.0), 14.0)}):
        assert "%(" not in each.template % each.params
