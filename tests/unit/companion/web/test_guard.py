"""The local server: it refuses foreign names, pages and sockets, and limits what its own page may load.

Outside sources: Fetch standard (Origin and Sec-Fetch-* request headers), RFC 6455 section 10.2 (a server
checks the Origin of a socket), RFC 9110 section 7.2 (Host), Content Security Policy Level 3 (hashes of inline
scripts).
"""

import asyncio
import base64
import contextlib
import hashlib
import re
import socket
from collections.abc import AsyncIterator, Iterator

import flet as ft
import httpx
import msgpack
import pytest
from places import ASSETS
from starlette.testclient import TestClient
from starlette.types import Scope
from starlette.websockets import WebSocketDisconnect
from websockets.asyncio.client import connect
from websockets.exceptions import InvalidStatus

from companion.services.page_channel import PageChannel
from companion.services.page_messages import MAX_FROM_PAGE_CHARS, Greet
from companion.web.door import Door
from companion.web.guard import content_policy, refusal
from companion.web.server import build_app, serve

PORT = 8550
OWN = f"http://127.0.0.1:{PORT}"
TOKEN = "0123456789abcdef" * 2
OPENING = {"Host": f"127.0.0.1:{PORT}", "Origin": OWN}  # how our own page opens a socket
HELLO = (
    '{"kind": "hello", "zone": "Europe/Lisbon", "visible": true, "capabilities":'
    ' {"vibrate": true, "audio": "locked", "voice": "none", "wake_lock": true}}'
)
FOREIGN_ORIGINS = [
    "https://elsewhere.example",
    f"https://127.0.0.1:{PORT}",
    "http://127.0.0.1:8551",
    "http://127.0.0.1",
    f"http://localhost:{PORT}",  # ours too, but not the page's own name
    f"http://127.0.0.1:{PORT}.elsewhere.example",
    "null",
    "",
]
FOREIGN_HOSTS = [
    "elsewhere.example",
    f"elsewhere.example:{PORT}",
    "127.0.0.1",
    "127.0.0.1:8551",
    f"127.0.0.1.elsewhere.example:{PORT}",
    f"192.168.1.20:{PORT}",
    f"0.0.0.0:{PORT}",
    "",
]

sessions: list[tuple[ft.Page, PageChannel]] = []


async def page_main(page: ft.Page, channel: PageChannel) -> None:
    sessions.append((page, channel))
    await channel.send(Greet())


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    door = Door(OWN, port=PORT)
    with TestClient(build_app(page_main, port=PORT, door=door, assets_dir=ASSETS), base_url=OWN) as client:
        client.get(door.new_address(), follow_redirects=False)
        client.headers["Cookie"] = f"companion-{PORT}={client.cookies[f'companion-{PORT}']}"
        yield client


def request_scope(kind: str = "http", **headers: str) -> Scope:
    named = [(name.replace("_", "-").encode(), value.encode()) for name, value in headers.items()]
    return {"type": kind, "headers": named}


# Requests


def test_our_own_page_is_served(client: TestClient) -> None:
    answer = client.get("/")
    assert answer.status_code == 200
    assert "<title>Session companion</title>" in answer.text


def test_our_page_is_served_under_both_names_of_this_computer(client: TestClient) -> None:
    assert client.get("/", headers={"Host": f"localhost:{PORT}"}).status_code == 200


def test_an_address_of_a_screen_is_answered_with_the_page(client: TestClient) -> None:
    assert client.get("/week/2026-W13").text == client.get("/").text


@pytest.mark.parametrize("host", FOREIGN_HOSTS)
def test_a_request_for_a_foreign_host_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/", headers={"Host": host})
    assert answer.status_code == 403
    assert answer.text == "Refused: unknown host.\n"


@pytest.mark.parametrize("origin", FOREIGN_ORIGINS)
def test_a_request_of_a_foreign_page_is_refused(client: TestClient, origin: str) -> None:
    assert client.get("/", headers={"Origin": origin}).status_code == 403


def test_a_request_of_our_own_page_passes(client: TestClient) -> None:
    assert client.get("/cues.js", headers={"Origin": OWN, "Sec-Fetch-Site": "same-origin"}).status_code == 200


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_foreign_page_cannot_embed_a_file_though_it_sends_no_origin(client: TestClient, site: str) -> None:
    headers = {"Sec-Fetch-Site": site, "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"}
    assert client.get("/cues.js", headers=headers).status_code == 403


def test_a_link_on_a_foreign_page_may_lead_to_ours(client: TestClient) -> None:
    headers = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}
    assert client.get("/", headers=headers).status_code == 200


def test_two_hosts_or_two_origins_are_refused() -> None:
    own_host = (b"host", f"127.0.0.1:{PORT}".encode())
    own_origin = (b"origin", OWN.encode())
    assert refusal({"type": "http", "headers": [own_host]}, port=PORT) is None
    assert refusal({"type": "http", "headers": [own_host, own_host]}, port=PORT) == "unknown host"
    assert refusal({"type": "http", "headers": []}, port=PORT) == "unknown host"
    doubled: Scope = {"type": "websocket", "headers": [own_host, own_origin, own_origin]}
    assert refusal(doubled, port=PORT) == "foreign origin"


def test_on_the_standard_port_the_host_may_stand_alone() -> None:
    assert refusal(request_scope(host="127.0.0.1"), port=80) is None
    assert refusal(request_scope("websocket", host="localhost", origin="http://localhost"), port=80) is None


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS"])
def test_nothing_can_be_changed_by_a_request(client: TestClient, method: str) -> None:
    assert client.request(method, "/").status_code == 405


@pytest.mark.parametrize(
    "path", ["/openapi.json", "/upload.bin", "/../pyproject.toml", "/..%2f..%2fpyproject.toml"]
)
def test_there_is_nothing_beside_the_page_and_its_files(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_no_answer_opens_the_server_to_other_sites(client: TestClient) -> None:
    for path in ("/", "/cues.js", "/main.dart.js", "/missing.js"):
        headers = client.get(path).headers
        assert "access-control-allow-origin" not in headers
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["x-frame-options"] == "DENY"
        assert headers["referrer-policy"] == "no-referrer"


def test_the_page_is_never_kept_and_files_are_asked_for_again(client: TestClient) -> None:
    assert client.get("/").headers["cache-control"] == "no-store"
    script = client.get("/cues.js")
    assert script.headers["cache-control"] == "no-cache"
    again = client.get("/cues.js", headers={"If-None-Match": script.headers["etag"]})
    assert again.status_code == 304


# The page and its policy


def test_the_policy_allows_our_origin_and_exactly_the_inline_scripts_of_the_page(client: TestClient) -> None:
    answer = client.get("/")
    rules = dict(rule.split(" ", 1) for rule in answer.headers["content-security-policy"].split("; "))
    inline = re.findall(r"<script(?! src)[^>]*>(.*?)</script>", answer.text, re.DOTALL)
    hashed = {
        f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'" for text in inline
    }
    assert len(inline) == 4
    assert set(rules["script-src"].split()) == {"'self'", "'wasm-unsafe-eval'", *hashed}
    assert rules["default-src"] == "'none'"
    assert rules["frame-ancestors"] == "'none'"
    assert rules["connect-src"] == f"'self' ws://127.0.0.1:{PORT} data: blob:"


def test_no_policy_names_another_origin() -> None:
    policy = content_policy(b"<script>1</script>", host=f"127.0.0.1:{PORT}")
    assert re.findall(r"\b(?:https?|wss?):\S*", policy) == [f"ws://127.0.0.1:{PORT}"]
    assert "'unsafe-eval'" not in policy
    # echo -n 1 | openssl dgst -sha256 -binary | base64
    assert "'sha256-a4ayc/80/OGda4BO/1o/V0etpOqiLx1JwB5S3beHW0s='" in policy


def test_the_page_names_no_other_origin_and_no_mark_of_the_framework(client: TestClient) -> None:
    page = client.get("/").text
    assert re.findall(r"https?://\S+", page) == []
    assert "favicon.png" not in page
    assert "loading-animation" not in page
    assert '<html lang="en">' in page
    assert 'name="viewport"' in page


def test_every_file_that_the_page_names_is_there(client: TestClient) -> None:
    named = re.findall(r'(?:src|href)="([^"]+)"', client.get("/").text)
    assert {"cues.js", "python.js"} <= set(named)
    assert {path: client.get(f"/{path.strip('/')}").status_code for path in named} == dict.fromkeys(
        named, 200
    )


# Sockets


def refused_before_it_opens(client: TestClient, path: str, headers: dict[str, str]) -> bool:
    """Whether the server refuses to open the socket; the test client then raises."""
    with contextlib.suppress(WebSocketDisconnect), client.websocket_connect(path, headers=headers):
        return False
    return True


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost"])
def test_our_own_page_may_open_its_socket(client: TestClient, name: str) -> None:
    headers = {"Host": f"{name}:{PORT}", "Origin": f"http://{name}:{PORT}"}
    assert not refused_before_it_opens(client, f"/cues?page={TOKEN}", headers)


@pytest.mark.parametrize("path", [f"/ws?page={TOKEN}", f"/cues?page={TOKEN}"])
@pytest.mark.parametrize("origin", [*FOREIGN_ORIGINS, None])
def test_a_socket_of_a_foreign_page_or_of_none_is_refused(
    client: TestClient, path: str, origin: str | None
) -> None:
    headers = {"Host": OPENING["Host"]} | ({} if origin is None else {"Origin": origin})
    assert refused_before_it_opens(client, path, headers)


@pytest.mark.parametrize("path", [f"/ws?page={TOKEN}", f"/cues?page={TOKEN}"])
@pytest.mark.parametrize("host", FOREIGN_HOSTS)
def test_a_socket_to_a_foreign_host_is_refused_even_from_its_own_page(
    client: TestClient, path: str, host: str
) -> None:
    assert refused_before_it_opens(client, path, {"Host": host, "Origin": f"http://{host}"})


@pytest.mark.parametrize(
    "path", ["/ws", "/cues", "/ws?page=", f"/cues?page={TOKEN[1:]}", "/cues?page=../" + "0" * 32]
)
def test_a_socket_without_the_token_of_a_page_is_refused(client: TestClient, path: str) -> None:
    assert refused_before_it_opens(client, path, OPENING)


@pytest.mark.parametrize("text", ["", "no json", '{"kind": "launch"}', HELLO + " " * MAX_FROM_PAGE_CHARS])
def test_the_socket_of_the_cues_closes_on_what_our_script_never_says(client: TestClient, text: str) -> None:
    with client.websocket_connect(f"/cues?page={TOKEN}", headers=OPENING) as page:
        page.send_text(HELLO)
        page.send_text(text)
        assert page.receive()["code"] == 1008


def test_the_socket_of_the_cues_closes_on_bytes(client: TestClient) -> None:
    with client.websocket_connect(f"/cues?page={TOKEN}", headers=OPENING) as page:
        page.send_bytes(HELLO.encode())
        assert page.receive()["code"] == 1008


def test_a_session_reaches_the_page_whose_token_its_client_came_with(client: TestClient) -> None:
    register = b"\x00" + msgpack.packb([1, {"session_id": "", "page_name": "", "page": {}}])
    other = f"/cues?page={TOKEN[::-1]}"
    with (
        client.websocket_connect(f"/cues?page={TOKEN}", headers=OPENING) as cues,
        client.websocket_connect(other, headers=OPENING),
        client.websocket_connect(f"/ws?page={TOKEN}", headers=OPENING) as session,
    ):
        session.send_bytes(register)
        assert cues.receive_text() == '{"kind":"greet"}'
    assert not sessions[-1][1].superseded


# The server itself


@contextlib.asynccontextmanager
async def served(port: int = 0) -> AsyncIterator[str]:
    doors: asyncio.Queue[Door] = asyncio.Queue()
    serving = asyncio.create_task(serve(page_main, port=port, assets_dir=ASSETS, on_ready=doors.put_nowait))
    try:
        yield (await doors.get()).new_address()
    finally:
        serving.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await serving


async def test_a_free_port_is_taken_and_told_and_answers_on_this_computer_alone() -> None:
    async with served() as url, httpx.AsyncClient(follow_redirects=True) as http:
        port = httpx.URL(url).port
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/open/[\w-]+", url)
        assert port
        assert (await http.get(url)).status_code == 200
        assert (await http.get(url, headers={"Host": "elsewhere.example"})).status_code == 403
        with socket.socket() as outward:
            # Another address of the loopback network stands for "any other interface of this computer".
            assert outward.connect_ex(("127.0.0.2", port)) != 0


async def test_over_the_wire_a_foreign_socket_gets_403_and_our_own_opens() -> None:
    async with served() as url:
        own = url.partition("/open/")[0]
        cues = f"{own.replace('http', 'ws')}/cues?page={TOKEN}"
        async with httpx.AsyncClient() as http:
            cookie = {"Cookie": (await http.get(url)).headers["set-cookie"].partition(";")[0]}
        with pytest.raises(InvalidStatus) as barred:
            await connect(cues, origin=own, proxy=None)
        assert barred.value.response.status_code == 403
        with pytest.raises(InvalidStatus) as refused:
            await connect(cues, origin="https://elsewhere.example", additional_headers=cookie, proxy=None)
        assert refused.value.response.status_code == 403
        async with connect(cues, origin=own, additional_headers=cookie, proxy=None) as page:
            await page.send(HELLO)
            await page.send("no json")
            await page.wait_closed()
            assert page.close_code == 1008


async def test_the_port_is_free_again_once_the_server_has_ended() -> None:
    async with served() as url:
        port = httpx.URL(url).port
        assert port
    async with served(port) as again:
        assert httpx.URL(again).port == port
        assert again != url


async def test_a_port_that_is_taken_is_an_error_of_the_system() -> None:
    async with served() as url:
        port = httpx.URL(url).port
        assert port
        with pytest.raises(OSError):
            await serve(page_main, port=port, assets_dir=ASSETS, on_ready=print)


@pytest.mark.parametrize("host", ["0.0.0.0", "", "::", "192.168.1.20", "elsewhere.example"])
async def test_the_server_will_not_listen_for_other_computers(host: str) -> None:
    with pytest.raises(ValueError, match="is not this computer"):
        await serve(page_main, host=host, port=0, assets_dir=ASSETS, on_ready=print)
