"""The stores of one suite: each test that asks for ``store`` runs over every implementation."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.browser import BrowserStore
from storage.database import NativeStore
from storage.memory import MemoryStore
from storage.memory_shelves import MemoryShelves
from storage.protocol import Store


@pytest.fixture(params=["memory", "native", "browser"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Store:
    match request.param:
        case "memory":
            return MemoryStore()
        case "native":
            return NativeStore(tmp_path / "kept")
    return BrowserStore(MemoryShelves())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "kept"


@pytest.fixture
def native(folder: Path) -> NativeStore:
    return NativeStore(folder)
