"""Ways to reach the script of one page: a socket, or a broadcast channel in the offline build.

Each page has a token of 128 random bits, made by its script. A channel belongs to one page by that token,
stays when the page reloads or its socket drops, and is superseded when a newer session of the application
takes the same page.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from typing import Protocol
from weakref import WeakValueDictionary

from companion.services.page_messages import Message, PageMessage, parse_from_page

Listener = Callable[[PageMessage], Awaitable[None]]

SEND_LIMIT_S = 1.0
_TOKEN = re.compile(r"[0-9a-f]{32}")


def is_page_token(text: str) -> bool:
    return _TOKEN.fullmatch(text) is not None


class PageChannel(Protocol):
    """Messages to and from one page. A page that is away gets none, and says hello when it comes."""

    @property
    def superseded(self) -> bool:
        """True once another session has taken over the page: nothing is sent any more."""
        ...

    def listen(self, listener: Listener) -> None: ...

    async def send(self, message: Message) -> None: ...


class PageSocket(Protocol):
    """The open socket of a page, as far as the channel uses it."""

    async def send_text(self, text: str) -> None: ...


class SocketChannel:
    """Server mode: the page is reached through whichever socket it has open at the moment."""

    def __init__(self, token: str) -> None:
        self.token = token
        self.superseded = False
        self._socket: PageSocket | None = None
        self._listener: Listener | None = None

    def listen(self, listener: Listener) -> None:
        self._listener = listener

    def connect(self, socket: PageSocket | None) -> None:
        self._socket = socket

    async def send(self, message: Message) -> None:
        socket = self._socket
        if socket is None or self.superseded:
            return
        try:
            async with asyncio.timeout(SEND_LIMIT_S):
                await socket.send_text(message.model_dump_json())
        except (OSError, RuntimeError, TimeoutError):
            # The socket is gone or stuck; the page opens another and says hello, and gets everything again.
            if self._socket is socket:
                self._socket = None

    async def receive(self, message: PageMessage) -> None:
        if self._listener is not None and not self.superseded:
            await self._listener(message)


class PageHub:
    """All pages of the local server: brings a session together with the socket of its page.

    Either may come first and either may come again, so both are kept by token. Channels are held weakly: they
    live as long as the session that uses them.
    """

    def __init__(self) -> None:
        self._channels: WeakValueDictionary[str, SocketChannel] = WeakValueDictionary()
        self._sockets: dict[str, PageSocket] = {}

    def open(self, token: str) -> SocketChannel:
        """The channel of a new session for this page; an older session of the same page is superseded."""
        older = self._channels.get(token)
        if older is not None:
            older.superseded = True
        channel = SocketChannel(token)
        channel.connect(self._sockets.get(token))
        self._channels[token] = channel
        return channel

    def connect(self, token: str, socket: PageSocket) -> None:
        """A page has opened its socket; the newest one counts."""
        self._sockets[token] = socket
        channel = self._channels.get(token)
        if channel is not None:
            channel.connect(socket)

    def disconnect(self, token: str, socket: PageSocket) -> None:
        if self._sockets.get(token) is not socket:
            return
        del self._sockets[token]
        channel = self._channels.get(token)
        if channel is not None:
            channel.connect(None)

    async def receive(self, token: str, message: PageMessage) -> None:
        channel = self._channels.get(token)
        if channel is not None:
            await channel.receive(message)


class Broadcast(Protocol):
    """A browser's BroadcastChannel, as far as sending goes."""

    def postMessage(self, text: str) -> None: ...  # noqa: N802 - the browser's name


class BroadcastChannel:
    """Offline build: Python runs in a worker of the page and reaches its script by a broadcast channel."""

    superseded = False

    def __init__(self, open_channel: Callable[[Callable[[str], None]], Broadcast]) -> None:
        """`open_channel` gets the function to call with each text that arrives (see `browser_broadcast`)."""
        self._listener: Listener | None = None
        self._tasks: set[asyncio.Task[None]] = set()
        self._broadcast = open_channel(self._receive)

    def listen(self, listener: Listener) -> None:
        self._listener = listener

    async def send(self, message: Message) -> None:
        self._broadcast.postMessage(message.model_dump_json())

    def _receive(self, text: str) -> None:
        message = parse_from_page(text)
        if message is None or self._listener is None:
            return
        task = asyncio.ensure_future(self._deliver(self._listener, message))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    @staticmethod
    async def _deliver(listener: Listener, message: PageMessage) -> None:
        await listener(message)
