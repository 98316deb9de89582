"""The conductivity test: reading, refusing, working, and its budget."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry import methods
from chemistry.conductivity import natural_water_factor
from chemistry.conductivity_budget import Sensitivity, budget
from chemistry.errors import EntryError
from chemistry.methods.base import InstrumentFacts
from tests.golden import golden

METHOD = methods.get("conductivity", "1")
DEFAULTS = InstrumentFacts()


def work(mode, facts=DEFAULTS, units=None, **typed):
    entry = METHOD.read(mode, typed, units or {})
    assert not entry.errors, {key: str(error) for key, error in entry.errors.items()}
    return METHOD.work(mode, entry, facts)[0]


def errors(mode, units=None, **typed):
    return {key: error.code for key, error in METHOD.read(mode, typed, units or {}).errors.items()}


@pytest.mark.parametrize("row", golden("method_conductivity_1"), ids=lambda row: row["name"])
def test_version_1_gives_the_same_text_for_ever(row):
    """Pinned: computed by version 1 itself."""
    asked = {field.key for field in METHOD.mode(row["mode"]).fields}
    found = work(row["mode"], **{key: row[key] for key in asked})
    assert (found.value_text, found.expanded_text) == (row["value_text"], row["expanded_text"])
    assert (found.unit, found.basis.text) == ("uS/cm", row["basis"])


def test_a_worked_example_after_jcgm_100():
    """Recomputed by hand from JCGM 100:2008, 5.1.2 and 4.3.7. Instrument figures: stated defaults.

    900 µS/cm (last digit 1) at 20.0 °C (last digit 0.1), straight line with 1.9 %/°C:
    kappa25 = 900 / (1 - 0.095) = 994.475; its relative slope is 0.019 / 0.905 per °C.
    """
    found = work("uncompensated", reading="900", temperature="20.0", coefficient="1.9")
    kappa = 900.0 / 0.905
    root3 = math.sqrt(3.0)
    by_hand = {
        "meter": kappa * 0.01 / root3,  # 5.74
        "cell constant": kappa * 0.01,  # 9.94
        "last digit of the reading": 0.5 / 0.905 / root3,  # 0.32
        "repeatability": kappa * 0.005,  # 4.97
        "thermometer": kappa * 0.019 / 0.905 * 0.5 / root3,  # 6.03
        "last digit of the temperature": kappa * 0.019 / 0.905 * 0.05 / root3,  # 0.60
        "temperature coefficient": kappa * 5.0 * 0.002 / 0.905 / root3,  # 6.34
    }
    assert found.value == pytest.approx(994.475, abs=5e-4)
    assert {part.name: part.u for part in found.budget.components} == pytest.approx(by_hand)
    # squares by hand: 32.97 + 98.90 + 0.10 + 24.72 + 36.33 + 0.36 + 40.25 = 233.63
    assert found.budget.combined == pytest.approx(math.sqrt(233.63), abs=5e-3)
    assert found.budget.coverage == pytest.approx(2.0, abs=5e-4)
    assert (found.value_text, found.expanded_text) == ("994", "31")
    # the meter and the cell do not average out over repeats
    assert found.budget.u_random == pytest.approx(
        math.sqrt(0.319**2 + 4.972**2 + 0.603**2), abs=5e-3
    )


def test_sensitivities_agree_with_finite_differences():
    """The thermometer's and coefficient's parts are the change that one step really makes."""
    typed = {"reading": "900", "temperature": "20.0", "coefficient": "1.9"}
    here = work("uncompensated", **typed)
    warmer = work("uncompensated", **{**typed, "temperature": "20.01"})
    parts = {part.name: part.u for part in here.budget.components}
    per_k = abs(warmer.value - here.value) / 0.01
    assert parts["thermometer"] * math.sqrt(3.0) / 0.5 == pytest.approx(per_k, rel=1e-3)
    steeper = work("uncompensated", **{**typed, "coefficient": "1.91"})
    per_tenth_promille = abs(steeper.value - here.value)
    found = parts["temperature coefficient"] * math.sqrt(3.0) / 20.0
    assert found == pytest.approx(per_tenth_promille, rel=1e-3)


def test_the_kcl_standard_is_found_within_its_uncertainty():
    """CRC p. 5-73, published: 0.01 m KCl reads 1273.03 at 20 °C and 1408.23 at 25 °C."""
    found = work("uncompensated", reading="1273.03", temperature="20", coefficient="1.9")
    assert abs(found.value - 1408.23) < found.budget.expanded
    assert found.value == pytest.approx(1408.23, rel=2e-3)


KCL_READINGS = [
    (strength, row["temp_c"], row[strength])
    for strength in ("m001", "m01", "m1")
    for row in golden("kcl_conductivity")
    if row[strength]
]


@pytest.mark.parametrize(("strength", "temp_c", "reading"), KCL_READINGS)
def test_kcl_from_0_to_50_degrees_is_found_within_its_uncertainty(strength, temp_c, reading):
    """CRC p. 5-73, published: 0.01, 0.1 and 1 m KCl come to their own value at 25 °C within the
    uncertainty that the straight line states; that is at most 12 %."""
    at_25 = next(float(r[strength]) for r in golden("kcl_conductivity") if r["temp_c"] == "25")
    found = work("uncompensated", reading=reading, temperature=temp_c, coefficient="1.9")
    assert abs(found.value - at_25) < found.budget.expanded < 0.12 * found.value


def test_natural_water_rule_uses_the_factor():
    """ISO 7888:1985 (from memory): f25 is 1.428 at 10 °C."""
    found = work("uncompensated", reading="100", temperature="10", rule="natural_water")
    assert found.value == pytest.approx(142.8, abs=1e-9)


def test_the_cell_constant_multiplies_the_reading():
    plain = work("automatic", reading="123.0", temperature="25.0")
    assert (
        work("automatic", reading="123.0", temperature="25.0", cell_constant="10").value == 1230.0
    )
    assert plain.value == 123.0


def test_neutralized_samples_have_a_basis_of_their_own():
    found = work("automatic", reading="900", temperature="25", neutralized="yes")
    assert found.basis.text == "25C|neutralized|"


def test_units_on_the_dial_are_understood():
    found = work(
        "automatic",
        units={"reading": "mS/cm", "temperature": "degF"},
        reading="1.230",
        temperature="77",
    )
    assert found.value == 1230.0
    assert work("automatic", reading="1230 µmho/cm", temperature="77 °F").value == 1230.0


def test_a_reading_keeps_what_was_typed():
    entry = METHOD.read(
        "automatic",
        {"reading": " 1.230 ", "temperature": "77"},
        {"reading": "mS/cm", "temperature": "degF"},
    )
    reading = entry.readings["reading"]
    assert (reading.typed, reading.normalized, reading.unit) == (" 1.230 ", "1.230", "mS/cm")
    assert (reading.value, reading.resolution) == (1230.0, pytest.approx(1.0))
    default = entry.readings["cell_constant"]
    assert (default.typed, default.normalized) == ("", "1")


def test_a_default_is_not_read_in_the_selected_unit():
    found = METHOD.read(
        "automatic", {"reading": "1", "temperature": "25"}, {"cell_constant": "degC"}
    )
    assert found.readings["cell_constant"].value == 1.0


def test_known_instruments_replace_the_defaults():
    better = InstrumentFacts(
        accuracy_percent=0.5, cell_constant_u_percent=0.2, thermometer_u_k=0.05
    )
    typed = {"reading": "900", "temperature": "20.0", "coefficient": "1.9"}
    assert (
        work("uncompensated", better, **typed).budget.expanded
        < work("uncompensated", **typed).budget.expanded
    )
    part = {each.name: each.u for each in work("uncompensated", better, **typed).budget.components}
    assert part["thermometer"] == pytest.approx(900 / 0.905 * 0.019 / 0.905 * 0.05)
    assert part["cell constant"] == pytest.approx(900 / 0.905 * 0.002)


@pytest.mark.parametrize(
    ("typed", "where", "code"),
    [
        ({"reading": "abc", "temperature": "25"}, "reading", "not_a_number"),
        ({"reading": "1,230", "temperature": "25"}, "reading", "ambiguous_comma"),
        ({"reading": "", "temperature": "25"}, "reading", "missing"),
        ({"reading": "0", "temperature": "25"}, "reading", "impossible"),
        ({"reading": "-5", "temperature": "25"}, "reading", "impossible"),
        ({"reading": "200001", "temperature": "25"}, "reading", "impossible"),
        ({"reading": "25 °C", "temperature": "25"}, "reading", "wrong_dimension"),
        ({"reading": "1230", "temperature": "-5"}, "temperature", "impossible"),
        ({"reading": "1230", "temperature": "61"}, "temperature", "impossible"),
        ({"reading": "1230", "temperature": "150 °F"}, "temperature", "impossible"),
        (
            {"reading": "1230", "temperature": "25", "cell_constant": "0"},
            "cell_constant",
            "impossible",
        ),
        ({"reading": "1230", "temperature": "25", "coefficient": "0"}, "coefficient", "impossible"),
        (
            {"reading": "1230", "temperature": "25", "neutralized": "maybe"},
            "neutralized",
            "not_a_choice",
        ),
    ],
)
def test_bad_input_stands_beside_its_field(typed, where, code):
    assert errors("automatic", **typed) == {where: code}


def test_a_scalding_sample_is_refused_in_words():
    error = METHOD.read("automatic", {"reading": "1", "temperature": "180 °F"}, {}).errors[
        "temperature"
    ]
    assert error.field == "temperature"
    assert "scald" in str(error) and "180" in str(error)


@pytest.mark.parametrize(
    ("dial", "refused"), [("25.0", False), ("27.0", False), ("27.01", True), ("22.99", True)]
)
def test_a_knob_off_by_more_than_2_degrees_asks_for_a_new_reading(dial, refused):
    entry = METHOD.read("set_on_meter", {"reading": "900", "temperature": "25.0", "dial": dial}, {})
    if not refused:
        assert METHOD.work("set_on_meter", entry, DEFAULTS)[0].value == 900.0
        return
    with pytest.raises(EntryError) as caught:
        METHOD.work("set_on_meter", entry, DEFAULTS)
    assert (caught.value.field, caught.value.code) == ("dial", "dial_differs")


def test_a_small_difference_of_the_knob_widens_the_uncertainty():
    typed = {"reading": "900", "temperature": "25.0"}
    right = work("set_on_meter", dial="25.0", **typed)
    off = work("set_on_meter", dial="26.5", **typed)
    assert off.budget.expanded > right.budget.expanded
    assert any("knob" in template for template, _ in off.notes)


def test_an_unknown_meter_coefficient_is_noted_and_less_sure():
    known = work("automatic", reading="900", temperature="30.0", coefficient="1.9")
    unknown = work("automatic", reading="900", temperature="30.0")
    assert unknown.budget.expanded > known.budget.expanded
    assert any("coefficient is not known" in template for template, _ in unknown.notes)


def test_a_warm_sample_is_worked_with_a_caution():
    assert any("38" in note for note, _ in work("automatic", reading="9", temperature="39").notes)
    notes = work("automatic", reading="9", temperature="38").notes
    assert not any("scald" in note for note, _ in notes)


def test_natural_water_beyond_its_range_stands_beside_the_temperature():
    entry = METHOD.read(
        "uncompensated", {"reading": "9", "temperature": "36", "rule": "natural_water"}, {}
    )
    with pytest.raises(EntryError) as caught:
        METHOD.work("uncompensated", entry, DEFAULTS)
    assert caught.value.field == "temperature"


def test_trouble_in_the_entry_is_not_worked():
    entry = METHOD.read("automatic", {"reading": "abc"}, {})
    assert set(entry.errors) == {"reading", "temperature"}
    with pytest.raises(EntryError):
        METHOD.work("automatic", entry, DEFAULTS)


def test_unknown_modes_and_methods_are_refused():
    assert errors("by_taste") == {"mode": "unknown_mode"}
    for call in (lambda: methods.latest("taste"), lambda: methods.get("conductivity", "0")):
        with pytest.raises(EntryError):
            call()
    assert methods.latest("conductivity") is METHOD


@given(
    st.sampled_from([mode.key for mode in METHOD.modes]),
    st.dictionaries(
        st.sampled_from([field.key for mode in METHOD.modes for field in mode.fields]),
        st.text(max_size=30)
        | st.sampled_from(["25", "1230", "1.9", "linear", "natural_water", "no", "1e-3"]),
    ),
    st.dictionaries(st.sampled_from(["reading", "temperature"]), st.text(max_size=8)),
)
def test_arbitrary_text_is_worked_or_refused(mode, typed, units):
    entry = METHOD.read(mode, typed, units)
    assert all(str(error) and error.field == key for key, error in entry.errors.items())
    try:
        found = METHOD.work(mode, entry, DEFAULTS)[0]
    except EntryError as error:
        assert error.field
    else:
        assert math.isfinite(found.value) and found.value_text and float(found.expanded_text) > 0.0
        assert all(template % params for template, params in found.notes)


def test_cautions_stand_among_the_steps():
    cautions = " ".join(step.text for step in METHOD.steps if step.caution)
    assert "scald" in cautions and "scrub" in cautions
    assert METHOD.sample_ml == 200.0


def test_the_natural_water_budget_by_hand():
    """f25 is 1.428 at 10 °C; ± 0.001 in it is ± 0.1 µS/cm of 142.8 (JCGM 100:2008, 4.3.7)."""
    found = work("uncompensated", reading="100", temperature="10", rule="natural_water")
    parts = {part.name: part.u for part in found.budget.components}
    assert parts["natural-water factor"] == pytest.approx(0.1 / math.sqrt(3.0))
    # slope of f25 at 10 °C: between 1.428 at 10 and the neighbors 1.643 at 5 and 1.256 at 15
    per_k = parts["thermometer"] * math.sqrt(3.0) / 0.5
    assert 100.0 * (1.428 - 1.256) / 5.0 < per_k < 100.0 * (1.643 - 1.428) / 5.0
    # taken over the degree from half below to half above
    over_a_degree = natural_water_factor(9.5) - natural_water_factor(10.5)
    assert per_k == pytest.approx(100.0 * over_a_degree, rel=1e-9)


def test_the_purest_water_keeps_its_whole_budget():
    """Pure water at 25 °C shows 0.055 µS/cm (IAPWS G1-90, calculated): its parts are small, and
    none of them is dropped but those that are nothing at 25 °C."""
    found = work("automatic", reading="0.055", temperature="25.0", coefficient="2.0")
    assert {part.name: part.u for part in found.budget.components} == pytest.approx(
        {
            "meter": 0.055 * 0.01 / math.sqrt(3.0),
            "cell constant": 0.055 * 0.01,
            "last digit of the reading": 0.0005 / math.sqrt(3.0),
            "repeatability": 0.055 * 0.005,
            "thermometer": 0.055 * 0.02 * 0.5 / math.sqrt(3.0),
            "last digit of the temperature": 0.055 * 0.02 * 0.05 / math.sqrt(3.0),
        }
    )


def test_what_is_not_stated_adds_nothing():
    """Only what depends on a temperature of 30 °C or on the reading stands in the budget."""
    at = Sensitivity(1000.0, 0.5, temp_c=30.0, temp_resolution=0.1, slope_per_k=0.019)
    names = {part.name for part in budget(at).components}
    assert "thermometer" in names
    assert not names & {"temperature coefficient", "temperature set on the meter"}
    assert "natural-water factor" not in names


@pytest.mark.parametrize(("temperature", "noted"), [("38.0", False), ("38.1", True)])
def test_the_caution_begins_above_38_degrees(temperature, noted):
    """Common practice, no source: sample at most 38 °C."""
    notes = work("automatic", reading="9", temperature=temperature).notes
    assert any("can scald" in note for note, _ in notes) is noted
