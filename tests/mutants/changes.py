"""Where engine and storage can be changed by a small mistake, and how.

A place is a comparison, a sum or product, a sign, an and/or, a not, a number or a branch. Annotations,
docstrings, f-strings, what is raised or asserted, and descriptions of fields are no places.

mutmut was tried instead: it leaves out what runs while modules are imported and every decorated function, so
the figures of the trade and in all one place in seven, and it neither draws changes nor limits their seconds.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from hashlib import sha256
from typing import Any, NamedTuple

from python_files import ONLY_ON_THE_PHONE, imported, python_files, shown

PACKAGES = ("engine", "storage")
COMPARISONS: dict[type, tuple[type, ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
}
_PAIRS: tuple[tuple[type, type], ...] = (
    (ast.Eq, ast.NotEq),
    (ast.Is, ast.IsNot),
    (ast.In, ast.NotIn),
    (ast.Add, ast.Sub),
    (ast.Mult, ast.FloorDiv),
    (ast.And, ast.Or),
)
OTHERS = {ast.Div: ast.Mult, ast.Mod: ast.FloorDiv} | dict(_PAIRS) | {other: one for one, other in _PAIRS}
TEXT = (ast.JoinedStr, ast.List, ast.Tuple, ast.Set)
LONGEST_TOLD = 80
FOR_PEOPLE = {"description", "title", "examples"}


class Mutant(NamedTuple):
    """One change of one place. ``names`` are those defined by what runs while a module is imported, from the
    inside out; ``function`` is the outermost function otherwise, with its file and class."""

    file: str
    function: str
    names: tuple[str, ...]
    span: tuple[int, int, int, int]
    """From a line and byte to a line and byte."""
    statement: str
    """The first line of the place."""
    before: str
    after: str
    text: str
    """What is written in its place."""

    @property
    def where(self) -> str:
        return f"{self.file}:{self.span[0]}"

    @property
    def told(self) -> str:
        return f"{self.before} → {self.after}"

    def made_in(self, source: bytes) -> bytes:
        """The file with the change."""
        lines = source.splitlines(keepends=True)
        line, column, end_line, end_column = self.span
        begin = sum(map(len, lines[: line - 1])) + column
        end = sum(map(len, lines[: end_line - 1])) + end_column
        return source[:begin] + self.text.encode() + source[end:]


class _At(NamedTuple):
    """Where a node stands: in which function and classes, in the definition of what, and directly in what."""

    function: str = ""
    within: tuple[str, ...] = ()
    defined: tuple[str, ...] = ()
    around: ast.AST | None = None


Place = tuple[ast.expr | ast.stmt, Sequence[ast.expr | ast.stmt]]


def _with(node: Any, **fields: object) -> Any:
    fresh = copy(node)
    vars(fresh).update(fields)
    return fresh


def _places_of(node: ast.AST) -> Iterator[Place]:
    """The places of a node itself, each with what it can become."""
    match node:
        case ast.Compare(ops=ops):
            for slot, op in enumerate(ops):
                others = COMPARISONS.get(type(op)) or (OTHERS[type(op)],)
                yield node, [_with(node, ops=[*ops[:slot], to(), *ops[slot + 1 :]]) for to in others]
        case ast.BinOp(left=one, op=op, right=other) | ast.AugAssign(target=one, op=op, value=other):
            if type(op) in OTHERS and not (_is_text(one) or _is_text(other)):
                yield node, [_with(node, op=OTHERS[type(op)]())]
        case ast.BoolOp(op=op):
            yield node, [_with(node, op=OTHERS[type(op)]())]
        case ast.UnaryOp(op=ast.USub() | ast.Not()):
            yield node, [node.operand]
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            yield node, [_with(node, value=value + 1), _with(node, value=value - 1)]
    for test in _branches(node):
        yield test, [ast.UnaryOp(ast.Not(), test)]


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, TEXT) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _branches(node: ast.AST) -> Sequence[ast.expr]:
    """The conditions of a node that are nothing but a name or a call."""
    match node:
        case ast.If() | ast.While() | ast.IfExp():
            tests = [node.test]
        case ast.comprehension():
            tests = node.ifs
        case _:
            return ()
    known = ast.Compare | ast.BoolOp | ast.UnaryOp | ast.Constant
    return [one for one in tests if not isinstance(one, known) and ast.unparse(one) != "TYPE_CHECKING"]


def _parts(node: ast.AST, at: _At) -> Iterator[tuple[ast.AST, _At]]:
    """What stands in a node and may hold places."""
    parts: Iterable[ast.AST | None] = ast.iter_child_nodes(node)
    match node:
        case ast.JoinedStr() | ast.Assert() | ast.Raise() | ast.Subscript(value=ast.Name(id="Literal")):
            parts = ()
        case ast.FunctionDef() | ast.AsyncFunctionDef():
            outside = (*node.decorator_list, *node.args.defaults, *node.args.kw_defaults)
            yield from ((one, at._replace(defined=(node.name,))) for one in outside if one is not None)
            parts, own = node.body, ".".join((*at.within, node.name))
            at = at._replace(function=at.function or own)
        case ast.ClassDef():
            parts = (*node.decorator_list, *node.keywords, *node.body)
            at = at._replace(within=(*at.within, node.name))
        case ast.Assign() | ast.AnnAssign():
            parts, at = (node.value,), at._replace(defined=names_of(node))
        case ast.match_case():
            parts = (node.guard, *node.body)
        case ast.keyword() if node.arg in FOR_PEOPLE:
            parts = ()
    yield from ((one, at) for one in parts if one is not None)


def names_of(node: ast.Assign | ast.AnnAssign) -> tuple[str, ...]:
    """What an assignment defines."""
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    return tuple(one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name))


def _found(node: ast.AST, at: _At) -> Iterator[tuple[Place, _At]]:
    yield from ((place, at) for place in _places_of(node))
    for part, where in _parts(node, at):
        yield from _found(part, where._replace(around=node))


def _told(node: Any, new: Any, around: ast.AST | None) -> tuple[str, str]:
    """A place before and after; a number with what stands around it, where that is short."""
    if isinstance(node, ast.Constant) and isinstance(around, ast.expr | ast.keyword):
        before, number = ast.unparse(around), node.value
        node.value = new.value
        after = ast.unparse(around)
        node.value = number
        if len(before) <= LONGEST_TOLD:
            return before, after
    return ast.unparse(node), ast.unparse(new)


def functions(
    file: str, body: Sequence[ast.stmt], within: str = ""
) -> Iterator[tuple[str, ast.FunctionDef | ast.AsyncFunctionDef]]:
    """The outermost functions of a file and the methods of its classes, by name."""
    for node in body:
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef():
                yield f"{file}:{within}{node.name}", node
            case ast.ClassDef():
                yield from functions(file, node.body, f"{within}{node.name}.")
            case ast.If():
                yield from functions(file, [*node.body, *node.orelse], within)


def places(file: str, text: str) -> list[list[Mutant]]:
    """The places of a file in the order of the text, each with all its changes."""
    lines, made = text.splitlines(), list[list[Mutant]]()
    for (node, news), at in _found(ast.parse(text), _At()):
        function = f"{file}:{at.function}" if at.function else ""
        names = () if at.function else (*at.defined, *reversed(at.within))
        span = (node.lineno, node.col_offset, node.end_lineno or 0, node.end_col_offset or 0)
        place = (file, function, names, span, lines[node.lineno - 1].strip())
        texts = [ast.unparse(new) if isinstance(new, ast.stmt) else f"({ast.unparse(new)})" for new in news]
        told = [_told(node, new, at.around) for new in news]
        made.append([Mutant(*place, *words, to) for words, to in zip(told, texts, strict=True)])
    return sorted(made, key=lambda changes: changes[0].span)


def every_place() -> list[list[Mutant]]:
    """Those of all files that run on this machine."""
    files = [path for path in python_files(*PACKAGES) if not imported(path) & ONLY_ON_THE_PHONE]
    return [place for path in files for place in places(shown(path), path.read_text(encoding="utf-8"))]


def sample(every: Iterable[list[Mutant]], size: int, seed: int) -> list[Mutant]:
    """Places drawn from all of them, one change of each. Each draw hangs on the seed and on the words of the
    place, so that other places of the code may change and the sample hardly does."""
    known, drawn = Counter[tuple[str, ...]](), list[tuple[int, Mutant]]()
    for place in every:
        words = (place[0].file, place[0].statement, place[0].before)
        known[words] += 1
        number = int(sha256(repr((seed, *words, known[words])).encode()).hexdigest(), 16)
        drawn.append((number, place[number % len(place)]))
    lot = sorted(number for number, _ in drawn)[:size]
    return [one for number, one in drawn if number <= lot[-1]]


def changes_at(where: Sequence[str]) -> list[Mutant]:
    """Every change of these files or lines, each written FILE or FILE:LINE."""
    every = [one for place in every_place() for one in place]
    return [one for one in every if one.file in where or one.where in where]
