"""Which tests can notice a change: those that enter its function, or the functions that use its names."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from mutants.changes import PACKAGES, Mutant
from mutants.switched import functions
from places import ROOT
from python_files import python_files, shown, tree_of


class Reach:
    """What was measured of each test: its seconds of processor time and the functions it enters."""

    def __init__(self, measured: Iterable[dict[str, Any]]) -> None:
        self.seconds: dict[str, float] = {}
        self.of_file: dict[str, list[str]] = {}
        self.entering: dict[str, set[str]] = defaultdict(set)
        self.mentions = {name: mentioned(node) for name, node in _every_function()}
        self.assigned = list(_every_assignment())
        for of_file in measured:
            self._read(of_file)
        self.named = {file: mentioned(tree_of(ROOT / file)) for file in self.of_file}

    def _read(self, measured: dict[str, Any]) -> None:
        for test, (seconds, entered) in measured["tests"].items():
            self.seconds[test] = seconds
            self.of_file.setdefault(file_of(test), []).append(test)
            for number in entered:
                self.entering[measured["functions"][number]].add(test)

    def seconds_of(self, tests: Iterable[str]) -> float:
        return sum(self.seconds[test] for test in tests)

    def quickest(self, number: int) -> list[str]:
        return sorted(self.seconds, key=lambda test: self.seconds[test])[:number]

    def tests(self, mutant: Mutant, most_s: float) -> list[str]:
        """The tests to try in order, as many as fit into the seconds: first those of the file's own tests,
        then the quickest; last the other tests of the same files, which see what an earlier one left."""
        named = self.names(mutant)
        naming = {file for file, used in self.named.items() if used & named}
        exact = set().union(*(self.entering[name] for name in self.functions(mutant, named)))
        exact |= {test for file in naming for test in self.of_file[file]}
        files = {file_of(test) for test in exact}
        ranked = sorted(files, key=lambda file: self.rank(file, exact, mutant))
        every = [test for file in ranked for test in self.of_file[file]]
        chosen, spent_s = [], 0.0
        for test in (*(one for one in every if one in exact), *(one for one in every if one not in exact)):
            spent_s += self.seconds[test]
            if spent_s <= most_s:
                chosen.append(test)
        return chosen

    def rank(self, file: str, exact: set[str], mutant: Mutant) -> tuple[bool, bool, float]:
        own = Path("tests", "unit", mutant.file).with_name(f"test_{Path(mutant.file).name}")
        cost_s = sum(self.seconds[test] for test in self.of_file[file] if test in exact)
        return file != own.as_posix(), not self.named[file] & set(mutant.names), cost_s

    def names(self, mutant: Mutant) -> set[str]:
        """What a change at the import defines, and what is defined by means of that."""
        names = more = set(mutant.names)
        while more:
            more = {one for target, used in self.assigned if used & names for one in target} - names
            names = names | more
        return names

    def functions(self, mutant: Mutant, named: set[str]) -> set[str]:
        """The function of a change, or for one at the import, those that use what it defines."""
        if mutant.function:
            return {mutant.function}
        return {name for name, used in self.mentions.items() if used & named}


def file_of(test: str) -> str:
    return test.partition("::")[0]


def mentioned(node: ast.AST) -> set[str]:
    names = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
    return names | {one.attr for one in ast.walk(node) if isinstance(one, ast.Attribute)}


def _every_function() -> Iterator[tuple[str, ast.AST]]:
    for path in python_files(*PACKAGES):
        yield from functions(shown(path), tree_of(path).body)


def _every_assignment() -> Iterator[tuple[set[str], set[str]]]:
    """What is defined while a module is imported, and the names that it uses."""
    for path in python_files(*PACKAGES):
        yield from _assignments(tree_of(path).body, set())


def _assignments(body: Iterable[ast.stmt], within: set[str]) -> Iterator[tuple[set[str], set[str]]]:
    for node in body:
        match node:
            case ast.ClassDef():
                yield from _assignments(node.body, {node.name})
            case ast.Assign():
                defined = {one.id for one in _names_in(node.targets)}
                yield defined | within, mentioned(node.value)
            case ast.AnnAssign():
                used = mentioned(node.annotation) | (mentioned(node.value) if node.value else set())
                yield {one.id for one in _names_in([node.target])} | within, used


def _names_in(targets: Iterable[ast.expr]) -> Iterator[ast.Name]:
    return (one for target in targets for one in ast.walk(target) if isinstance(one, ast.Name))
