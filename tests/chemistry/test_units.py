"""Conversions. Exact definitions: international foot and pound (1959); factors of NIST SP 811
(2008)."""

import pytest

from chemistry import units
from chemistry.errors import EntryError


@pytest.mark.parametrize(
    ("value", "src", "dst", "expected"),
    [
        (1.23, "mS/cm", "uS/cm", 1230.0),
        (1230.0, "umho/cm", "uS/cm", 1230.0),
        (212.0, "degF", "degC", 100.0),
        (77.0, "degF", "degC", 25.0),
        (38.0, "degC", "degF", 100.4),
        (1.0, "t/h", "kg/h", 1000.0),
        (1.0, "lb/h", "kg/h", 0.45359237),
        (1.0, "psi", "kPa", 6.894757293168361),
        (1.0, "US_liquid_gallon", "L", 3.785411784),
        (1.0, "bar", "kPa", 100.0),
        (1.9, "%/K", "1/K", 0.019),
        (1.0, "mg/kg", "ug/kg", 1000.0),
        (1.0, "psig", "kPag", 6.894757293168361),
        (1.0, "barg", "kPag", 100.0),
        (1.0, "epm", "meq/L", 1.0),
        (1.0, "gpg", "mg_CaCO3/L", 64.79891 / 3.785411784),
        (1.0, "fH", "mg_CaCO3/L", 10.0),
    ],
)
def test_it_converts_exactly(value, src, dst, expected):
    assert units.convert(value, src, dst) == pytest.approx(expected, rel=1e-14)
    assert units.convert(expected, dst, src) == pytest.approx(value, rel=1e-13)


def test_a_milli_reading_becomes_a_round_micro_reading():
    assert units.convert(1.23, "mS/cm", "uS/cm") == 1230.0
    assert units.convert(77.0, "degF", "degC") == 25.0


def test_a_temperature_step_has_no_offset():
    assert units.convert_step(1.8, "degF", "degC") == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("µS/cm", "uS/cm"),
        ("μS/cm", "uS/cm"),
        ("uS/cm", "uS/cm"),
        ("µmho/cm", "umho/cm"),
        ("micromhos", "umho/cm"),
        ("mS/cm", "mS/cm"),
        ("°C", "degC"),
        ("℃", "degC"),
        ("° F", "degF"),
        ("f", "degF"),
        ("%/°C", "%/K"),
        ("lb/hr", "lb/h"),
        ("PSIG", "psig"),
        ("cm-1", "1/cm"),
    ],
)
def test_it_reads_units_as_people_write_them(written, key):
    assert units.unit_key(written) == key
    assert units.label(key)


def test_a_unit_longer_than_a_record_holds_is_not_known():
    """Rule of our own: sixteen characters."""
    assert units.unit_key("milligram/minute") == "milligram/minute"
    with pytest.raises(EntryError) as caught:
        units.unit_key("milligram/minutes")
    assert caught.value.code == "unknown_unit"


def test_millisiemens_is_not_megasiemens():
    with pytest.raises(EntryError):
        units.convert(1.0, units.unit_key("MS/cm"), "kg")
    assert units.convert(1.0, units.unit_key("mS/cm"), "uS/cm") == 1000.0
    assert units.convert(1.0, units.unit_key("S/m"), "uS/cm") == pytest.approx(1e4)


def test_every_label_belongs_to_a_unit_that_pint_reads():
    for key in units.LABELS:
        assert units.same_dimension(key, key)


def test_gauge_and_absolute_pressure_never_mix():
    with pytest.raises(EntryError) as caught:
        units.convert(100.0, "psig", "kPa")
    assert caught.value.code == "wrong_dimension"
    assert units.gauge_kpa(100.0, "psi") == units.gauge_kpa(100.0, "psig")
    assert units.gauge_kpa(100.0, "psig") == pytest.approx(689.4757293)
    # check values: 150 psig is 1.135539 MPa absolute (14.696 psi taken for the atmosphere)
    assert units.absolute_kpa(units.gauge_kpa(150.0, "psig")) == pytest.approx(1135.539, abs=1e-3)


def test_a_german_degree_is_ten_milligrams_of_lime_a_liter():
    """IUPAC (2021) weights: CaCO3 100.087, CaO 56.077."""
    found = units.convert(1.0, "dH", "mg_CaCO3/L")
    assert found == pytest.approx(10.0 * 100.087 / 56.077, rel=1e-5)
