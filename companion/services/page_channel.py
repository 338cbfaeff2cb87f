"""Ways to reach the script of one page: a socket, or in the offline build a broadcast channel.

The script of each page makes a token of 128 random bits. A channel belongs to the page with its token. It
outlives a reload of the page and a dropped socket, and is superseded when a newer session of the application
takes the same page over.
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
    """Whether a text has the form of a page's token: 32 hexadecimal digits in lower case."""
    return _TOKEN.fullmatch(text) is not None


class PageChannel(Protocol):
    """Messages to and from one page. A page that is away gets none, and says hello when it comes back."""

    @property
    def superseded(self) -> bool:
        """True once another session has taken the page over. Nothing is sent any more."""
        ...

    def listen(self, listener: Listener) -> None:
        """Calls this listener with each message of the page, and no other any more."""
        ...

    async def send(self, message: Message) -> None:
        """Sends a message, or drops it where the page cannot be reached."""
        ...


class PageSocket(Protocol):
    """What the channel uses of a page's open socket."""

    async def send_text(self, text: str) -> None: ...


class SocketChannel:
    """The way from the local server to a page, through whichever socket the page has open."""

    def __init__(self, token: str) -> None:
        self.token = token
        self.superseded = False
        self._socket: PageSocket | None = None
        self._listener: Listener | None = None

    def listen(self, listener: Listener) -> None:
        self._listener = listener

    def connect(self, socket: PageSocket | None) -> None:
        """Takes in the socket that the page has open now; None while it has none."""
        self._socket = socket

    async def send(self, message: Message) -> None:
        socket = self._socket
        if socket is None or self.superseded:
            return
        try:
            async with asyncio.timeout(SEND_LIMIT_S):
                await socket.send_text(message.model_dump_json())
        except (OSError, RuntimeError, TimeoutError):
            # The socket is gone or stuck. The page opens another, says hello and gets everything again.
            if self._socket is socket:
                self._socket = None

    async def receive(self, message: PageMessage) -> None:
        """Hands a message of the page to the listener."""
        if self._listener is not None and not self.superseded:
            await self._listener(message)


class PageHub:
    """Brings each session of the local server together with the socket of its page, by token.

    Either may come first, and either may come again. Channels are held weakly, so they live as long as the
    session that uses them.
    """

    def __init__(self) -> None:
        self._channels: WeakValueDictionary[str, SocketChannel] = WeakValueDictionary()
        self._sockets: dict[str, PageSocket] = {}

    def open(self, token: str) -> SocketChannel:
        """The channel of a new session for this page. Supersedes an earlier session of the same page."""
        earlier = self._channels.get(token)
        if earlier is not None:
            earlier.superseded = True
        channel = SocketChannel(token)
        channel.connect(self._sockets.get(token))
        self._channels[token] = channel
        return channel

    def connect(self, token: str, socket: PageSocket) -> None:
        """Takes in the socket that a page has opened; the newest one counts."""
        self._sockets[token] = socket
        channel = self._channels.get(token)
        if channel is not None:
            channel.connect(socket)

    def disconnect(self, token: str, socket: PageSocket) -> None:
        """Forgets a socket that has closed, unless its page has opened another since."""
        if self._sockets.get(token) is not socket:
            return
        del self._sockets[token]
        channel = self._channels.get(token)
        if channel is not None:
            channel.connect(None)

    async def receive(self, token: str, message: PageMessage) -> None:
        """Hands a message to the session of its page, if there is one."""
        channel = self._channels.get(token)
        if channel is not None:
            await channel.receive(message)


class Broadcast(Protocol):
    """What is used of a browser's BroadcastChannel."""

    def postMessage(self, text: str) -> None: ...  # noqa: N802 - the browser's name


class BroadcastChannel:
    """The way from the offline build's Python, which runs in a worker of the page, to the page's script."""

    superseded = False

    def __init__(self, open_channel: Callable[[Callable[[str], None]], Broadcast]) -> None:
        """``open_channel`` takes the function to call with each text that arrives (see page_worker.py)."""
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
