"""The Python files of the checkout, for tests that read them as text."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from places import ROOT

PACKAGES = ("engine", "storage", "companion")
ONLY_ON_THE_PHONE = {"js", "flet_js", "pyodide", "pyodide_js"}


def python_files(*folders: str) -> Iterator[Path]:
    for folder in folders:
        yield from sorted((ROOT / folder).rglob("*.py"))


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imported(path: Path) -> set[str]:
    """The top-level names of everything a file imports, also inside functions."""
    nodes = list(ast.walk(tree_of(path)))
    plain = {alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names}
    named = {node.module or "" for node in nodes if isinstance(node, ast.ImportFrom) and not node.level}
    return {name.partition(".")[0] for name in plain | named}


def shown(path: Path) -> str:
    """A path as it is written in the checkout."""
    return path.relative_to(ROOT).as_posix()
