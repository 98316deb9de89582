"""The calculator's questions against figures from outside, each with its source beside it."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry import calculations, units
from chemistry.calculations.base import SUBJECTS, Answer
from chemistry.errors import ChemistryError, EntryError
from tests.texts import TEXT, as_many_as

SOURCES = Path(calculations.__file__).parents[1] / "SOURCES.md"
RANGES = Path(__file__).parents[1] / "golden" / "calculation_ranges.csv"
EVERY = sorted(calculations.CALCULATIONS)


def answers(key, **typed):
    calculation = calculations.get(key)
    found = calculation.found(calculation.read(typed, {}))
    return {each.key: each for each in found.answers}


def value(key, answer, **typed):
    return answers(key, **typed)[answer].value


CASES = [
    pytest.param(
        value("composition", "conductivity_25", Na="22.99", Cl="35.45"), 123.68, 0.005,
        id="0.001 M NaCl conducts 123.68 µS/cm: CRC Handbook, 97th ed.",
    ),
    pytest.param(
        value("full_analysis", "conductivity", ph="7.0", Na="22.99", Cl="35.45"), 123.68, 0.005,
        id="and so does its analysis: CRC Handbook, 97th ed.",
    ),
    pytest.param(
        value("conductivity_at_25", "factor", reading="100", temperature="10", way="natural"),
        1.428, 1e-3,
        id="natural water at 10 °C times 1.428: ISO 7888:1985, from memory",
    ),
    pytest.param(
        value("conductivity_at_25", "conductivity", reading="1020", temperature="10"),
        1412.9, 0.04,
        id="0.01 M KCl, 1020 µS/cm at 10 °C, is 1413 at 25 °C (CRC); 2 % is a rule",
    ),
    pytest.param(
        value("cation_conductivity", "cation", Cl="0.01", NH3="0.5"), 0.13776, 0.01,
        id="10 µg/kg of chloride as HCl: h = 3.142e-7, 0.1378 µS/cm by hand, ions after CRC",
    ),
    pytest.param(
        value("ph_of_conductivities", "ph_formula", specific="6.7", cation="0.15"), 9.39, 1e-3,
        id="log10(6.7 - 0.15/3) + 8.57 = 9.39: VGB-S-010, from memory",
    ),
    pytest.param(
        value("dissolved_solids", "solids", reading="1000", kind="natural"), 625.0, 1e-9,
        id="0.55 to 0.70 of the conductivity: Standard Methods 1030 E, from memory",
    ),
    pytest.param(
        answers("dissolved_solids", reading="1000", kind="own", factor="0.62")["solids"].high,
        651.0, 1e-9,
        id="a factor of one's own, ±5 %: rule of our own",
    ),
    pytest.param(
        value("alkalinity_split", "hydroxide", p="50", m="80"), 20.0, 1e-9,
        id="P above M/2: 2P - M of hydroxide: Standard Methods 2320:II, from memory",
    ),
    pytest.param(
        value("alkalinity_split", "carbonate", p="50", m="80"), 60.0, 1e-9,
        id="and 2(M - P) of carbonate: Standard Methods 2320:II, from memory",
    ),
    pytest.param(
        value("sodium_to_phosphate", "ratio", ph="10.01", PO4="10"), 3.0, 0.01,
        id="10 mg/kg of phosphate at a ratio of 3 has pH 10.01: IPhreeqc 3.8.6",
    ),
    pytest.param(
        value("sodium_to_phosphate", "pure", ph="10.01", PO4="10"), 10.01, 1e-3,
        id="nothing else being in it, that is the pH of the phosphate alone",
    ),
    pytest.param(
        value("hardness_of_ions", "total", calcium="40", magnesium="12"), 149.296, 1e-9,
        id="2.497 Ca + 4.118 Mg: Standard Methods 2340 B, a public example",
    ),
    pytest.param(
        value("hardness_of_ions", "calcium", calcium="40"), 99.88, 1e-9,
        id="2.497 Ca: Standard Methods 2340 B",
    ),
    pytest.param(
        value("hardness_of_ions", "magnesium", magnesium="12"), 49.416, 1e-9,
        id="4.118 Mg: Standard Methods 2340 B",
    ),
    pytest.param(
        value("softener_left", "hours", capacity="30", inlet="300", throughput="75", flow="5"),
        5.0, 1e-9,
        id="30 kg take up 300 mg/L of 100 m³; 25 are left, 5 h at 5 m³/h: arithmetic",
    ),
    pytest.param(
        value("oxygen_saturation", "oxygen", temperature="24"), 8.418, 1e-3,
        id="8.418 mg/L at 24 °C: Standard Methods 4500-O, published table",
    ),
    pytest.param(
        value("deaerator_oxygen", "boiling", temperature="100", pressure="3 psig"),
        (221.5 - 32.0) / 1.8, 1e-3,
        id="3 psig boils at 221.5 °F: UFC 3-240-13FN, Table 3-2",
    ),
    pytest.param(
        value("deaerator_oxygen", "below", temperature="104", pressure="3 psig"),
        (221.5 - 32.0) / 1.8 - 104.0, 0.02,
        id="104 °C is 1.3 K below that: UFC 3-240-13FN, Table 3-2",
    ),
    pytest.param(
        value("deaerator_oxygen", "removed", temperature="104", pressure="3 psig", outlet="7",
              inlet="20"), 100.0 * (1.0 - 7.0 / 9092.0), 1e-4,
        id="of the 9.092 mg/L of 20 °C 7 µg/kg are left: Standard Methods 4500-O",
    ),
    pytest.param(
        value("scavenger_demand", "ratio", oxygen="7", feed="10000"), 7.88, 1e-3,
        id="7.88 parts of sulfite for one of oxygen: a public training note",
    ),
    pytest.param(
        value("scavenger_demand", "needed", oxygen="1000", feed="1000000"), 7.88, 1e-3,
        id="1 kg/h of oxygen takes 7.88 kg/h: the same note",
    ),
    pytest.param(
        value("steam_silica", "permitted", SiO2="1", pressure="9898.675 kPag"), 2.4, 0.02,
        id="some 2.4 mg/kg at 100 bar: ray law, from memory",
    ),
    pytest.param(
        answers("steam_silica", SiO2="1", pressure="9898.675 kPag")["permitted"].low,
        2.4 * 0.7, 0.02,
        id="good to 30 %: ray law, from memory",
    ),
    pytest.param(
        value("steam_carryover", "carryover", steam="10", boiler="10", pressure="40 barg"),
        0.1, 1e-9,
        id="10 µg/kg of 10 mg/kg are 0.1 %: IAPWS TGD1-08",
    ),
    pytest.param(
        value("cycles", "cycles", boiler="5000", feed="250"), 20.0, 1e-9,
        id="5000 beside 250 are 20 cycles: UFC 3-240-13FN, eq. 5",
    ),
    pytest.param(
        value("cycles", "of_feed", boiler="5000", feed="250"), 5.0, 1e-9,
        id="of which 5 % of the feedwater: UFC 3-240-13FN, eq. 6",
    ),
    pytest.param(
        value("cycles", "of_steam", boiler="5000", feed="250"), 100.0 / 19.0, 1e-9,
        id="and 100/19 % of the steam: algebra",
    ),
    pytest.param(
        units.convert(value("cycles", "blowdown", boiler="5000", feed="250", steam="40000 lb/h"),
                      "kg/h", "lb/h"), 2105.0, 1e-3,
        id="40,000 lb/h at 20 cycles blow down 2105: UFC 3-240-13FN, eq. 7",
    ),
    pytest.param(
        value("course", "constant", now="2", feed="1", steam="1000", blowdown="1000",
              mass="50000"), 50.0, 1e-9,
        id="50 t at 1 t/h are 50 h: arithmetic",
    ),
    pytest.param(
        value("course", "hours", now="3500", wanted="2800", feed="0", steam="0", blowdown="1000",
              mass="10000"), 2.2314, 1e-4,
        id="10 ln(3500/2800) h: the exponential by hand",
    ),
    pytest.param(
        value("blowdown_heat", "heat", blowdown="3600", pressure="898.675 kPag", makeup="15"),
        762.68 - 63.0, 0.002,
        id="1 kg/s at 10 bar: 762.68 less some 63 kJ/kg: IAPWS-IF97",
    ),
    pytest.param(
        value("drain_and_fill", "part", now="3500", wanted="3000", feed="1000", mass="8000"),
        20.0, 1e-9,
        id="500 of 2500: a fifth of the water: arithmetic",
    ),
    pytest.param(
        value("dose", "phosphate", chemical="tsp_crystals", rise="180", mass="1000"), 180.0, 1e-9,
        id="the dose raises what was asked for",
    ),
    pytest.param(
        value("dose", "dose", chemical="tsp_crystals", rise="180", mass="3785.41")
        / 0.0283495, 95.0 * 1.0, 0.02,
        id="0.095 oz/gal raises 180 ppm, rounded as printed: NAVEDTRA 14075, Table 7-4",
    ),
    pytest.param(
        value("expressed_as", "times", amount="1", given="P", wanted="PO4"), 3.066, 1e-3,
        id="PO4 is 3.066 times P: IUPAC weights",
    ),
    pytest.param(
        value("ph_at_25", "ph_25", ph="10.55", temperature="40"), 11.0, 0.002,
        id="pH 11.0 reads about 10.55 at 40 °C: engine's trial against PHREEQC",
    ),
    pytest.param(
        value("ph_by_base", "needed", ph="10", PO4="94.97"), 84.4, 0.01,
        id="1 mmol of phosphoric acid takes 2.11 mmol of caustic to pH 10: PHREEQC 3.8.6",
    ),
    pytest.param(
        value("ph_by_base", "needed", ph="7", Na="22.99"), 36.46, 0.001,
        id="1 mmol of caustic takes 1 mmol of acid, 36.46 mg: stoichiometry",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("found", "expected", "within"), CASES)
def test_against_figures_from_outside(found, expected, within):
    assert found == pytest.approx(expected, rel=within)


def test_each_question_has_a_case():
    text = Path(__file__).read_text(encoding="utf-8")
    assert {
        key for key in EVERY if f'("{key}", "' not in text and f'("{key}", ' not in text
    } == set()


@pytest.mark.parametrize("key", EVERY)
def test_its_example_is_worked(key):
    calculation = calculations.get(key)
    found = calculation.found(calculation.read(calculation.example, {}))
    assert found.answers
    for each in found.answers:
        assert float(each.text(each.value)) == pytest.approx(each.value, rel=0.06, abs=0.006)
        for unit in each.units:
            back = units.convert(float(each.text(each.value, unit)), unit, each.unit)
            assert back == pytest.approx(each.value, rel=0.06, abs=0.006)
        assert not each.units or each.units[0] == each.unit or each.unit in each.units
    for template, params in found.remarks:
        assert "%(" not in template % params


@pytest.mark.parametrize("key", EVERY)
def test_its_sources_have_a_row(key):
    rows = {line.split("|")[1].strip() for line in SOURCES.read_text("utf-8").splitlines()
            if line.startswith("| ")}  # fmt: skip
    assert calculations.get(key).sources and set(calculations.get(key).sources) <= rows
    assert calculations.get(key).subject in SUBJECTS


def test_the_ranges_are_those_typed_a_second_time():
    with RANGES.open(encoding="utf-8", newline="") as file:
        typed = [tuple(row) for row in csv.reader(file)][1:]
    found = [
        (each.key, f.key, f.unit, "" if f.low is None else f"{f.low:g}",
         "" if f.high is None else f"{f.high:g}", f.default)
        for each in calculations.CALCULATIONS.values()
        for f in each.fields
    ]  # fmt: skip
    assert sorted(found) == sorted(typed)


@pytest.mark.parametrize("key", EVERY)
@as_many_as(25)
@given(data=st.data())
def test_arbitrary_text_is_answered_or_refused(key, data):
    calculation = calculations.get(key)
    texts = {each.key: st.just(calculation.example.get(each.key, "")) | TEXT
             for each in calculation.fields}  # fmt: skip
    entry = calculation.read(data.draw(st.fixed_dictionaries(texts)), {})
    try:
        found = calculation.found(entry)
    except ChemistryError as error:
        assert str(error)
        return
    for each in found.answers:
        assert float(each.text(each.value)) == float(each.text(each.value)), "no number"


def test_a_figure_is_shown_with_the_digits_that_mean_something():
    assert Answer("a", "", 1234.5678, digits=4).text(1234.5678) == "1235"
    assert Answer("a", "", -0.001, decimals=2).text(-0.001) == "0.00"
    assert Answer("a", "", 25.0, "degC", ("degC", "degF")).text(25.0, "degF") == "77"


def test_a_share_is_typed_with_its_sign():
    found = answers("dose", rise="40", mass="10000", strength="50 %")
    assert found["dose"].value == pytest.approx(
        2.0 * value("dose", "dose", rise="40", mass="10000")
    )


@pytest.mark.parametrize(
    ("key", "typed", "field", "code"),
    [
        ("dissolved_solids", {"reading": "1000", "kind": "own"}, "factor", "missing"),
        ("course", {"now": "2", "feed": "1", "steam": "5", "blowdown": "0", "mass": "9"},
         "blowdown", "no_blowdown"),
        ("cycles", {"boiler": "abc", "feed": "250"}, "boiler", "not_a_number"),
        ("composition", {"Na": "-1"}, "Na", "impossible"),
        ("composition", {"temperature": "80"}, "temperature", "impossible"),
    ],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field(key, typed, field, code):
    calculation = calculations.get(key)
    with pytest.raises(EntryError) as caught:
        calculation.found(calculation.read(typed, {}))
    assert (caught.value.field, caught.value.code) == (field, code)


@pytest.mark.parametrize(
    ("key", "typed", "told"),
    [
        ("steam_silica", {"SiO2": "1", "pressure": "100 psig"}, "2800"),
        ("sodium_to_phosphate", {"ph": "9.8", "PO4": "0.1"}, "0.5"),
        ("sodium_to_phosphate", {"ph": "10", "PO4": "2", "SiO2": "50"}, ""),
        ("cycles", {"boiler": "100", "feed": "250"}, ""),
        ("expressed_as", {"amount": "1", "given": "P", "wanted": "Si"}, "Si"),
        ("ph_of_conductivities", {"specific": "0.2", "cation": "5"}, ""),
    ],
)
def test_what_cannot_be_answered_is_refused_in_words(key, typed, told):
    calculation = calculations.get(key)
    with pytest.raises(ChemistryError) as caught:
        calculation.found(calculation.read(typed, {}))
    assert told in str(caught.value) and len(str(caught.value)) > 20


def test_the_formula_gives_way_where_it_does_not_hold():
    calculation = calculations.get("ph_of_conductivities")
    found = calculation.found(
        calculation.read({"specific": "99", "cation": "1", "alkali": "Na"}, {})
    )
    assert "ph_formula" not in {each.key for each in found.answers} and found.remarks


@pytest.mark.parametrize(
    ("measured", "said"),
    [("124", "within a tenth"), ("240", "times the reading")],
)
def test_an_analysis_is_held_against_its_conductivity(measured, said):
    calculation = calculations.get("full_analysis")
    typed = {"ph": "7.0", "Na": "22.99", "Cl": "35.45", "measured": measured}
    remarks = [t % p for t, p in calculation.found(calculation.read(typed, {})).remarks]
    assert any(said in each for each in remarks)


def test_an_analysis_that_does_not_even_out_says_what_is_lacking():
    calculation = calculations.get("full_analysis")
    typed = {"ph": "7.0", "Na": "22.99", "Cl": "53.2"}
    remarks = [t % p for t, p in calculation.found(calculation.read(typed, {})).remarks]
    assert "About 11 mg/kg of Na" in remarks[0] or "About 12 mg/kg of Na" in remarks[0]


def test_acid_is_never_advised_for_a_boiler():
    calculation = calculations.get("ph_by_base")
    found = calculation.found(calculation.read({"ph": "7", "Na": "22.99"}, {}))
    assert "Never put acid into a boiler" in found.remarks[0][0]


def test_an_unknown_question():
    with pytest.raises(EntryError, match="is known here") as caught:
        calculations.get("x" * 60)
    assert caught.value.code == "unknown_calculation"
    assert caught.value.params == {"key": "x" * 40}
