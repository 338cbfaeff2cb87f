"""Who may come in: only whoever runs the server, not the other people who use this computer.

Every program on this computer can reach the server. So each address that it gives out carries a secret and
works once: for it a browser gets a cookie, and every request and socket must bring that cookie. Others can
read the arguments of a program that opens an address; by then the address is used.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from html import escape
from string import Template

from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from companion.words.language import chosen
from companion.words.saying import say, speaking
from companion.words.words import Words

ENTRANCE = "/open/"
NO_ENTRY = "no-entry"
_CLOSED = Template("""<!DOCTYPE html>
<html lang="$language" dir="$direction">
<head>
<meta charset="UTF-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>$title</title>
<style>
body { font: 1.125rem/1.5 system-ui, sans-serif; max-width: 34rem; margin: 3rem auto; padding: 0 1rem; }
</style>
</head>
<body>
<h1>$title</h1>
<p>$why</p>
<p><a href="/">$again</a></p>
<p>$cookie</p>
</body>
</html>
""")


def _nothing() -> None:
    """Nobody wants to know."""


class Door:
    """Gives out addresses of the server at ``origin``, and knows who came in by one."""

    def __init__(self, origin: str, *, port: int) -> None:
        self._origin = origin
        self._cookie = f"companion-{port}"  # browsers send the cookies of one port to all of them
        self._key = secrets.token_urlsafe(32)
        self._unused: dict[str, Callable[[], None]] = {}

    def new_address(self, *, on_used: Callable[[], None] = _nothing) -> str:
        """An address that works once; ``on_used`` is called when it has."""
        secret = secrets.token_urlsafe(32)
        self._unused[secret] = on_used
        return f"{self._origin}{ENTRANCE}{secret}"

    def knows(self, scope: Scope) -> bool:
        """Whether a request or socket brings the cookie."""
        cookies = cookie_parser("; ".join(Headers(scope=scope).getlist("cookie")))
        return secrets.compare_digest(cookies.get(self._cookie, "").encode(), self._key.encode())

    def let_in(self, scope: Scope) -> Response | None:
        """The answer to a request for an address; None where it is none, or used by somebody else."""
        path: str = scope["path"]
        if scope["method"] != "GET" or not path.startswith(ENTRANCE):
            return None
        used = self._unused.pop(path.removeprefix(ENTRANCE), None)
        if used is None and not self.knows(scope):
            return None
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(self._cookie, self._key, path="/", httponly=True, samesite="strict")
        if used is not None:
            used()
        return answer


class DoorKeeper:
    """Middleware that lets nobody in whom the door does not know."""

    def __init__(self, app: ASGIApp, *, door: Door) -> None:
        self._app, self._door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
        elif scope["type"] == "websocket":
            if self._door.knows(scope):
                await self._app(scope, receive, send)
            else:
                await send({"type": "websocket.close", "code": 1008, "reason": NO_ENTRY})
        elif (answer := self._door.let_in(scope)) is not None:
            await answer(scope, receive, send)
        elif self._door.knows(scope):
            await self._app(scope, receive, send)
        else:
            await _refusal(scope)(scope, receive, send)


def _refusal(scope: Scope) -> Response:
    if Headers(scope=scope).get("sec-fetch-mode") == "navigate":
        asked = Headers(scope=scope).get("accept-language", "")
        return HTMLResponse(_closed(tuple(one.split(";")[0].strip() for one in asked.split(","))), 403)
    return PlainTextResponse(f"Refused: {NO_ENTRY}.\n", 403)


def _closed(languages: tuple[str, ...]) -> str:
    """The page for somebody whom the door does not know, in the first of their languages that is offered."""
    words = Words(language=chosen(languages))
    with speaking(words):
        said = {
            "title": say("This address has been used"),
            "why": say(
                "Each address works once, in one browser, so that nobody else who uses this computer can "
                "open your records. Open the address that the companion printed last."
            ),
            "again": say("Already open in this browser? Go to it."),
            "cookie": say("Your browser must allow this page a cookie."),
        }
    direction = "rtl" if words.language.locale.is_rtl else "ltr"
    texts = {name: escape(text) for name, text in said.items()}
    return _CLOSED.substitute(language=words.language.code, direction=direction, **texts)
