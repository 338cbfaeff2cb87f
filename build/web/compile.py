"""Runs on the phone's Python while building: replaces every source below a folder with its bytecode.

Docstrings shrink to a full stop. A dataclass without any would write one at start, which takes long. Code
that is not ours also loses its line numbers, which are a fifth of its size.

Then imports the application, and keeps for ahead.py what was compiled from text meanwhile.
"""

import ast
import builtins
import dataclasses
import importlib
import importlib.util
import marshal
import sys
from importlib._bootstrap_external import _code_to_hash_pyc as to_pyc  # type: ignore[attr-defined]
from pathlib import Path
from types import CodeType
from typing import Any

OURS = ("app/main", "app/engine/", "app/storage/", "app/companion/")
NOWHERE = bytes([0xFF])
"""Eight units of code without a line number (CPython, InternalDocs/code_objects.md)."""
DOCUMENTED = ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef


def without_documentation(tree: ast.Module) -> ast.Module:
    """The same tree, with each docstring cut down to a full stop."""
    for node in ast.walk(tree):
        if isinstance(node, DOCUMENTED) and ast.get_docstring(node, clean=False) is not None:
            first = node.body[0]
            first.value = ast.copy_location(ast.Constant("."), first.value)  # type: ignore[attr-defined]
    return tree


def without_lines(code: CodeType) -> CodeType:
    """The same code without line numbers, in its nested functions too."""
    constants = tuple(without_lines(one) if isinstance(one, CodeType) else one for one in code.co_consts)
    units = len(code.co_code) // 2
    table = NOWHERE * (units // 8) + (bytes([0xF8 + units % 8 - 1]) if units % 8 else b"")
    return code.replace(co_linetable=table, co_consts=constants)


def compile_below(folder: Path) -> None:
    """Replaces every source below a folder with its bytecode."""
    for source in sorted(folder.rglob("*.py")):
        name = source.relative_to(folder).as_posix()
        content = source.read_bytes()
        tree = without_documentation(ast.parse(content, name))
        code = compile(tree, name, "exec", dont_inherit=True)
        if not name.startswith(OURS):
            code = without_lines(code)
        digest = importlib.util.source_hash(content)
        source.with_suffix(".pyc").write_bytes(to_pyc(code, digest, checked=False))
        source.unlink()


def compiled_at_start(app: Path) -> dict[str, bytes]:
    """The code of each text that dataclasses and annotations compile while the application is imported."""
    noted: dict[str, bytes] = {}

    def note(text: str, file: str, mode: str) -> CodeType:
        code = compile(text, file, mode, dont_inherit=True)
        noted[text] = marshal.dumps(without_lines(code))
        return code

    def execute(text: str, *where: Any) -> None:
        builtins.exec(note(text, "<dataclass>", "exec"), *where)

    dataclasses.exec = execute  # type: ignore[attr-defined]
    annotationlib: Any = importlib.import_module("annotationlib")  # of Python 3.14
    annotationlib.compile = note
    sys.path[:0] = [str(app), str(app / "__pypackages__")]
    sys.dont_write_bytecode = True
    importlib.import_module("everything")
    return noted


folder = Path(sys.argv[1])
compile_below(folder)
(folder / "app" / "ahead.bin").write_bytes(marshal.dumps(compiled_at_start(folder / "app")))
