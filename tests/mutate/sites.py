"""Where the numbers stand, and what each is changed to.

In Python every numeric literal is a site, wherever it stands: constant, table, default, range,
formula, comparison. So is a number inside a text that defines a unit (`ureg.define`), and a text
that is nothing but a number where it is given to a call by place or as `default=`: what a form is
filled in with. No sites are: True and False; what picks out of a sequence (`a[0]`, `a[1:]`); types
(`tuple[int, ...]`); words for people (`gettext_noop("7.00")`). In TOML every number is a site.

A whole number becomes one more; any other a hundredth more, or a thousandth where five digits or
more of it are known; zero becomes 0.01.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("chemistry/**/*.py", "fixtures/limits/*.toml")

_NUMBER = re.compile(r"\d[\d_]*(\.\d*)?([eE][+-]?\d+)?")
_UNIT_NUMBER = re.compile(rf"(?<![\w.])(?:{_NUMBER.pattern})(?!\w)")
_TOML_NUMBER = re.compile(
    r'"{3}[\s\S]*?"{3}|\'{3}[\s\S]*?\'{3}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#.*'
    rf"|(?<![\w.:-])(?P<number>{_NUMBER.pattern})(?![\w:-])"
)


@dataclass(frozen=True)
class Site:
    """A number as it is written in a file, from `start` to `end`, and what it is changed to.

    `said` is its line, with the number in double brackets.
    """

    path: str
    start: int
    end: int
    old: str
    new: str
    line: int
    said: str

    @cached_property
    def mutant(self) -> str:
        """The file's text with this one number changed."""
        text = (ROOT / self.path).read_text(encoding="utf-8")
        return f"{text[: self.start]}{self.new}{text[self.end :]}"

    def __str__(self) -> str:
        return f"{self.path}:{self.line} {self.said} -> {self.new}"


def sites(only: str = "") -> list[Site]:
    """Return every site of the files whose path begins with `only`."""
    paths = [path for pattern in FOLDERS for path in sorted(ROOT.glob(pattern))]
    named = [(str(path.relative_to(ROOT)), path) for path in paths]
    return [
        site
        for name, path in named
        if name.startswith(only)
        for site in sites_in(name, path.read_text(encoding="utf-8"))
    ]


def sites_in(path: str, text: str) -> list[Site]:
    """Return the sites of one file, in the order in which they stand."""
    spans = python_spans(text) if path.endswith(".py") else toml_spans(text)
    found = []
    for start, end in sorted(spans):
        first, last = text.rfind("\n", 0, start) + 1, f"{text}\n".find("\n", end)
        old, line = text[start:end], text.count("\n", 0, start) + 1
        said = f"{text[first:start]}[[{old}]]{text[end:last]}".strip()
        found.append(Site(path, start, end, old, changed(old), line, said))
    return found


def changed(number: str) -> str:
    """Return a number, as it is written, changed a little.

    >>> changed("3"), changed("0.02"), changed("1_386.0"), changed("273.15"), changed("0.0")
    ('4', '0.0202', '1399.86', '273.42315', '0.01')
    """
    plain = number.replace("_", "")
    if plain.isdigit():
        return str(int(plain) + 1)
    value = float(plain)
    if not value:
        return "0.01"
    known = re.sub(r"[eE].*|\.", "", plain).strip("0")
    return repr(float(f"{value * (1.001 if len(known) >= 5 else 1.01):.15g}"))


def toml_spans(text: str) -> Iterator[tuple[int, int]]:
    for match in _TOML_NUMBER.finditer(text):
        if match["number"]:
            yield match.span("number")


def python_spans(text: str) -> Iterator[tuple[int, int]]:
    offsets = _line_offsets(text)
    for node in _constants(ast.parse(text)):
        start = offsets[node.lineno - 1] + _characters(text, offsets, node.lineno, node.col_offset)
        end = offsets[node.end_lineno - 1] + _characters(
            text, offsets, node.end_lineno, node.end_col_offset
        )
        if not isinstance(node.value, str):
            yield start, end
            continue
        for match in _UNIT_NUMBER.finditer(text, start, end):
            yield match.span()


def _line_offsets(text: str) -> list[int]:
    offsets = [0]
    for line in text.splitlines(keepends=True):
        offsets.append(offsets[-1] + len(line))
    return offsets


def _characters(text: str, offsets: list[int], line: int, column: int) -> int:
    """Return characters for a column that the parser counts in bytes."""
    written = text[offsets[line - 1] : offsets[line]]
    return len(written.encode()[:column].decode())


def _constants(tree: ast.AST) -> Iterator[ast.Constant]:
    """Yield the numbers, and the texts that hold some, in a piece of source."""
    if isinstance(tree, ast.Constant):
        if isinstance(tree.value, int | float) and not isinstance(tree.value, bool):
            yield tree
        return
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns") or (
            isinstance(tree, ast.Subscript) and name == "slice"
        ):
            continue
        for each in value if isinstance(value, list) else [value]:
            if isinstance(each, ast.AST):
                yield from _constants(each)
    if isinstance(tree, ast.Call):
        yield from _texts(tree)


def _texts(call: ast.Call) -> Iterator[ast.Constant]:
    """Yield the texts given to a call that are numbers, or that define a unit by one."""
    called = call.func.attr if isinstance(call.func, ast.Attribute) else ast.unparse(call.func)
    if called == "gettext_noop":
        return
    defaults = [word.value for word in call.keywords if word.arg == "default"]
    parts = [part for each in defaults for part in ast.walk(each)] + call.args
    for part in parts:
        text = part.value if isinstance(part, ast.Constant) else None
        if isinstance(text, str) and (called == "define" or _NUMBER.fullmatch(text)):
            yield part
