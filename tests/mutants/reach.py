"""Which tests can notice a change: those that enter its function, or the functions that use its names."""

from __future__ import annotations

import ast
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from pathlib import Path

from mutants.changes import PACKAGES, Mutant, functions, names_of
from mutants.checkout import file_of
from mutants.noting import digest
from places import ROOT
from python_files import python_files, shown, tree_of


class Reach:
    """What was noted of each test: its seconds of processor time and the functions it enters."""

    def __init__(self, notes: Path) -> None:
        self.seconds: dict[str, float] = {}
        self.of_file: dict[str, list[str]] = {}
        self.entering: dict[str, set[str]] = defaultdict(set)
        for path in sorted(notes.glob("*.json")):
            noted = json.loads(path.read_text(encoding="utf-8"))
            if (ROOT / noted["file"]).is_file() and noted["digest"] == digest(ROOT / noted["file"]):
                self.of_file[noted["file"]] = list(noted["tests"])
                for test, (seconds, entered) in noted["tests"].items():
                    self.seconds[test] = seconds
                    for number in entered:
                        self.entering[noted["functions"][number]].add(test)
        self.named = {file: mentioned(tree_of(ROOT / file)) for file in self.of_file}
        trees = {shown(path): tree_of(path).body for path in python_files(*PACKAGES)}
        every = chain.from_iterable(functions(file, body) for file, body in trees.items())
        self.mentions = {name: mentioned(node) for name, node in every}
        self.assigned = list(chain.from_iterable(map(assignments, trees.values())))

    def seconds_of(self, tests: Iterable[str]) -> float:
        return sum(self.seconds[test] for test in tests)

    def tests(self, mutant: Mutant, most_s: float) -> list[str]:
        """The tests to try in order, as many as fit into the seconds: first those of the file's own tests,
        then the quickest; last the other tests of the same files, which see what an earlier one left."""
        entering = self.entering[mutant.function] if mutant.function else set()
        exact = entering or self.using(self.names(mutant))
        ranked = sorted(set(map(file_of, exact)), key=lambda file: self.rank(file, exact, mutant))
        every = [test for file in ranked for test in self.of_file[file]]
        chosen, spent_s = [], 0.0
        for test in sorted(every, key=lambda test: test not in exact):
            spent_s += self.seconds[test]
            if spent_s <= most_s:
                chosen.append(test)
        return chosen

    def rank(self, file: str, exact: set[str], mutant: Mutant) -> tuple[bool, bool, float]:
        own = Path("tests", "unit", mutant.file).with_name(f"test_{Path(mutant.file).name}")
        cost_s = self.seconds_of(test for test in self.of_file[file] if test in exact)
        return file != own.as_posix(), not self.named[file] & set(mutant.names), cost_s

    def names(self, mutant: Mutant) -> set[str]:
        """A function that no test was seen to enter; what a change at the import defines, and what is defined
        by means of that."""
        names = more = set(mutant.names) or {mutant.function.rpartition(":")[2].rpartition(".")[2]}
        while more:
            more = {one for target, used in self.assigned if used & names for one in target} - names
            names = names | more
        return names

    def using(self, names: set[str]) -> set[str]:
        """The tests that use names, or enter a function that does."""
        functions = (name for name, used in self.mentions.items() if used & names)
        naming = (self.of_file[file] for file, used in self.named.items() if used & names)
        return set().union(*map(self.entering.__getitem__, functions), *naming)


def mentioned(*nodes: ast.AST) -> set[str]:
    every = [one for node in nodes for one in ast.walk(node)]
    names = {one.id for one in every if isinstance(one, ast.Name)}
    return names | {one.attr for one in every if isinstance(one, ast.Attribute)}


def assignments(
    body: Sequence[ast.stmt], within: frozenset[str] = frozenset()
) -> Iterator[tuple[frozenset[str], set[str]]]:
    """What is defined while a module is imported, each with the names it uses."""
    for node in body:
        match node:
            case ast.ClassDef():
                yield from assignments(node.body, frozenset({node.name}))
            case ast.Assign():
                yield within.union(names_of(node)), mentioned(node.value)
            case ast.AnnAssign():
                used = mentioned(node.annotation, *([node.value] if node.value else []))
                yield within.union(names_of(node)), used
