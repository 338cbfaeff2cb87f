"""Where engine and storage can be changed by a small mistake, and how.

A place is a comparison, a sum or product, a sign, an and/or, a not, a number or a branch. Annotations,
docstrings, f-strings, what is raised or asserted, and descriptions of fields are no places.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from copy import deepcopy
from hashlib import sha256
from typing import NamedTuple, Self

from python_files import ONLY_ON_THE_PHONE, imported, python_files, shown

PACKAGES = ("engine", "storage")
COMPARISONS = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
ARITHMETIC = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Div: ast.Mult,
    ast.Mod: ast.FloorDiv,
}
TEXT = (ast.JoinedStr, ast.List, ast.Tuple, ast.Set)
LONGEST_TOLD = 80
FOR_PEOPLE = {"description", "title", "examples"}


class Change(NamedTuple):
    """``to`` is the class of the new operator, or what is added to a number; ``slot`` which of several
    operators."""

    kind: str
    to: str = ""
    slot: int = 0


class Span(NamedTuple):
    line: int
    column: int
    end_line: int
    end_column: int

    @classmethod
    def of(cls, node: ast.expr | ast.stmt) -> Self:
        return cls(node.lineno, node.col_offset, node.end_lineno or 0, node.end_col_offset or 0)


class Mutant(NamedTuple):
    """One change of one place. ``names`` are those defined by what runs while a module is imported, from the
    inside out; ``function`` is the outermost function otherwise."""

    file: str
    function: str
    names: tuple[str, ...]
    span: Span
    change: Change
    statement: str
    """The first line of the place."""
    before: str
    after: str

    @classmethod
    def read(
        cls, file: str, function: str, names: list[str], span: list[int], change: list, *more: str
    ) -> Self:
        return cls(file, function, tuple(names), Span(*span), Change(*change), *more)

    @property
    def where(self) -> str:
        return f"{self.file}:{self.span.line}"

    @property
    def told(self) -> str:
        return f"{self.before} → {self.after}"


def possible(node: ast.AST) -> Iterator[tuple[Change, ...]]:
    """The places of a node itself, each with its changes."""
    match node:
        case ast.Compare():
            for slot, op in enumerate(node.ops):
                yield tuple(Change("comparison", to.__name__, slot) for to in COMPARISONS[type(op)])
        case ast.BinOp() if type(node.op) in ARITHMETIC and not (_is_text(node.left) or _is_text(node.right)):
            yield (Change("arithmetic", ARITHMETIC[type(node.op)].__name__),)
        case ast.AugAssign() if type(node.op) in ARITHMETIC and not _is_text(node.value):
            yield (Change("arithmetic", ARITHMETIC[type(node.op)].__name__),)
        case ast.BoolOp():
            yield (Change("and/or", "Or" if isinstance(node.op, ast.And) else "And"),)
        case ast.UnaryOp(op=ast.USub()):
            yield (Change("sign"),)
        case ast.UnaryOp(op=ast.Not()):
            yield (Change("not"),)
        case ast.Constant(value=int() | float()) if not isinstance(node.value, bool):
            yield (Change("number", "1"), Change("number", "-1"))


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, TEXT) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def branches(node: ast.AST) -> Sequence[ast.expr]:
    """The conditions of a node that are nothing but a name or a call."""
    match node:
        case ast.If() | ast.While() | ast.IfExp():
            tests = [node.test]
        case ast.comprehension():
            tests = node.ifs
        case _:
            return ()
    return [
        test for test in tests if not isinstance(test, ast.Compare | ast.BoolOp | ast.UnaryOp | ast.Constant)
    ]


def changed(node: ast.AST, change: Change) -> ast.AST:
    fresh = deepcopy(node)
    match change.kind, fresh:
        case "comparison", ast.Compare():
            fresh.ops[change.slot] = getattr(ast, change.to)()
        case "arithmetic" | "and/or", ast.BinOp() | ast.AugAssign() | ast.BoolOp():
            fresh.op = getattr(ast, change.to)()
        case "number", ast.Constant():
            fresh.value += int(change.to)
        case "sign" | "not", ast.UnaryOp():
            return fresh.operand
        case "branch", ast.expr():
            return ast.copy_location(ast.UnaryOp(ast.Not(), fresh), node)
        case _:
            raise AssertionError(f"no {change} of {ast.dump(node)}")
    return fresh


class _Finder(ast.NodeVisitor):
    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.lines = text.splitlines()
        self.function = ""
        self.within: tuple[str, ...] = ()
        self.defined: tuple[str, ...] = ()
        self.found: list[list[Mutant]] = []
        self.around: ast.AST | None = None

    def visit(self, node: ast.AST) -> None:
        for changes in possible(node):
            self.note(node, changes)
        for test in branches(node):
            if not (isinstance(test, ast.Name) and test.id == "TYPE_CHECKING"):
                self.note(test, (Change("branch"),))
        outside, self.around = self.around, node
        super().visit(node)
        self.around = outside

    def note(self, node: ast.expr | ast.stmt, changes: Sequence[Change]) -> None:
        names = () if self.function else (*self.defined, *reversed(self.within))
        span, line = Span.of(node), self.lines[node.lineno - 1].strip()
        place = (self.file, self.function, names, span)
        self.found.append([Mutant(*place, one, line, *self.told(node, one)) for one in changes])

    def told(self, node: ast.expr | ast.stmt, change: Change) -> tuple[str, str]:
        """A place before and after; a number with what stands around it, where that is short."""
        if isinstance(node, ast.Constant) and isinstance(self.around, ast.expr | ast.keyword):
            before, number = ast.unparse(self.around), node.value
            node.value += int(change.to)
            after = ast.unparse(self.around)
            node.value = number
            if len(before) <= LONGEST_TOLD:
                return before, after
        return ast.unparse(node), ast.unparse(changed(node, change))

    def visit_all(self, nodes: Sequence[ast.AST | None]) -> None:
        for node in nodes:
            if node is not None:
                self.visit(node)

    def visit_FunctionDef(self, node: ast.FunctionDef | ast.AsyncFunctionDef) -> None:
        outer, self.defined = self.defined, (node.name,)
        self.visit_all([*node.decorator_list, *node.args.defaults, *node.args.kw_defaults])
        self.defined = outer
        outside = self.function
        self.function = outside or f"{self.file}:{'.'.join((*self.within, node.name))}"
        self.visit_all(node.body)
        self.function = outside

    def visit_AsyncFunctionDef(self, node: ast.AsyncFunctionDef) -> None:
        self.visit_FunctionDef(node)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        outer, self.within = self.within, (*self.within, node.name)
        self.visit_all([*node.decorator_list, *node.keywords, *node.body])
        self.within = outer

    def visit_Assign(self, node: ast.Assign) -> None:
        self.visit_value(node.targets, node.value)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        self.visit_value([node.target], node.value)

    def visit_value(self, targets: Sequence[ast.expr], value: ast.expr | None) -> None:
        names = (one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name))
        outer, self.defined = self.defined, tuple(names)
        self.visit_all([value])
        self.defined = outer

    def visit_If(self, node: ast.If) -> None:
        only_for_types = isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
        self.visit_all(node.orelse if only_for_types else [node.test, *node.body, *node.orelse])

    def visit_match_case(self, node: ast.match_case) -> None:
        self.visit_all([node.guard, *node.body])

    def visit_keyword(self, node: ast.keyword) -> None:
        if node.arg not in FOR_PEOPLE:
            self.generic_visit(node)

    def visit_Subscript(self, node: ast.Subscript) -> None:
        if not (isinstance(node.value, ast.Name) and node.value.id == "Literal"):
            self.generic_visit(node)

    def visit_JoinedStr(self, _: ast.JoinedStr) -> None:
        """Is read by people."""

    def visit_Assert(self, _: ast.Assert) -> None:
        """Is there for whoever reads the code."""

    def visit_Raise(self, _: ast.Raise) -> None:
        """Is read by people."""


def places(file: str, text: str) -> list[list[Mutant]]:
    """The places of a file in the order of the text, each with all its changes."""
    finder = _Finder(file, text)
    finder.visit(ast.parse(text))
    return sorted(finder.found, key=lambda changes: (changes[0].span, changes[0].change.slot))


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
