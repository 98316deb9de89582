"""Silica, iron, scavengers and oxygen: what each adds to the color test."""

import pytest

from chemistry import methods
from chemistry.errors import EntryError
from chemistry.methods.base import InstrumentFacts
from tests.chemistry.workings import parts_of, trouble, work

SILICA = methods.get("silica", "1")
IRON = methods.get("iron", "1")
HYDRAZINE = methods.get("hydrazine", "1")
SCAVENGER = methods.get("scavenger", "1")
OXYGEN = methods.get("oxygen", "1")


def cautions(method) -> str:
    return " ".join(step.text for step in method.steps if step.caution)


def test_silica_shown_as_si_is_converted_when_said():
    """SiO2 is 2.139 times Si: 60.083 / 28.085 (IUPAC atomic weights)."""
    found = work(SILICA, "photometer", reading="10.0", shown_as="Si")
    assert found.value == pytest.approx(21.393, abs=1e-3)
    assert found.basis.words() == ["as SiO2"]


@pytest.mark.parametrize(
    ("prepared", "analyte"),
    [("digested", "iron"), ("filtered", "iron_dissolved"), ("as_drawn", "iron_reactive")],
)
def test_only_digested_iron_is_total_iron(prepared, analyte):
    found = work(IRON, "photometer", reading="0.080", prepared=prepared)
    assert found.analyte == analyte
    assert any("not digested" in note for note, _ in found.notes) is (analyte != "iron")


def test_how_the_iron_was_prepared_must_be_said():
    assert trouble(IRON, "photometer", reading="0.08") == {"prepared": "missing"}


@pytest.mark.parametrize("product", ["deha", "erythorbate", "carbohydrazide", "scavenger"])
def test_other_scavengers_stay_as_displayed(product):
    found = work(SCAVENGER, "photometer", reading="120 ppb", product=product)
    assert (found.analyte, found.unit, found.value) == (product, "ug/L", pytest.approx(120.0))
    assert found.basis.text == "any||displayed"
    assert any("as displayed" in note for note, _ in found.notes)


def test_hydrazine_warns_of_itself():
    """NIOSH page 302-01-2 (1994): carcinogen, skin; UFC 3-240-13FN (2005), 3-2.6.2.2: no longer to
    be used in military plants."""
    said = cautions(HYDRAZINE)
    assert "cancer" in said and "skin" in said and "food" in said and "no longer" in said
    assert "scald" in said


def test_oxygen_is_never_diluted_and_never_touches_air():
    assert "never touch air" in cautions(OXYGEN)
    for mode in OXYGEN.modes:
        assert "dilution" not in {field.key for field in mode.fields}
    found = work(OXYGEN, "comparator", scale="above", standard="100 ppb", temperature="25")
    assert found.qualifier == ">"
    assert any("Don't dilute" in note for note, _ in found.notes)


def test_seven_micrograms_of_oxygen():
    """Published: CRTD-Vol. 34 (1994), Table 1, asks for less than 0.007 ppm in the feed."""
    found = work(OXYGEN, "photometer", reading="7", temperature="25")
    assert (found.value, found.unit) == (7.0, "ug/L")
    assert parts_of(found)["photometer near zero"] == pytest.approx(1.0 / 3.0**0.5)
    assert work(OXYGEN, "photometer", reading="0.007 mg/L", temperature="25").value == 7.0


@pytest.mark.parametrize(
    ("mode", "typed", "where"),
    [
        ("photometer", {"reading": "12 mg/L"}, "reading"),
        ("comparator", {"standard": "12 mg/L", "next_standard": "12.1 mg/L"}, "standard"),
        ("comparator_between", {"lower": "12 mg/L", "upper": "12.1 mg/L"}, "upper"),
        ("absorbance", {"absorbance": "1.000", "factor": "12000"}, "absorbance"),
        ("absorbance", {"scale": "above", "factor": "12000"}, "absorbance"),
        ("photometer", {"scale": "above", "range_high": "12 mg/L"}, "range_high"),
    ],
)
def test_more_oxygen_than_air_gives_is_refused(mode, typed, where):
    """At 25 °C water holds 8.263 mg/L beside air (Benson and Krause 1984)."""
    typed = {"temperature": "25", **typed}
    assert trouble(OXYGEN, mode, **typed) == {where: "more_than_air_gives"}


def test_at_saturation_it_is_still_taken():
    assert work(OXYGEN, "photometer", reading="8263", temperature="25").value == 8263.0
    assert trouble(OXYGEN, "photometer", reading="9600", temperature="25")
    below = work(OXYGEN, "photometer", scale="below", range_low="12 mg/L", temperature="25")
    assert below.qualifier == "<"


@pytest.mark.parametrize(("temperature", "checked"), [("40", True), ("40.1", False)])
def test_above_the_table_the_check_is_said_to_lack(temperature, checked):
    found = work(OXYGEN, "photometer", reading="7", temperature=temperature)
    assert any("not checked" in note for note, _ in found.notes) is not checked
    assert any("can scald" in note for note, _ in found.notes)


def test_a_scalding_oxygen_sample_is_refused():
    assert trouble(OXYGEN, "photometer", reading="7", temperature="61") == {
        "temperature": "impossible"
    }


@pytest.mark.parametrize(
    ("method", "typed", "floor"),
    [
        (SILICA, {}, 0.02),
        (HYDRAZINE, {}, 3.0),
        (SCAVENGER, {"product": "deha"}, 5.0),
        (IRON, {"prepared": "digested"}, 0.005),
        (OXYGEN, {"temperature": "25"}, 1.0),
    ],
)
def test_how_sure_a_photometer_is_near_zero(method, typed, floor):
    """Common practice, no source: limits of error in the unit of the result."""
    found = parts_of(work(method, "photometer", reading="1.0", **typed))
    assert found["photometer near zero"] == pytest.approx(floor / 3.0**0.5)


def test_how_much_oxygen_air_gives_is_said():
    """8.263 mg/L at 25 °C: Benson and Krause (1984), as the table of Standard Methods has it."""
    typed = {"temperature": "25", "reading": "12000"}
    with pytest.raises(EntryError, match="at most 8263 µg/L"):
        OXYGEN.work("photometer", OXYGEN.read("photometer", typed, {}), InstrumentFacts())
