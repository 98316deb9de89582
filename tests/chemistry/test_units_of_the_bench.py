"""Units that the bench tests and plant readings brought along."""

import pytest

from chemistry import units
from chemistry.entry import parse_reading
from chemistry.errors import EntryError


@pytest.mark.parametrize(
    ("value", "src", "dst", "expected"),
    [
        # NIST SP 811 (2008), Appendix B, published: inch, foot, US gallon, pound
        (1.0, "inch", "mm", 25.4),
        (1.0, "ft", "m", 0.3048),
        (1.0, "gal/min", "L/h", 227.12470704),
        (1.0, "kgal", "m**3", 3.785411784),
        (1.0, "klb/h", "kg/h", 453.59237),
        (1.0, "klb", "kg", 453.59237),
        (1.0, "m**3/h", "L/min", 1000.0 / 60.0),
        (1.0, "mg/L", "ug/L", 1000.0),
        (1.0, "mg/L/absorbance", "ug/L/absorbance", 1000.0),
        (1.0, "gal/h", "L/h", 3.785411784),
        (1.0, "min", "s", 60.0),
        (1.0, "L", "mL", 1000.0),
    ],
)
def test_it_converts_exactly(value, src, dst, expected):
    assert units.convert(value, src, dst) == pytest.approx(expected, rel=1e-13)
    assert units.convert(expected, dst, src) == pytest.approx(value, rel=1e-13)


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("mg/l", "mg/L"),
        ("µg/L", "ug/L"),
        ("%", "percent_of_span"),
        ("turns", "valve_turn"),
        ("x", "times"),
        ("×", "times"),
        ("Abs", "absorbance"),
        ("GPM", "gal/min"),
        ("m³/h", "m**3/h"),
        ("ml", "mL"),
        ("in", "inch"),
        ("klbs/h", "klb/h"),
    ],
)
def test_it_reads_units_as_people_write_them(written, key):
    assert units.unit_key(written) == key


def test_every_key_with_a_label_is_a_unit():
    for key in units.LABELS:
        assert units.same_dimension(key, key) and units.convert(1.0, key, key) == 1.0
        assert units.unit_key(key) == key and len(key) <= 16


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("times", "absorbance"),
        ("percent_of_span", "mg/kg"),
        ("times", "mg/kg"),
        ("valve_turn", "times"),
        ("mg/L", "mg/kg"),
    ],
)
def test_unlike_shares_are_not_converted(one, other):
    with pytest.raises(EntryError) as caught:
        units.convert(1.0, one, other)
    assert caught.value.code == "wrong_dimension"


@pytest.mark.parametrize(
    ("text", "offered", "unit"),
    [
        ("40 ppm", ("mg/L", "ug/L"), "mg/L"),
        ("7 ppb", ("ug/L",), "ug/L"),
        ("7 PPB", ("mg/L",), "ug/L"),
        ("40 ppm", ("mg/kg",), "mg/kg"),
    ],
)
def test_ppm_is_what_the_field_measures(text, offered, unit):
    """Common practice, no source: a bench test measures out a volume."""
    assert parse_reading(text, unit=offered[0], units=offered).unit == unit


def test_a_mass_fraction_never_becomes_a_concentration():
    with pytest.raises(EntryError) as caught:
        parse_reading("40 mg/kg", unit="mg/L", units=("mg/L",))
    assert caught.value.code == "wrong_dimension"
