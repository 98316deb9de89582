"""Every number of the chemistry says where it comes from, and every source cited has its row.

As in test_architecture, each checker is also shown something that it must find.
"""

import ast
import re

import pytest

from tests.test_architecture import ROOT, found_in, python_in

# Every number of the trade says where it comes from.

SOURCE = re.compile(
    r"common\s+practice|rules?\s+of\s+our\s+own|from\s+memory|\b(?:1[89]|20)\d\d\b", re.I
)
CONSTANT_NAME = re.compile(r"_?[A-Z][A-Z0-9_]*")


def _is_number(node: ast.expr | None) -> bool:
    """Say whether a value is a number, written out or reckoned from such, or holds nothing else."""
    if isinstance(node, ast.Constant):
        return isinstance(node.value, int | float) and not isinstance(node.value, bool)
    if isinstance(node, ast.UnaryOp):
        return _is_number(node.operand)
    if isinstance(node, ast.BinOp):
        return _is_number(node.left) and _is_number(node.right)
    if isinstance(node, ast.Dict):
        return bool(node.values) and all(map(_is_number, node.values))
    return isinstance(node, ast.Tuple) and bool(node.elts) and all(map(_is_number, node.elts))


def _beside(lines: list[str], node: ast.stmt, after: ast.stmt | None) -> str:
    """Return what is written at a statement: the string after it, its comment, those above it."""
    said = [lines[node.end_lineno - 1].partition("#")[2]]
    if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant):
        said.append(str(after.value.value))
    above = node.lineno - 2
    while above >= 0 and lines[above].lstrip().startswith("#"):
        said.append(lines[above])
        above -= 1
    return " ".join(said)


def constants_without_source(source: str) -> list[str]:
    """Return the numbers in capitals that name no source; a source is known by its year."""
    body, lines, found = ast.parse(source).body, source.splitlines(), []
    for node, after in zip(body, [*body[1:], None], strict=True):
        if not isinstance(node, ast.Assign | ast.AnnAssign) or not _is_number(node.value):
            continue
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        names = [each.id for each in targets if isinstance(each, ast.Name)]
        if any(map(CONSTANT_NAME.fullmatch, names)) and not SOURCE.search(
            _beside(lines, node, after)
        ):
            found.append(f"{node.lineno} {names[0]}")
    return found


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("LIMIT = 3.0\nOTHER = 2.0  # JCGM 100:2008", ["1 LIMIT"]),
        ('LIMIT = 3.0\n"""It is three."""', ["1 LIMIT"]),
        ("LIMIT: float = -3.0", ["1 LIMIT"]),
        ("_SPAN_C = (0.0, 35.9)", ["1 _SPAN_C"]),
        ("PARTS: dict[str, float] = {'a': 1.0, 'b': -2.0}", ["1 PARTS"]),
        ("LIMIT = 1.0 / 3.0\n\n# ISO 7888:1985\nx = 1", ["1 LIMIT"]),
        ('LIMIT = 3.0\n"""The usual three: common\npractice, no source."""', []),
        ("LIMIT = 3.0  # rule of our own", []),
        ("# From a table of\n# ISO 7888:1985.\nLIMIT = 3.0", []),
        ("limit = 3.0\nNAME = 'x'\nYES = True", []),
    ],
)
def test_a_constant_without_source_is_found(text, wrong):
    assert constants_without_source(text) == wrong


def test_every_constant_of_the_chemistry_names_its_source():
    assert found_in(python_in("chemistry/"), constants_without_source) == []


# What is cited has its row in chemistry/SOURCES.md.

DOCUMENT = re.compile(
    r"\b(ISO(?:/IEC|/TR)?|EN|JCGM|EPA|UFC|UFGS|ASTM|OIML D|NIST SP|NAVEDTRA|CFR|JIS Z|VGB-S"
    r"|IAPWS|Standard Methods)[ -]((?:[A-Z]+)?\d[\d.-]*\d)"
)


def documents_without_row(source: str, rows: str) -> list[str]:
    """Return the standards and reports that a text names and SOURCES.md does not."""
    text = re.sub(r"\s+(?:# ?)?", " ", source)
    return [found[0] for found in DOCUMENT.finditer(text) if found[2] not in rows]


def test_every_document_cited_by_the_chemistry_has_its_row():
    rows = (ROOT / "chemistry" / "SOURCES.md").read_text(encoding="utf-8")
    assert documents_without_row("ISO\n    # 7888:1985, JCGM 100:2008 and ASTM D9999", rows) == [
        "ASTM D9999"
    ]

    def check(source: str) -> list[str]:
        return documents_without_row(source, rows)

    assert (
        len(
            [
                each
                for path in python_in("chemistry/")
                for each in DOCUMENT.findall(path.read_text(encoding="utf-8"))
            ]
        )
        > 100
    )
    assert found_in(python_in("chemistry/"), check) == []
