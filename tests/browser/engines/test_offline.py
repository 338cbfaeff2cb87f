"""The offline build in Firefox and WebKit: one visit, no host, a memory, a new process, a new version."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from engines import ENGINES
from own_process import go_through
from phone_server import serve_folder
from phone_visits import hosted, renewed

from companion.views.home.backup import KEPT

pytestmark = [pytest.mark.engines, pytest.mark.parametrize("engine", ENGINES)]

DRAWN = ("name", "everything")
FIRST_VISIT = (
    ("open", "/app/"),
    DRAWN,
    ("kept", "whole"),
    ("press", "I have read this"),
    ("memory", "/app/python-memory"),
    ("press", "Start"),
    ("see", "Something hurts"),
    ("reload", "/app/"),
    DRAWN,
    ("python", "from memory"),
    ("see", "You were away for"),
)
WITHOUT_HOST = (
    ("host", "gone"),
    ("open", "/app/"),
    DRAWN,
    ("python", "from memory"),
    ("see", "You were away for"),
    ("press", "End here and log"),
    ("press", "Save"),
    ("see", "1 session"),
    ("press", "Next session"),
    ("press", "Settings"),
)
NEW_VERSION = (
    ("open", "/app/"),
    DRAWN,
    ("said", "A new version is ready."),
    ("press", "Use it now"),
    ("title", "The second"),
    DRAWN,
    ("see", "How many minutes"),
    ("press", "The week"),
    ("see", "1 session"),
)
TOLD = {"firefox": "unsaid", "webkit": "while_room"}
"""Firefox asks the person, who has not answered here. WebKitGTK cannot be asked: its vendor is Safari's, its
seven days are not."""


def test_after_one_visit_no_host_is_needed_and_what_is_kept_outlives_reload_process_and_version(
    engine: str, phone_host: Path, tmp_path: Path
) -> None:
    """Three processes on one profile: the second finds no host, the third a host with a new version."""
    root, profile = tmp_path / "host", tmp_path / "profile"
    hosted(root, phone_host / "app")
    with serve_folder(root) as origin:
        go_through(engine, profile, root, origin, FIRST_VISIT)
    port = urlsplit(origin).port or 0
    with ExitStack() as host:
        host.enter_context(serve_folder(root, port=port))
        told = ("see", KEPT[TOLD[engine]])
        go_through(engine, profile, root, origin, (*WITHOUT_HOST, told), once_loaded=host.close)
    renewed(root / "app", tmp_path / "second", "The second")
    hosted(root, tmp_path / "second")
    with serve_folder(root, port=port):
        go_through(engine, profile, root, origin, NEW_VERSION)
