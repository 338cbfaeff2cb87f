"""Spares the start of Python the compiling of code that exists only as text until it runs.

A dataclass writes its methods as text, and the annotations of models are text. Compiling those took a fifth
of the time of all imports. The build (compile.py) keeps each text with its code; other texts are compiled as
usual.
"""

import builtins
import dataclasses
import importlib
import marshal
from collections.abc import Mapping
from pathlib import Path
from types import CodeType
from typing import Any

TABLE = Path(__file__).with_name("ahead.bin")


def use(compiled: Mapping[str, bytes]) -> None:
    """Makes dataclasses and annotations look up the code of each text in a table."""

    def code_of(text: str) -> CodeType | None:
        found = compiled.get(text)
        return marshal.loads(found) if found else None

    def execute(text: str, *where: Any) -> None:
        builtins.exec(code_of(text) or text, *where)

    def compile_annotation(text: str, *how: Any, **more: Any) -> CodeType:
        return code_of(text) or builtins.compile(text, *how, **more)

    dataclasses.exec = execute  # type: ignore[attr-defined]
    annotationlib: Any = importlib.import_module("annotationlib")  # of Python 3.14
    annotationlib.compile = compile_annotation


use(marshal.loads(TABLE.read_bytes()))
