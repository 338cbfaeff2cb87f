"""The door of the local server: nobody comes in without an address, and each address works once.

Outside sources: RFC 6265bis (SameSite, HttpOnly; cookies are not kept apart by port, section 8.5), RFC 9110
section 15.4.4 (303 See Other).
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from http.cookies import SimpleCookie
from pathlib import Path

import httpx
import pytest
from app_process import App
from places import ASSETS
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from companion.services.page_channel import PageChannel
from companion.web.door import ENTRANCE, Door
from companion.web.server import build_app

PORT = 8550
OWN = f"http://127.0.0.1:{PORT}"
SOCKET = f"/cues?page={'0123456789abcdef' * 2}"
HEADERS = {"Host": f"127.0.0.1:{PORT}", "Origin": OWN}
FILES = ["/", "/cues.js", "/main.dart.js", "/week/2026-W13", "/missing.js", f"{ENTRANCE}", f"{ENTRANCE}guess"]


async def page_main(page: object, channel: PageChannel) -> None:
    """No session is opened here."""


@pytest.fixture
def door() -> Door:
    return Door(OWN, port=PORT)


@pytest.fixture
def browser(door: Door) -> Iterator[TestClient]:
    with browser_of(door) as client:
        yield client


def browser_of(door: Door) -> TestClient:
    app = build_app(page_main, port=PORT, door=door, assets_dir=ASSETS)
    return TestClient(app, base_url=OWN, follow_redirects=False)


def opens_socket(client: TestClient, **headers: str) -> bool:
    kept = {"Cookie": "; ".join(f"{name}={key}" for name, key in client.cookies.items())}
    asked = HEADERS | kept | headers
    with contextlib.suppress(WebSocketDisconnect), client.websocket_connect(SOCKET, headers=asked):
        return True
    return False


@pytest.mark.parametrize("path", FILES)
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_whoever_has_no_address_gets_nothing(browser: TestClient, method: str, path: str) -> None:
    answer = browser.request(method, path)
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers
    assert answer.text in ("", "Refused: no-entry.\n")


@pytest.mark.parametrize("path", [SOCKET, SOCKET.replace("cues", "ws")])
@pytest.mark.parametrize("cookie", ["", f"companion-{PORT}=", f"companion-{PORT}=guess", "companion-1=x"])
def test_whoever_has_no_address_opens_no_socket(browser: TestClient, path: str, cookie: str) -> None:
    """Another user's program can say any Origin and Host."""
    with (
        pytest.raises(WebSocketDisconnect),
        browser.websocket_connect(path, headers=HEADERS | {"Cookie": cookie}),
    ):
        pass


def test_an_address_is_exchanged_for_a_strict_cookie_and_leads_to_the_page(
    browser: TestClient, door: Door
) -> None:
    answer = browser.get(door.new_address())
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = SimpleCookie(answer.headers["set-cookie"])[f"companion-{PORT}"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "strict"
    assert cookie["path"] == "/"
    assert cookie["domain"] == ""
    assert cookie["max-age"] == cookie["expires"] == "", "it goes with the browser"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert browser.get("/").status_code == 200
    assert opens_socket(browser)


def test_an_address_works_once(browser: TestClient, door: Door) -> None:
    """Who reads it from the arguments of a process, or from a history, comes too late."""
    address = door.new_address()
    assert browser.get(address).status_code == 303
    with browser_of(door) as other:
        assert other.get(address).status_code == 403
        assert not opens_socket(other)


def test_an_address_opened_again_in_its_browser_leads_to_the_page(browser: TestClient, door: Door) -> None:
    address, unused = door.new_address(), door.new_address()
    for one in (address, address):
        assert browser.get(one).status_code == 303
    with browser_of(door) as other:
        assert other.get(unused).status_code == 303


@pytest.mark.parametrize("method", ["HEAD", "POST", "OPTIONS"])
def test_only_opening_an_address_uses_it(browser: TestClient, door: Door, method: str) -> None:
    address = door.new_address()
    assert browser.request(method, address).status_code == 403
    assert browser.get(address).status_code == 303


def test_a_foreign_page_cannot_use_an_address(browser: TestClient, door: Door) -> None:
    address = door.new_address()
    headers = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}
    assert browser.get(address, headers=headers).text == "Refused: foreign page.\n"
    assert browser.get(address).status_code == 303


def test_addresses_are_too_many_to_guess_and_each_has_its_own_secret(door: Door) -> None:
    """RFC 6749 section 10.10: the chance of a guess is at most 2^-128, better 2^-160."""
    addresses = {door.new_address() for _ in range(100)}
    assert len(addresses) == 100
    for one in addresses:
        assert re.fullmatch(rf"{OWN}{ENTRANCE}[A-Za-z0-9_-]{{43}}", one), "256 bits"


def test_once_an_address_is_used_it_is_told_and_only_then(browser: TestClient, door: Door) -> None:
    told: list[str] = []
    printed = door.new_address(on_used=lambda: told.append("printed"))
    assert browser.get(door.new_address()).status_code == 303, "our own browser has an address of its own"
    assert told == []
    with browser_of(door) as other:
        other.get(printed)
        other.get(printed)
    assert told == ["printed"]


def test_the_cookie_of_another_server_opens_nothing(browser: TestClient, door: Door) -> None:
    """After a restart, or on another port: a browser sends both cookies to both."""
    browser.get(door.new_address())
    key = browser.cookies[f"companion-{PORT}"]
    restarted = Door(OWN, port=PORT)
    with browser_of(restarted) as client:
        assert client.get("/", headers={"Cookie": f"companion-{PORT}={key}"}).status_code == 403
        assert not opens_socket(client, Cookie=f"companion-{PORT}={key}")
    elsewhere = Door("http://127.0.0.1:8551", port=8551)
    assert elsewhere.new_address().startswith("http://127.0.0.1:8551/")
    scope = {"type": "http", "headers": [(b"cookie", f"companion-{PORT}={key}".encode())]}
    assert door.knows(scope)
    assert not elsewhere.knows(scope)
    both = {"type": "http", "headers": [(b"cookie", b"companion-8551=other"), *scope["headers"]]}
    assert door.knows(both)


def test_a_person_with_a_used_address_reads_what_to_do(browser: TestClient) -> None:
    headers = {"Sec-Fetch-Mode": "navigate", "Sec-Fetch-Site": "none", "Accept-Language": "xx, en-GB;q=0.8"}
    answer = browser.get(f"{ENTRANCE}used", headers=headers)
    assert answer.status_code == 403
    assert '<html lang="en" dir="ltr">' in answer.text
    assert "Open the address that the companion printed last." in answer.text
    assert '<a href="/">' in answer.text
    assert "script" not in answer.text


def test_the_application_prints_another_address_once_the_printed_one_is_used(tmp_path: Path) -> None:
    """Our own browser is opened by an address of its own, so only the printed one counts here."""
    app = App(tmp_path)
    try:
        first = app.next_address()
        with httpx.Client() as mine, httpx.Client() as theirs:
            assert mine.get(first).status_code == 303
            assert theirs.get(first).status_code == 403
            assert theirs.get(app.url).status_code == 403
            second = app.next_address()
            assert second != first
            assert theirs.get(second).status_code == 303
            assert theirs.get(app.url).status_code == 200
    finally:
        app.stop()
