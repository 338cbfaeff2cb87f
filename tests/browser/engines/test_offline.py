"""The offline build in Firefox and WebKit: one visit, no host, a memory, a new process, a new version."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from engines import ENGINES, kept_in_firefox, page_in
from flutter_page import enable_semantics
from phone_server import serve_folder
from phone_visits import await_kept, await_memory, press, reloaded, renewed, said
from playwright.sync_api import Page
from walk import shown, tap

pytestmark = pytest.mark.engines

FROM_MEMORY = "() => document.documentElement.dataset.python === 'from memory'"


@pytest.fixture(params=ENGINES)
def page(request: pytest.FixtureRequest) -> Iterator[Page]:
    with page_in(request.param) as page:
        yield page


def visit(page: Page, url: str) -> None:
    page.goto(url)
    enable_semantics(page)


def begin_and_leave(page: Page) -> None:
    """Starts a session and loads the page again in the middle of it."""
    tap(page, "Start")
    shown(page, "Something hurts")
    reloaded(page)
    shown(page, "You were away for")


def end_and_save(page: Page) -> None:
    tap(page, "End here and log")
    tap(page, "Save")
    shown(page, "1 session")


def test_after_one_visit_no_host_is_needed(page: Page, phone_host: Path) -> None:
    with serve_folder(phone_host) as origin:
        visit(page, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        await_memory(page)
    reloaded(page)
    page.wait_for_function(FROM_MEMORY)
    begin_and_leave(page)
    end_and_save(page)


def test_a_new_version_is_taken_and_finds_what_was_kept(page: Page, phone_host: Path, tmp_path: Path) -> None:
    shutil.copytree(phone_host / "app", tmp_path / "app")
    with serve_folder(tmp_path) as origin:
        visit(page, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        begin_and_leave(page)
        end_and_save(page)
    renewed(tmp_path / "app", tmp_path / "second", "The second")
    shutil.rmtree(tmp_path / "app")
    (tmp_path / "second").rename(tmp_path / "app")
    with serve_folder(tmp_path, port=urlsplit(origin).port or 0):
        reloaded(page)
        said(page, "A new version is ready.")
        press(page, "Use it now")
        page.wait_for_function("() => document.title === 'The second'")
        enable_semantics(page)
    shown(page, "How many minutes")
    tap(page, "The week")
    shown(page, "1 session")


def test_what_firefox_keeps_is_there_in_a_new_process(phone_host: Path, tmp_path: Path) -> None:
    with serve_folder(phone_host) as origin, kept_in_firefox(tmp_path) as page:
        visit(page, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        begin_and_leave(page)
    with kept_in_firefox(tmp_path) as page:
        visit(page, f"{origin}/app/")
        shown(page, "You were away for")
        end_and_save(page)
