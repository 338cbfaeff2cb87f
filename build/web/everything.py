"""Imports all that the phone may use, for the memory of a started Python.

Flet imports each of its parts when it is first named, so every name in our code is named here too. Models are
built here, which otherwise happens when each is first used.
"""

import importlib
import pkgutil
import sys
from collections.abc import Iterator
from importlib.machinery import SourcelessFileLoader
from types import CodeType

import flet as ft
import flet.messaging.pyodide_connection
from pydantic import BaseModel, TypeAdapter

import companion.actions
import companion.app
import companion.window.browser_records
from companion.samples import sample_plans
from companion.views.screens import DRAWN_IN, drawer_of
from engine.movements.movement import library

OURS = ("engine", "storage", "companion")


def names_in(code: CodeType) -> Iterator[str]:
    """Every name in some code and in its nested functions."""
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from names_in(constant)


def named_by(package: str) -> set[str]:
    """Every name in the code of a package's imported modules."""
    loaders = [(name, module.__loader__) for name, module in sys.modules.items() if name.startswith(package)]
    codes = (loader.get_code(name) for name, loader in loaders if isinstance(loader, SourcelessFileLoader))
    return {name for code in codes if code for name in names_in(code)}


def make_ready(value: object) -> None:
    """Builds a pydantic model or adapter; does nothing with other values."""
    if isinstance(value, TypeAdapter):
        value.rebuild()
    elif isinstance(value, type) and issubclass(value, BaseModel) and value is not BaseModel:
        value.model_rebuild()


for screen in DRAWN_IN:
    drawer_of(screen)
for found in pkgutil.walk_packages(companion.actions.__path__, "companion.actions."):
    importlib.import_module(found.name)
for name in sorted(named_by("companion") & set(dir(ft))):
    getattr(ft, name)
for name, module in list(sys.modules.items()):
    if name.startswith(OURS):
        for value in vars(module).values():
            make_ready(value)
library()
sample_plans()
