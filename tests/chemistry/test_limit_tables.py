"""The limit sets that come with the program against the tables that they come from."""

import math
from itertools import pairwise

import pytest

from chemistry.alkalinity import CACO3_MG_PER_EQUIVALENT
from chemistry.hardness import EDTA_MG_CACO3_PER_MOLE
from chemistry.units import convert
from tests.chemistry.shipped_sets import SETS
from tests.golden import HERE, golden

ROWS = golden("limit_sets")


def key_of(set_key, line):
    return (set_key, line.sample_kind, line.state, line.condition, line.analyte)


def lines_of(key):
    return [line for line in SETS[key[0]].lines if key_of(key[0], line) == key]


def key_in(row):
    return tuple(row[name] for name in ("set", "sample_kind", "state", "condition", "analyte"))


def band(line):
    """Return the band as the golden table writes it: 0-300, or 291+ without an upper end."""
    low, high = line.pressure_from, line.pressure_to
    return f"{low:.15g}+" if math.isinf(high) else f"{low:.15g}-{high:.15g}"


def figure(line):
    """Return the figures as the golden table writes them; ~ joins a span to choose within."""
    if line.choose_within:
        return "{:.15g}~{:.15g}".format(*line.choose_within)
    match line.low, line.high:
        case None, None:
            return "none"
        case None, high:
            return f"<={high:.15g}"
        case low, None:
            return f">={low:.15g}"
        case low, high:
            return f"{low:.15g}..{high:.15g}"


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(filter(None, key_in(row))))
def test_every_printed_figure_stands_in_the_set(row):
    """Each against the table or the memory of it that the row names, published or not."""
    lines = lines_of(key_in(row))
    assert " ".join(map(band, lines)) == row["bands"]
    assert " ".join(map(figure, lines)) == row["limits"]
    told = {(line.unit, line.basis.text, line.kind) for line in lines}
    assert told == {(row["unit"], row["basis"], row["kind"])}


def test_no_set_holds_a_line_beyond_the_printed_ones():
    held = {key_of(key, line) for key, each in SETS.items() for line in each.lines}
    assert held == {key_in(row) for row in ROWS} and len(ROWS) == len(held)


def test_bands_follow_each_other_without_a_hole():
    """Whole psig as printed. Common practice knows nothing between 600 and 1200 psi."""
    holes = []
    for key in {key_in(row) for row in ROWS}:
        lines = lines_of(key)
        for lower, upper in pairwise(lines):
            if upper.pressure_from != lower.pressure_to + 1.0:
                holes.append((key[0], lower.pressure_to, upper.pressure_from))
    assert holes == [("common_practice", 600.0, 1200.0)]


@pytest.mark.parametrize(("bar", "psig"), [(0.5, 7), (1.0, 14), (20.0, 290)])
def test_the_bands_in_bar_end_at_the_last_whole_psig(bar, psig):
    """EN 12953-10:2003, Table 5-1, published: bands end at 0.5, (below) 1 and 20 bar."""
    assert math.floor(convert(bar, "barg", "psig")) == psig
    ends = {line.pressure_from for line in SETS["en12953_shell"].lines}
    assert psig + 1.0 in ends


@pytest.mark.parametrize(
    ("row", "end", "printed", "per_unit"),
    [
        pytest.param("total_hardness", "high", 0.05, EDTA_MG_CACO3_PER_MOLE, id="below 1 bar"),
        pytest.param("total_hardness", "high", 0.01, EDTA_MG_CACO3_PER_MOLE, id="hardness"),
        pytest.param("p_alkalinity", "low", 1.0, CACO3_MG_PER_EQUIVALENT, id="alkalinity"),
        pytest.param("p_alkalinity", "high", 15.0, CACO3_MG_PER_EQUIVALENT, id="to 20 bar"),
        pytest.param("p_alkalinity", "high", 10.0, CACO3_MG_PER_EQUIVALENT, id="above 20 bar"),
        pytest.param("p_alkalinity", "low", 0.1, CACO3_MG_PER_EQUIVALENT, id="pure, low"),
        pytest.param("p_alkalinity", "high", 1.0, CACO3_MG_PER_EQUIVALENT, id="pure, high"),
    ],
)
def test_millimoles_are_turned_into_caco3_as_the_titrations_do(row, end, printed, per_unit):
    """EN 12953-10:2003 in mmol/L: hardness (Table 5-1) published, alkalinity from memory."""
    ends = [getattr(line, end) for line in SETS["en12953_shell"].lines if line.analyte == row]
    assert printed * per_unit / 1000.0 in ends


def test_hydroxide_in_lay_up_is_turned_into_caco3():
    """UFC 3-240-13FN (2005), 3-5.4.2, published: about 200 ppm as OH. OH is 17.007 (IUPAC)."""
    line = SETS["ufc_residuals"].limit_at(
        "hydroxide_alkalinity",
        "boiler_water",
        150,
        state="wet_layup",
        condition="laid up after draining",
    )
    assert line.low == pytest.approx(200.0 * CACO3_MG_PER_EQUIVALENT / 1000.0 / 17.007, abs=0.5)


def produced():
    """Return the analyte and basis of every result that the methods' pinned rows hold."""
    found = {("conductivity", row["basis"]) for row in golden("method_conductivity_1")}
    for path in HERE.glob("method_*_1.csv"):
        for row in golden(path.stem):
            if row.get("analyte"):
                found.add((row["analyte"], row["basis"]))
            for text in filter(None, row.get("results", "").split("; ")):
                found.add((text.split()[0], text.split()[-1]))
    return found


def test_a_bench_test_yields_the_basis_of_every_line():
    """Else its results would never be judged."""
    wanted = {(line.analyte, line.basis.text) for each in SETS.values() for line in each.lines}
    assert ("conductivity", "25C|neutralized|") in produced()
    assert wanted - produced() == set()


@pytest.mark.parametrize("name", SETS)
def test_a_set_names_its_source_and_what_to_confirm(name):
    each = SETS[name]
    assert each.key == name and each.title
    assert each.source and each.edition and "onfirm" in each.confidence
    assert all(line.source for line in each.lines)
    assert all(line.note for line in each.lines if not line.is_known)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("crtd34_watertube_superheater", ("copper", "organic carbon", "steam too")),
        ("crtd34_firetube", ("copper", "organic carbon")),
        ("ufc_watertube", ("copper", "Table 3-11", "misprinted")),
        ("ufc_residuals", ("hosphate", "left out")),
        ("en12953_shell", ("copper", "oil", "not seen")),
        ("abma_1981", ("dissolved and suspended solids",)),
    ],
)
def test_a_set_says_what_its_source_limits_beyond_it(name, said):
    assert all(word in SETS[name].confidence for word in said)
