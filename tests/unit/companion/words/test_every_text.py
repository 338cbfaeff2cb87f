"""Every text that people read stands in the catalogues: no prose in the code but where it is said."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import catalogues
from places import ROOT

SHOWN: tuple[str, ...] = (
    "actions",
    "app.py",
    "cli",
    "paper",
    "samples",
    "services",
    "state",
    "style",
    "views/after",
    "views/controls",
    "views/desk",
    "views/drawings",
    "views/home",
    "views/screens.py",
    "views/session",
    "web",
    "window",
)
"""The rooms whose texts are all in the catalogues; the others follow."""
SAYS = {"say", "several", "msgid"}
INTERNAL = {
    "LookupError",
    "KeyError",
    "TypeVar",
    "theirs",
    "TypeError",
    "RuntimeError",
    "required",
    "AssertionError",
    "exception",
    "compile",
    "warning",
    "error",
    "PlainTextResponse",
    "Template",
}
"""What is called with words for developers: faults that nobody should meet, the log, patterns, answers of the
server to programs, and markup, whose texts are filled in."""
FOR_DEVELOPERS = (
    "companion/services/about.py",
    "companion/services/problem_report.py",
    "companion/web/client.py",
    "companion/web/guard.py",
)
"""The problem report, and what the server says to browsers and programs."""
NAMES = {"Roboto", "Arrow Left", "Arrow Right"}
"""Of a font and of keys: no language translates them."""
_MARKUP = re.compile(r"<[^<>]*>?|^[^<>]*>")
_PROSE = re.compile(r"[A-Za-z’']{2,} [A-Za-z’']{2,}|^[A-Z][a-z]+[a-z ,.:…?!]*$")


def prose(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """The texts that a reader would take for English and that no catalogue knows, with their lines."""
    passed = _left_out(tree)
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
        if not is_text or node in passed or node.value in NAMES:
            continue
        if _PROSE.search(_MARKUP.sub("", node.value)):
            yield node.lineno, node.value


def _left_out(tree: ast.AST) -> set[ast.AST]:
    """Docstrings, what is said, and what developers read."""
    passed: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            passed.add(node.value)
        elif isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in SAYS | INTERNAL:
                passed.update(ast.walk(node))
        elif isinstance(node, ast.arg | ast.AnnAssign) and node.annotation is not None:
            passed.update(ast.walk(node.annotation))
    return passed


def found_in(folder: str) -> dict[str, list[tuple[int, str]]]:
    found = {}
    room = ROOT / "companion" / folder
    for path in [room] if room.is_file() else sorted(room.rglob("*.py")):
        place = path.relative_to(ROOT).as_posix()
        if place in FOR_DEVELOPERS:
            continue
        if texts := [*prose(ast.parse(path.read_text(encoding="utf-8")))]:
            found[place] = texts
    return found


def test_no_prose_stands_outside_the_catalogues() -> None:
    assert {folder: found_in(folder) for folder in SHOWN if found_in(folder)} == {}


def test_prose_is_found_where_nobody_says_it() -> None:
    code = 'title("Kit and loads")\nsay("Kit and loads")\n"""A docstring."""\ntitle(f"{name} is kept.")\n'
    assert [line for line, _ in prose(ast.parse(code))] == [1, 4]


def test_the_catalogues_are_what_the_code_says() -> None:
    assert catalogues.stale() == [], "run: python3 build/dev.py words"
