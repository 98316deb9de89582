"""Limit sets against the tables that they come from."""

from pathlib import Path

import pytest

from chemistry.errors import ChemistryError
from chemistry.limit_sets import load
from tests.golden import golden

FOLDER = Path(__file__).parents[2] / "fixtures" / "limits"


def maximum(name, psig):
    return load(FOLDER / f"{name}.toml").limit_at("conductivity", "boiler_water", psig)


@pytest.mark.parametrize(
    ("psig", "high"),
    [
        (0, 1300.0),
        (150, 1300.0),
        (600, 1300.0),
        (600.4, 1300.0),
        (601, None),
        (900, None),
        (1199, None),
        (1199.5, 700.0),
        (1200, 700.0),
        (1201, None),
        (1500, None),
    ],
)
def test_common_practice_knows_two_limits_and_never_interpolates(psig, high):
    """Common practice, no source: 1300 to 600 psi, 700 at 1200 psi."""
    line = maximum("common_practice", psig)
    assert (line.high if line else None) == high
    assert line is None or line.kind == "common practice, no source"


@pytest.mark.parametrize("row", golden("crtd34_conductivity"), ids=lambda row: row["from_psig"])
def test_crtd_34_spans_and_maxima(row):
    """CRTD-Vol. 34 (1994), Table 1, published: spans up to 1000 psig, single figures above."""
    for psig in (float(row["from_psig"]), float(row["to_psig"])):
        line = maximum("crtd34_watertube_superheater", psig)
        assert line.low is None
        if row["span_low"]:
            assert line.high is None
            assert line.choose_within == (float(row["span_low"]), float(row["span_high"]))
        else:
            assert (line.high, line.choose_within) == (float(row["span_high"]), None)


def test_a_span_asks_the_chemist_for_a_maximum():
    line = maximum("crtd34_watertube_superheater", 150)
    for choice in (None, 1000.0, 5500.0):
        with pytest.raises(ChemistryError, match="1100 to 5400"):
            line.limit(high=choice)
    limit = line.limit(high=3000.0, target=2500.0)
    assert (limit.low, limit.high, limit.target) == (None, 3000.0, 2500.0)
    assert limit.basis.neutralized == "not_neutralized"


@pytest.mark.parametrize(
    ("psig", "high"),
    [
        (300, 7000),
        (450, 6000),
        (600, 5000),
        (750, 4000),
        (900, 3000),
        (1000, 2000),
        (1500, 150),
        (2000, 100),
    ],
)
def test_the_older_guideline_differs(psig, high):
    """ASME 1979, published in a compilation."""
    assert maximum("asme_1979", psig).high == high


def test_outside_its_bands_a_set_knows_nothing():
    assert maximum("crtd34_watertube_superheater", 2001) is None
    assert maximum("asme_1979", 2500) is None
    set_ = load(FOLDER / "asme_1979.toml")
    assert set_.limit_at("conductivity", "feedwater", 100) is None


def test_every_set_names_its_source_and_what_to_confirm():
    paths = sorted(FOLDER.glob("*.toml"))
    assert len(paths) >= 3
    for path in paths:
        set_ = load(path)
        assert set_.key == path.stem
        assert set_.source and set_.edition and "onfirm" in set_.confidence


@pytest.mark.parametrize(
    "text", ["", "not toml [", 'key = "x"', '[[line]]\nanalyte = "conductivity"\n'], ids=range(4)
)
def test_a_broken_set_is_refused(tmp_path, text):
    path = tmp_path / "broken.toml"
    path.write_text(text)
    with pytest.raises(ChemistryError, match=r"broken\.toml"):
        load(path)
