"""A plugin of pytest that notes how long each test takes and which functions it enters, in ``MUTANTS_NOTES``
a file for each file of tests. What is tested adds the names of its functions to ``__entered__``."""

from __future__ import annotations

import builtins
import json
import os
from collections.abc import Generator
from hashlib import sha256
from pathlib import Path
from time import process_time

import pytest

entered: set[str] = vars(builtins).setdefault("__entered__", set())
noted: dict[str, tuple[float, list[str]]] = {}


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(
    item: pytest.Item, nextitem: pytest.Item | None
) -> Generator[None, object, object]:
    failed, began = item.session.testsfailed, process_time()
    entered.clear()
    try:
        return (yield)
    finally:
        if item.session.testsfailed == failed:
            noted[item.nodeid] = round(process_time() - began, 3), sorted(entered)
        if nextitem is None or nextitem.path != item.path:
            keep(item.path)


def keep(path: Path) -> None:
    functions = sorted({name for _, names in noted.values() for name in names})
    places = {name: number for number, name in enumerate(functions)}
    tests = {test: (seconds, [places[name] for name in names]) for test, (seconds, names) in noted.items()}
    file = path.relative_to(Path.cwd()).as_posix()
    about = {"file": file, "digest": digest(path), "functions": functions, "tests": tests}
    written = Path(os.environ["MUTANTS_NOTES"], kept_as(file))
    new = written.with_suffix(".new")
    new.write_text(json.dumps(about), encoding="utf-8")
    new.replace(written)
    noted.clear()


def kept_as(file: str) -> str:
    return f"{file.replace('/', '-').removesuffix('.py')}.json"


def digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()[:16]
