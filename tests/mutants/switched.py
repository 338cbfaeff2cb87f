"""Imports engine and storage with every chosen change built in and switched off.

Each changed place reads ``changed if __on__[number] else original``, and each function begins by noting that
it was entered. So a change costs no new import, and a process that was forked tries it by one switch.
"""

from __future__ import annotations

import ast
import builtins
import sys
from collections.abc import Iterator, Mapping, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType

from mutants.changes import PACKAGES, Change, Mutant, Span, changed
from python_files import python_files, shown

ON, ENTERED = "__on__", "__entered__"
Function = ast.FunctionDef | ast.AsyncFunctionDef
Numbered = Mapping[Span, Sequence[tuple[int, Change]]]


def functions(file: str, body: Sequence[ast.stmt], within: str = "") -> Iterator[tuple[str, Function]]:
    """The outermost functions of a file and the methods of its classes, by name."""
    for node in body:
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef():
                yield f"{file}:{within}{node.name}", node
            case ast.ClassDef():
                yield from functions(file, node.body, f"{within}{node.name}.")
            case ast.If():
                yield from functions(file, [*node.body, *node.orelse], within)


def _item(name: str, number: int, context: ast.expr_context) -> ast.Subscript:
    return ast.Subscript(ast.Name(name, ast.Load()), ast.Constant(number), context)


class Building(ast.NodeTransformer):
    def __init__(self, chosen: Numbered) -> None:
        self.chosen = chosen

    def visit_JoinedStr(self, node: ast.JoinedStr) -> ast.AST:
        """Holds no place, and until Python 3.12 the positions within are not those of the file."""
        return node

    def visit(self, node: ast.AST) -> ast.AST:
        first = built = super().visit(node)
        if isinstance(node, ast.expr | ast.AugAssign):
            for number, change in self.chosen.get(Span.of(node), ()):
                built = switch(number, changed(first, change), built)
        return built


def switch(number: int, new: ast.AST, old: ast.AST) -> ast.AST:
    test = _item(ON, number, ast.Load())
    made = ast.IfExp(test, new, old) if isinstance(old, ast.expr) else ast.If(test, [new], [old])
    return ast.copy_location(made, old)


class Switches(MetaPathFinder):
    """Finds engine and storage before anything else does."""

    def __init__(self, mutants: Sequence[Mutant]) -> None:
        self.mutants = mutants
        trees = {shown(path): ast.parse(path.read_text(encoding="utf-8")) for path in python_files(*PACKAGES)}
        names = [name for file, tree in trees.items() for name, _ in functions(file, tree.body)]
        self.functions = {name: number for number, name in enumerate(dict.fromkeys(names))}
        self.on = bytearray(len(mutants) + 1)
        self.seen = bytearray(len(self.functions))
        vars(builtins)[ON], vars(builtins)[ENTERED] = self.on, self.seen
        sys.meta_path.insert(0, self)

    def entered(self) -> list[str]:
        """The functions entered since this was asked last."""
        found = [name for name, number in self.functions.items() if self.seen[number]]
        self.seen[:] = bytes(len(self.seen))
        return found

    def find_spec(
        self, name: str, path: Sequence[str] | None = None, target: object = None
    ) -> ModuleSpec | None:
        if name.partition(".")[0] not in PACKAGES:
            return None
        spec = PathFinder.find_spec(name, path)
        if spec and spec.origin and isinstance(spec.loader, SourceFileLoader):
            spec.loader = _Loader(name, spec.origin, self)
        return spec

    def built(self, file: str, text: bytes) -> ast.Module:
        chosen: dict[Span, list[tuple[int, Change]]] = {}
        for number, one in enumerate(self.mutants):
            if one.file == file:
                chosen.setdefault(one.span, []).append((number, one.change))
        tree = Building(chosen).visit(ast.parse(text))
        for name, function in list(functions(file, tree.body)):
            entry = ast.Assign([_item(ENTERED, self.functions[name], ast.Store())], ast.Constant(1))
            after = int(ast.get_docstring(function, clean=False) is not None)
            function.body.insert(after, ast.copy_location(entry, function.body[0]))
        return ast.fix_missing_locations(tree)


class _Loader(SourceFileLoader):
    def __init__(self, name: str, path: str, switches: Switches) -> None:
        super().__init__(name, path)
        self.switches = switches

    def get_code(self, fullname: str) -> CodeType:
        """Compiles each time: what is kept beside a source must stay the source's."""
        path = Path(self.path)
        return compile(self.switches.built(shown(path), path.read_bytes()), path, "exec", dont_inherit=True)
