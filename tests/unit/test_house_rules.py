"""The house rules that neither ruff nor import-linter can express: how large a room, a file, a function and a
class may be, and where unexpected errors are caught."""

import ast
import importlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from places import ROOT
from pydantic import BaseModel
from python_files import ONLY_ON_THE_PHONE, PACKAGES, imported, python_files, shown, tree_of

EVERYWHERE = (*PACKAGES, "build", "tests")
IN_A_ROOM = (*PACKAGES, "build", "tests/support", "tests/unit")
FILES_A_ROOM = 14
LINES_A_FILE = 400
LINES_A_FUNCTION = 40
"""From ``def`` to the last line, docstring included."""
MEMBERS_A_CLASS = 30
"""Methods, fields, and what ``__init__`` sets on ``self``."""
CATCHES_ALL = {
    "companion/app.py",  # the one presenter of unexpected errors
    "companion/views/controls/safe.py",  # Flet gives a fault in rendering no other way out
}

Function = ast.FunctionDef | ast.AsyncFunctionDef


def nodes(kind: type[ast.AST] | tuple[type[ast.AST], ...]) -> Iterator[tuple[str, ast.AST]]:
    """Every node of a kind, with its place: the file and the name."""
    for path in python_files(*EVERYWHERE):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, kind):
                yield f"{shown(path)}: {getattr(node, 'name', '')}", node


def members(of: ast.ClassDef) -> set[str]:
    """The names of a class's methods and fields, and of what its ``__init__`` sets."""
    found: set[str] = set()
    for node in of.body:
        if isinstance(node, Function):
            found.add(node.name)
        elif isinstance(node, ast.AnnAssign | ast.Assign):
            found.add(ast.unparse(node.target if isinstance(node, ast.AnnAssign) else node.targets[0]))
        if isinstance(node, ast.FunctionDef) and node.name == "__init__":
            found |= {ast.unparse(one).removeprefix("self.") for one in ast.walk(node) if sets_on_self(one)}
    return found


def sets_on_self(node: ast.AST) -> bool:
    return (
        isinstance(node, ast.Attribute)
        and isinstance(node.ctx, ast.Store)
        and isinstance(node.value, ast.Name)
        and node.value.id == "self"
    )


def rooms(*folders: str) -> dict[Path, list[str]]:
    """Each folder with Python files, and the names of those files."""
    found: dict[Path, list[str]] = {}
    for path in python_files(*folders):
        found.setdefault(path.parent, []).append(path.name)
    return found


def is_one_sentence(text: str | None) -> bool:
    return text is not None and "\n" not in text and ". " not in text and text.endswith(".")


def test_a_room_has_few_files() -> None:
    counts = {shown(room): len(set(files) - {"__init__.py"}) for room, files in rooms(*IN_A_ROOM).items()}
    assert {room: count for room, count in counts.items() if count > FILES_A_ROOM} == {}


def test_every_room_says_in_one_sentence_what_it_holds() -> None:
    silent = {
        shown(init)
        for init in (room / "__init__.py" for room in rooms(*PACKAGES))
        if not (init.is_file() and is_one_sentence(ast.get_docstring(tree_of(init))))
    }
    assert silent == set()


def test_a_file_fits_on_a_few_screens() -> None:
    files = python_files(*EVERYWHERE)
    long = {shown(path) for path in files if len(path.read_bytes().splitlines()) > LINES_A_FILE}
    assert long == set()


def test_a_function_fits_on_one_screen() -> None:
    long = {
        place
        for place, node in nodes((ast.FunctionDef, ast.AsyncFunctionDef))
        if node.end_lineno - node.lineno >= LINES_A_FUNCTION
    }
    assert long == set()


def test_a_class_is_an_object_that_a_reader_can_hold() -> None:
    large = {place for place, node in nodes(ast.ClassDef) if len(members(node)) > MEMBERS_A_CLASS}
    assert large == set()


def catches_all(handler: ast.ExceptHandler) -> bool:
    caught = handler.type.elts if isinstance(handler.type, ast.Tuple) else [handler.type]
    return any(kind is None or ast.unparse(kind) in ("Exception", "BaseException") for kind in caught)


def test_unexpected_errors_are_caught_in_known_places_only() -> None:
    catching = {
        shown(path)
        for path in python_files(*PACKAGES)
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.ExceptHandler) and catches_all(node)
    }
    assert catching - CATCHES_ALL == set()


@pytest.mark.parametrize("package", ["engine", "storage"])
def test_every_model_is_frozen_refuses_unknown_fields_and_holds_no_list(package: str) -> None:
    for path in python_files(package):
        if imported(path) & ONLY_ON_THE_PHONE:
            continue
        module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for name, model in vars(importlib.import_module(module)).items():
            if not (isinstance(model, type) and issubclass(model, BaseModel) and model is not BaseModel):
                continue
            assert model.model_config.get("frozen"), name
            assert model.model_config.get("extra") == "forbid", name
            for field, about in model.model_fields.items():
                assert "list[" not in str(about.annotation), f"{name}.{field}"
