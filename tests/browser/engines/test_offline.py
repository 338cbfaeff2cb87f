"""The offline build in Firefox and WebKit: one visit, no host, a memory, a new process, a new version."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from engines import IN_EACH, page_in
from flutter_page import enable_semantics
from own_process import go_through
from phone_server import serve_folder
from phone_visits import await_kept, await_memory, await_python, hosted, press, reloaded, renewed, said
from playwright.sync_api import Page
from walk import shown, tap, there

from companion.views.home.backup import KEPT

pytestmark = [pytest.mark.engines, pytest.mark.parametrize("engine", IN_EACH)]

FIRST_PROCESS = (
    ("kept", "whole"),
    ("press", "I have read this"),
    ("press", "Start"),
    ("see", "Something hurts"),
)
SECOND_PROCESS = (
    ("see", "You were away for"),
    ("press", "End here and log"),
    ("press", "Save"),
    ("see", "1 session"),
)
TOLD = {"firefox": "unsaid", "webkit": "while_room"}
"""Firefox asks the person, who has not answered here. WebKitGTK cannot be asked: its vendor is Safari's, its
seven days are not."""
FROM_MEMORY = "document.documentElement.dataset.python === 'from memory'"


@pytest.fixture
def page(engine: str) -> Iterator[Page]:
    with page_in(engine) as page:
        yield page


def visit(page: Page, url: str) -> None:
    page.goto(url)
    enable_semantics(page)
    await_python(page)


def begin_and_leave(page: Page) -> None:
    """Starts a session and loads the page again in the middle of it."""
    tap(page, "Start")
    shown(page, "Something hurts")
    reloaded(page)
    await_python(page)
    shown(page, "You were away for")


def end_and_save(page: Page) -> None:
    tap(page, "End here and log")
    tap(page, "Save")
    shown(page, "1 session")


def test_after_one_visit_no_host_is_needed(engine: str, page: Page, phone_host: Path) -> None:
    with serve_folder(phone_host) as origin:
        visit(page, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        await_memory(page)
    reloaded(page)
    await_python(page)
    assert page.evaluate(FROM_MEMORY)
    begin_and_leave(page)
    end_and_save(page)
    tap(page, "Next session")
    tap(page, "Settings")
    there(page, KEPT[TOLD[engine]])


def test_a_new_version_is_taken_and_finds_what_was_kept(page: Page, phone_host: Path, tmp_path: Path) -> None:
    hosted(tmp_path, phone_host / "app")
    with serve_folder(tmp_path) as origin:
        visit(page, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        begin_and_leave(page)
        end_and_save(page)
    renewed(tmp_path / "app", tmp_path / "second", "The second")
    hosted(tmp_path, tmp_path / "second")
    with serve_folder(tmp_path, port=urlsplit(origin).port or 0):
        reloaded(page)
        said(page, "A new version is ready.")
        press(page, "Use it now")
        page.wait_for_function("() => document.title === 'The second'")
        enable_semantics(page)
    await_python(page)
    shown(page, "How many minutes")
    tap(page, "The week")
    shown(page, "1 session")


def test_what_is_kept_is_there_in_a_new_process(engine: str, phone_host: Path, tmp_path: Path) -> None:
    root, profile = tmp_path / "host", tmp_path / "profile"
    hosted(root, phone_host / "app")
    with serve_folder(root) as origin:
        go_through(engine, profile, root, origin, FIRST_PROCESS)
        shutil.rmtree(root / "app")
        go_through(engine, profile, root, origin, SECOND_PROCESS)
