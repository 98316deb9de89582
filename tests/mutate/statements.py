"""Where a line stands in its file, and where the chemistry uses a name."""

import ast
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from tests.mutate.sites import FOLDERS, ROOT

INNER = ast.stmt | ast.ExceptHandler


@dataclass(frozen=True)
class Use:
    """A statement that uses a name. What it makes are the names that it gives a value to, or that
    of the function that it stands in (`inside`)."""

    path: str
    lines: range
    inside: bool
    makes: frozenset[str]


def statements(path: str, line: int) -> list[ast.AST]:
    """Return the statements that hold a line, from the outermost in."""
    found: list[ast.AST] = []
    within: list[ast.AST] = list(_tree(path).body)
    while within:
        holding = [part for part in within if _first(part) <= line <= part.end_lineno]
        found += holding
        within = [child for part in holding for child in _inner(part)]
    return found


def own_lines(part: ast.AST) -> range:
    """Return a statement's lines without those of the statements in it."""
    inner = [_first(child) for child in _inner(part)]
    return range(_first(part), max(min(inner, default=part.end_lineno + 1), part.lineno + 1))


def body_lines(part: ast.AST) -> range:
    """Return the lines of a function that run when it is called."""
    return range(part.body[0].lineno, part.end_lineno + 1)


def names_made(part: ast.AST) -> frozenset[str]:
    """Return the names that a statement makes."""
    if isinstance(part, ast.FunctionDef | ast.ClassDef):
        return frozenset({part.name})
    targets = part.targets if isinstance(part, ast.Assign) else [getattr(part, "target", None)]
    return frozenset(
        node.id
        for target in targets
        if target is not None
        for node in ast.walk(target)
        if isinstance(node, ast.Name)
    )


@cache
def uses() -> dict[str, list[Use]]:
    """Return every use of every name in the chemistry."""
    found = defaultdict(list)
    for file in sorted(ROOT.glob(FOLDERS[0])):
        for name, use in uses_in(str(file.relative_to(ROOT))):
            found[name].append(use)
    return found


def uses_in(path: str) -> Iterator[tuple[str, Use]]:
    """Yield every use of a name in one file."""
    for top in _tree(path).body:
        for part, inside in _parts(top):
            for name in _names_used(part):
                yield name, Use(path, own_lines(part), inside, names_made(top))


@cache
def _tree(path: str) -> ast.Module:
    return ast.parse((ROOT / path).read_text(encoding="utf-8"))


def _inner(part: ast.AST) -> list[ast.AST]:
    return [child for child in ast.iter_child_nodes(part) if isinstance(child, INNER)]


def _first(part: ast.AST) -> int:
    return min(each.lineno for each in (*getattr(part, "decorator_list", ()), part))


def _parts(part: ast.AST, inside: bool = False) -> Iterator[tuple[ast.AST, bool]]:
    yield part, inside
    within = inside or isinstance(part, ast.FunctionDef)
    for child in _inner(part):
        yield from _parts(child, within)


def _names_used(part: ast.AST) -> set[str]:
    """Return the names in a statement's own lines; what is found by its name stands in a text."""
    found, waiting = set[str](), [part]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found |= {node.value} if node.value.isupper() else set()
        waiting += [each for each in ast.iter_child_nodes(node) if not isinstance(each, INNER)]
    return found
