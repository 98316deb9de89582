"""The stop branch: what is found before any optimum, and what is not mistaken for it."""

from dataclasses import replace

import pytest

from chemistry import stop_words
from chemistry.stop_branch import Seen, StopSample, findings
from chemistry.verdict import Side

PH = Seen(value=10.8, expanded=0.1, side=Side.IN_RANGE, low=10.3, high=12.0)
SOFT = Seen(value=0.2, expanded=0.3, side=Side.IN_RANGE, high=0.3)


def codes(kind: str = "boiler_water", state: str = "steaming", **more: object) -> list[str]:
    look, alkali = more.pop("appearance", ""), more.pop("expects_alkali", False)
    sample = StopSample(
        kind=kind, state=state, results=more, appearance=look, expects_alkali=alkali
    )
    return [found.code for found in findings(sample)]


def drawn(*values: float, expanded: float = 0.1) -> tuple[tuple[float, float], ...]:
    return tuple((value, expanded) for value in values)


@pytest.mark.parametrize(
    ("value", "side", "code"),
    [
        pytest.param(10.3, Side.IN_RANGE, [], id="on the limit is in range"),
        pytest.param(10.2, Side.LOW, ["low_ph"], id="below its limit"),
        pytest.param(8.31, Side.NOT_JUDGED, [], id="no limit, just above the P end point"),
        pytest.param(8.3, Side.NOT_JUDGED, ["acid"], id="at the P end point, IUPAC 09038"),
        pytest.param(8.3, Side.LOW, ["acid"], id="acid says more than low"),
        pytest.param(8.0, Side.LOW, ["acid"], id="still 8"),
        pytest.param(7.99, Side.LOW, ["acid_shutdown"], id="below 8, EPRI, from memory"),
    ],
)
def test_boiler_ph(value, side, code):
    assert codes(ph=replace(PH, value=value, side=side)) == code


def test_ph_of_other_water_is_not_the_boilers():
    assert codes(kind="condensate", ph=replace(PH, value=7.0, side=Side.LOW)) == []


@pytest.mark.parametrize(
    ("before", "now", "expanded", "found"),
    [
        pytest.param((11.2, 11.0), 10.9, 0.1, True, id="draw by draw, 0.3 in all"),
        pytest.param((11.2, 11.0), 10.95, 0.1, False, id="less than counts: rule of our own"),
        pytest.param((11.2, 11.0), 10.9000004, 0.1, True, id="0.3 to a millionth: rule of our own"),
        pytest.param((11.2, 11.0), 10.9000006, 0.1, False, id="a millionth less"),
        pytest.param((11.2, 10.8), 10.9, 0.1, False, id="down and up again"),
        pytest.param((11.2,), 10.7, 0.1, False, id="two draws are no trend"),
        pytest.param((11.2, 11.0), 10.8, 0.3, False, id="within what the tests can tell"),
        pytest.param((10.9, 11.2, 11.0), 10.8, 0.1, True, id="the last three count"),
    ],
)
def test_falling_ph_in_range(before, now, expanded, found):
    ph = replace(PH, value=now, expanded=expanded, before=drawn(*before, expanded=expanded))
    assert codes(ph=ph) == (["falling_ph"] if found else [])


def test_ph_that_is_low_is_not_told_twice():
    ph = replace(PH, value=10.0, side=Side.LOW, before=drawn(11.0, 10.5))
    assert codes(ph=ph) == ["low_ph"]


@pytest.mark.parametrize("analyte", ["p_alkalinity", "hydroxide_alkalinity"])
def test_no_alkalinity_where_some_is_expected_is_acid(analyte):
    none = Seen(value=2.0, expanded=5.0, side=Side.LOW, low=100.0)
    assert codes(expects_alkali=True, **{analyte: none}) == ["acid"]
    assert codes(**{analyte: none}) == []
    some = replace(none, value=6.0)
    assert codes(expects_alkali=True, **{analyte: some}) == []


def test_no_hydroxide_is_not_acid_where_none_is_asked_for_or_p_is_there():
    """A coordinated program holds no free caustic: common practice, no source. Water with P lies
    above pH 8.3 (IUPAC Gold Book, 09038, published), so it isn't acid."""
    none = Seen(value=0.0, expanded=3.0)
    assert codes(expects_alkali=True, hydroxide_alkalinity=none, ph=PH) == []
    asked, p = replace(none, low=100.0, side=Side.LOW), Seen(value=150.0, expanded=5.0)
    assert codes(expects_alkali=True, hydroxide_alkalinity=asked, p_alkalinity=p) == []
    assert codes(
        expects_alkali=True, hydroxide_alkalinity=asked, p_alkalinity=replace(p, value=4.0)
    ) == ["acid"]


@pytest.mark.parametrize("analyte", ["p_alkalinity", "m_alkalinity"])
@pytest.mark.parametrize(
    ("ph", "acid"),
    [
        pytest.param(None, True, id="no pH beside it"),
        pytest.param(9.3, False, id="pH 9.3 needs 1.0 mg/L"),
        pytest.param(9.7, False, id="pH 9.7 needs 2.5 mg/L"),
        pytest.param(9.8, True, id="pH 9.8 needs 3.2 mg/L: one of the two is wrong"),
        pytest.param(10.8, True, id="pH 10.8 needs 32 mg/L"),
    ],
)
def test_alkalinity_too_small_to_see_is_no_acid_where_the_ph_needs_no_more(analyte, ph, acid):
    """50.04 mg/L as CaCO3 at pH 11 by pKw 14.0, computed by hand; the titration finds 1 ± 2."""
    beside = {} if ph is None else {"ph": replace(PH, value=ph)}
    small = {analyte: Seen(value=1.0, expanded=2.0)}
    assert codes(expects_alkali=True, **small, **beside) == (["acid"] if acid else [])
    missed = {analyte: Seen(value=1.0, expanded=2.0, side=Side.LOW, low=5.0)}
    assert codes(expects_alkali=True, **missed, **beside) == ["acid"]
    if ph is not None:
        low = {"ph": replace(PH, value=ph, side=Side.LOW)}
        assert codes(expects_alkali=True, **small, **low) == ["acid", "low_ph"]


def test_no_alkalinity_at_all_is_acid_anywhere():
    assert codes(m_alkalinity=Seen(value=0.0, expanded=4.0)) == ["acid"]


@pytest.mark.parametrize(
    ("kind", "seen", "found"),
    [
        pytest.param("makeup", replace(SOFT, value=3.0, side=Side.HIGH), True, id="softener"),
        pytest.param("feedwater", replace(SOFT, value=3.0, side=Side.HIGH), True, id="over limit"),
        pytest.param("feedwater", SOFT, False, id="within its limit"),
        pytest.param("makeup", Seen(value=40.0, expanded=1.0), False, id="raw makeup, no limit"),
        pytest.param("condensate", Seen(value=3.0, expanded=1.0), True, id="no limit, hard"),
        pytest.param("condensate", Seen(value=1.0, expanded=0.5), False, id="EN 12953-10: 1 mg/L"),
        pytest.param("condensate", Seen(value=1.005, expanded=0.5), True, id="more than 1 mg/L"),
        pytest.param("condensate", Seen(value=2.0, expanded=2.0), False, id="not told from zero"),
        pytest.param("boiler_water", Seen(value=5.0, expanded=1.0), False, id="boiler, no limit"),
        pytest.param(
            "boiler_water",
            Seen(value=5.0, expanded=1.0, side=Side.HIGH, high=0.0),
            True,
            id="boiler, where none is allowed",
        ),
        pytest.param("feedwater", Seen(value=5.0, expanded=1.0, qualifier="<"), False, id="bound"),
    ],
)
def test_hardness(kind, seen, found):
    assert codes(kind=kind, total_hardness=seen) == (["hardness"] if found else [])


RISEN = Seen(value=9.0, expanded=0.5, before=drawn(2.0, 2.1, 2.2))
STEADY = Seen(value=2.1, expanded=0.5, before=drawn(2.0, 2.1, 2.2))


@pytest.mark.parametrize(
    ("kind", "results", "found"),
    [
        ("condensate", {"chloride": RISEN, "conductivity": RISEN}, True),
        ("condensate", {"chloride": RISEN}, False),
        ("condensate", {"chloride": RISEN, "conductivity": STEADY}, False),
        ("feedwater", {"chloride": RISEN, "conductivity": replace(RISEN, before=())}, False),
        ("boiler_water", {"chloride": RISEN, "conductivity": RISEN}, False),
        ("makeup", {"chloride": RISEN, "conductivity": RISEN}, False),
    ],
)
def test_sea_or_raw_water_raises_them_together(kind, results, found):
    """A boiler concentrates chloride and conductivity by itself: rule of our own."""
    assert ("raw_water" in codes(kind=kind, **results)) is found


@pytest.mark.parametrize(
    ("value", "before", "found"),
    [
        pytest.param(3.0, (2.0, 2.1, 1.9), False, id="just half as much again"),
        pytest.param(3.01, (2.0, 2.1, 1.9), True, id="more than half as much again"),
        pytest.param(3.01, (2.0, 2.0), True, id="two draws before are enough"),
        pytest.param(3.01, (2.0,), False, id="one is not"),
    ],
)
def test_what_counts_as_risen(value, before, found):
    """Rules of our own."""
    seen = Seen(value=value, expanded=0.1, before=drawn(*before))
    assert ("raw_water" in codes(kind="condensate", chloride=seen, conductivity=seen)) is found


def test_raw_water_in_the_boiler_brings_hardness_along():
    limited = replace(RISEN, side=Side.IN_RANGE, high=50.0)
    found = codes(chloride=RISEN, total_hardness=limited, conductivity=RISEN)
    assert found == ["raw_water"]


@pytest.mark.parametrize("kind", ["boiler_water", "feedwater", "condensate", "makeup"])
def test_oil_is_found_wherever_it_is_seen(kind):
    assert codes(kind=kind, appearance="oil_film") == ["oil"]
    assert codes(kind=kind, appearance="cloudy") == []


@pytest.mark.parametrize("state", ["cleaning", "dry_layup", "out_of_service"])
def test_water_that_is_meant_to_be_odd_says_nothing(state):
    acid = replace(PH, value=3.0, side=Side.LOW)
    assert codes(state=state, ph=acid) == []
    assert codes(state="wet_layup", ph=acid) == ["acid_shutdown"]


def test_the_gravest_comes_first():
    found = codes(ph=replace(PH, value=7.0), total_hardness=replace(SOFT, side=Side.HIGH))
    assert found == ["acid_shutdown", "hardness"]


@pytest.mark.parametrize("code", stop_words.NAMES)
def test_every_finding_says_what_it_means_and_calls_first(code):
    for told in (stop_words.MEANS[code], stop_words.SOURCES[code]):
        assert told
    assert "Call now" in stop_words.FIRST[code][0]
    words = " ".join(stop_words.FIRST[code])
    assert "procedure" in words or code == "falling_ph"
