"""What the file of a limit set may not say."""

import pytest

from chemistry.errors import ChemistryError
from chemistry.limit_sets import load

HEAD = """key = "x"
title = "x"
source = "x"
edition = "x"
confidence = "x"
"""
ROW = """[[row]]
analyte = "silica"
sample_kind = "boiler_water"
unit = "mg/L"
basis = "any||SiO2"
kind = "published"
"""
ANY = 'boiler_kind = "any"\n'
GOOD = HEAD + ANY + ROW + "bands = [{ psig = [0, 300], high = 1 }]\n"


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "title|key"),
        ("not toml [", "Expected"),
        (HEAD + ANY, "row"),
        (GOOD.replace('"any"', '"steam"'), "steam"),
        (GOOD.replace("edition", "superheater = 'no'\nedition"), "neither true nor false"),
        (GOOD.replace('"silica"', '"copper"'), "copper"),
        (GOOD.replace('"published"', '"guessed"'), "guessed"),
        (GOOD.replace("any||SiO2", "any|SiO2"), "basis"),
        (GOOD.replace('"mg/L"', '"uS/cm"'), "µS/cm"),
        (GOOD.replace(", high = 1", ""), "unknown = true"),
        (GOOD.replace("high = 1", "high = 1, unknown = true"), "unknown = true"),
        (GOOD.replace("high = 1", "unknown = true"), "note"),
        (GOOD.replace("high = 1", "high = 1, low = 2"), "low"),
        (GOOD.replace("high = 1", "high = 1, choose_within = [1, 2]"), "choose_within"),
        (GOOD.replace("high = 1", "choose_within = [2, 1]"), "span"),
        (GOOD.replace("[0, 300]", "[300, 0]"), "band"),
        (GOOD.replace("[0, 300]", "[-1]"), "band"),
        (GOOD.replace("}]", "}, { psig = [300], high = 2 }]"), "two lines"),
        (GOOD.replace("}]", "}, { psig = [9], high = 2, condition = 'x' }]"), "two lines"),
    ],
)
def test_a_broken_set_is_refused(tmp_path, text, reason):
    path = tmp_path / "broken.toml"
    path.write_text(text)
    with pytest.raises(ChemistryError, match=rf"broken\.toml.*({reason})"):
        load(path)


def test_lines_that_never_meet_stand_side_by_side(tmp_path):
    path = tmp_path / "good.toml"
    more = "{ psig = [301], high = 2 }, { psig = [9], high = 3, state = 'wet_layup' }]"
    path.write_text(GOOD.replace("}]", f"}}, {more}"))
    assert [line.high for line in load(path).lines] == [1.0, 2.0, 3.0]
