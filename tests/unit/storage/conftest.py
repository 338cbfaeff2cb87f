"""The stores of one suite: each test that asks for ``store`` runs over every implementation."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.database import NativeStore
from storage.memory import MemoryStore
from storage.protocol import Store


@pytest.fixture(params=["memory", "native"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Store:
    return MemoryStore() if request.param == "memory" else NativeStore(tmp_path / "kept")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "kept"


@pytest.fixture
def native(folder: Path) -> NativeStore:
    return NativeStore(folder)
