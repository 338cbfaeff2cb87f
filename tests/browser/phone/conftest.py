"""A small build of two versions, and a host that has the first of them."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext


@pytest.fixture(scope="module")
def small(phone_host: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A build of few files; the second version lies beside it."""
    from version_host import small_build

    first = tmp_path_factory.mktemp("small") / "first"
    small_build(phone_host / "app", first)
    return first


@pytest.fixture
def host(context: BrowserContext, small: Path, tmp_path: Path) -> Iterator[Any]:
    """A ``Host`` (version_host.py) whose first version is kept whole, and a window on it."""
    from phone_server import serve_folder
    from version_host import Host

    with serve_folder(tmp_path) as origin:
        host = Host(tmp_path, context.new_page(), origin)
        host.put(small)
        host.visit()
        assert len(host.look()) == 2
        yield host
