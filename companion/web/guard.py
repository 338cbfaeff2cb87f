"""Who may talk to the local server, and what its pages may do.

No other computer can reach the server, and no other site in a browser can use it; the door (door.py) keeps
out the other people who use this computer. Every request must name this server as its Host, which refuses a
foreign name that was pointed at this computer. A request that a page sends must come from our own page. A
socket must always say where it comes from, because browsers let any page open a socket to any address.
"""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOCAL_NAMES = ("127.0.0.1", "localhost")
_SCRIPT = re.compile(rb"""<script(?: id="[a-z-]+")?>(.*?)</script>""", re.DOTALL)
_FOREIGN_FETCH = ("cross-site", "same-site")

FIXED_HEADERS = {
    # Cross-origin isolation also gives the page a finer clock: 5 microseconds instead of 100.
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Embedder-Policy": "require-corp",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "screen-wake-lock=(self), geolocation=(), microphone=(), payment=(), usb=()",
}


def refusal(scope: Scope, *, port: int) -> str | None:
    """Why this request or socket is refused; None where it may pass."""
    headers = Headers(scope=scope)
    host = _only(headers, "host")
    if host not in _names(port):
        return "unknown host"
    origins = headers.getlist("origin")
    own = f"http://{host}"
    if origins and origins != [own]:
        return "foreign origin"
    if scope["type"] == "websocket":
        return None if origins else "no origin"
    if headers.get("sec-fetch-site") in _FOREIGN_FETCH and headers.get("sec-fetch-mode") != "navigate":
        return "foreign page"
    return None


def _only(headers: Headers, name: str) -> str | None:
    values = headers.getlist(name)
    return values[0].lower() if len(values) == 1 else None


def _names(port: int) -> tuple[str, ...]:
    with_port = tuple(f"{name}:{port}" for name in LOCAL_NAMES)
    return with_port + LOCAL_NAMES if port == 80 else with_port


def content_policy(html: bytes, *, host: str) -> str:
    """The Content-Security-Policy of a page: our own origin, and the page's inline scripts by their hash.

    The client needs to compile WebAssembly, to set styles by script and to keep pictures in blobs, no more.
    """
    hashes = " ".join(
        f"'sha256-{b64encode(sha256(script).digest()).decode()}'" for script in _SCRIPT.findall(html)
    )
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' 'wasm-unsafe-eval' {hashes}".rstrip(),
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            "media-src 'self' data: blob:",
            f"connect-src 'self' ws://{host} data: blob:",
            "worker-src 'self' blob:",
            "manifest-src 'self'",
            "base-uri 'self'",
            "form-action 'none'",
            "frame-ancestors 'none'",
        )
    )


class LocalOnly:
    """Middleware that refuses foreign requests and sockets and sets the headers of every other answer."""

    def __init__(self, app: ASGIApp, *, port: int) -> None:
        self._app = app
        self._port = port

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        reason = refusal(scope, port=self._port)
        if reason is None:
            outward = (
                send if scope["type"] == "websocket" else _HeaderSetter(send, Headers(scope=scope)["host"])
            )
            await self._app(scope, receive, outward)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008, "reason": reason})
        else:
            await PlainTextResponse(f"Refused: {reason}.\n", 403)(scope, receive, send)


class _HeaderSetter:
    """Sends a response on with our headers. Holds a page back until it is complete, to hash its scripts."""

    def __init__(self, send: Send, host: str) -> None:
        self._send = send
        self._host = host
        self._page_start: Message | None = None
        self._page = b""

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.update(FIXED_HEADERS)
            # The same address may serve another version tomorrow, so the browser asks each time. Most answers
            # are 304.
            headers["Cache-Control"] = "no-cache"
            if headers.get("content-type", "").startswith("text/html"):
                headers["Cache-Control"] = "no-store"
                self._page_start = message
                return
        elif self._page_start is not None and message["type"] == "http.response.body":
            self._page += message.get("body", b"")
            if message.get("more_body", False):
                return
            policy = content_policy(self._page, host=self._host)
            MutableHeaders(scope=self._page_start)["Content-Security-Policy"] = policy
            await self._send(self._page_start)
            message = {"type": "http.response.body", "body": self._page}
        await self._send(message)
