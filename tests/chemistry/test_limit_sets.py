"""How a line of a limit set is found, and what may be put in force from it."""

import pytest

from chemistry.errors import ChemistryError
from tests.chemistry.shipped_sets import SETS


def maximum(name, psig, **asked):
    return SETS[name].limit_at("conductivity", "boiler_water", psig, **asked)


@pytest.mark.parametrize(
    ("name", "fitting"),
    [
        ("crtd34_watertube_superheater", [("watertube", True)]),
        ("ufc_watertube", [("watertube", False)]),
        ("crtd34_firetube", [("firetube", False)]),
        ("en12953_shell", [("firetube", False), ("firetube", True)]),
        ("asme_1979", [("watertube", False), ("watertube", True)]),
        ("abma_1981", [("watertube", False), ("watertube", True)]),
        ("common_practice", [(k, s) for k in ("firetube", "watertube") for s in (False, True)]),
        ("ufc_residuals", [(k, s) for k in ("firetube", "watertube") for s in (False, True)]),
    ],
)
def test_a_set_fits_the_boilers_it_was_written_for(name, fitting):
    every = [(kind, has) for kind in ("firetube", "watertube") for has in (False, True)]
    assert [boiler for boiler in every if SETS[name].fits(*boiler)] == fitting


@pytest.mark.parametrize(
    ("psig", "high"),
    [
        (0, 1300.0),
        (600, 1300.0),
        (600.499, 1300.0),
        (600.5, None),
        (900, None),
        (1199.4, None),
        (1199.5, 700.0),
        (1200, 700.0),
        (1201, None),
    ],
)
def test_common_practice_knows_two_limits_and_never_interpolates(psig, high):
    """Common practice, no source: 1300 to 600 psi, 700 at 1200 psi."""
    line = maximum("common_practice", psig)
    assert (line.high if line else None) == high
    assert line is None or line.kind == "common practice, no source"


def test_outside_its_bands_a_set_knows_nothing():
    assert maximum("crtd34_watertube_superheater", 2001) is None
    assert maximum("asme_1979", 2500) is None
    assert SETS["crtd34_firetube"].lines_at(301) == ()
    assert SETS["en12953_shell"].lines_at(7) == ()
    assert SETS["asme_1979"].limit_at("conductivity", "feedwater", 100) is None


@pytest.mark.parametrize(
    ("condition", "high"),
    [("", None), ("feedwater above 30 µS/cm", 6000.0), ("feedwater at most 30 µS/cm", 1500.0)],
)
def test_a_line_with_a_condition_waits_to_be_chosen(condition, high):
    """EN 12953-10:2003, Table 5-2, from memory."""
    line = maximum("en12953_shell", 150, condition=condition)
    assert (line.high if line else None) == high
    both = SETS["en12953_shell"].lines_at(150, sample_kind="boiler_water")
    assert [each.high for each in both if each.analyte == "conductivity"] == [6000.0, 1500.0]


def test_lines_are_told_apart_by_water_and_state():
    """UFC 3-240-13FN (2005), published: 20-40 while steaming, 200 in wet lay-up."""
    ufc = SETS["ufc_residuals"]
    assert ufc.limit_at("sulfite", "boiler_water", 150).high == 40.0
    assert ufc.limit_at("sulfite", "boiler_water", 150, state="wet_layup").low == 200.0
    assert ufc.limit_at("sulfite", "boiler_water", 150, state="banked") is None
    laid_up = {line.analyte for line in ufc.lines_at(150, state="wet_layup")}
    assert laid_up == {"sulfite", "hydroxide_alkalinity", "drum_pressure"}
    assert [line.analyte for line in ufc.lines_at(150, sample_kind="condensate")] == ["ph"]
    assert len(ufc.lines_at(150)) == 8 and ufc.lines_at(150, state="banked") == ()


def test_a_span_asks_the_chemist_for_a_maximum():
    line = maximum("crtd34_watertube_superheater", 150)
    for choice in (None, 1000.0, 5500.0):
        with pytest.raises(ChemistryError, match="1100 to 5400"):
            line.limit(high=choice)
    limit = line.limit(high=3000.0, target=2500.0)
    assert (limit.low, limit.high, limit.target) == (None, 3000.0, 2500.0)
    assert limit.basis.neutralized == "not_neutralized"


def test_where_the_source_gives_no_figure_none_is_put_in_force():
    """CRTD-Vol. 34 (1994), Table 1, published: hardness is ND above 1000 psig; never 0."""
    line = SETS["crtd34_watertube_superheater"].limit_at("total_hardness", "feedwater", 1200)
    assert not line.is_known and (line.low, line.high) == (None, None)
    with pytest.raises(ChemistryError, match="no figure"):
        line.limit()


@pytest.mark.parametrize(
    ("name", "analyte", "must_confirm"),
    [
        ("ufc_residuals", "ph", False),
        ("ufc_residuals", "silica", True),
        ("crtd34_firetube", "silica", True),
        ("common_practice", "conductivity", True),
    ],
)
def test_what_was_not_read_must_be_confirmed(name, analyte, must_confirm):
    """Published, from memory (twice), common practice."""
    assert SETS[name].limit_at(analyte, "boiler_water", 150).must_confirm is must_confirm
