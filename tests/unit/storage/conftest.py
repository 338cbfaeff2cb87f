"""The stores of one suite: each test that asks for ``store`` runs over every implementation."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.folder.store import FolderStore
from storage.store import Store


@pytest.fixture(params=["native", "browser"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Store:
    if request.param == "native":
        return FolderStore(tmp_path / "kept")
    return BrowserStore(MemoryShelves())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "kept"


@pytest.fixture
def native(folder: Path) -> FolderStore:
    return FolderStore(folder)
