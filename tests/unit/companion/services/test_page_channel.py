"""Channels between a session and the script of its page."""

import asyncio
import gc
import weakref

import pytest
from page_words import hello, hello_text

from companion.services.page_channel import BroadcastChannel, PageHub, SocketChannel, is_page_token
from companion.services.page_messages import Cancel, Greet, PageMessage

TOKEN = "0123456789abcdef" * 2
OTHER_TOKEN = "fedcba9876543210" * 2


class Socket:
    """The page's end of a socket."""

    def __init__(self, *, broken: bool = False) -> None:
        self.texts: list[str] = []
        self.broken = broken

    async def send_text(self, text: str) -> None:
        if self.broken:
            raise RuntimeError("the socket is closed")
        self.texts.append(text)


def _into(heard):  # type: ignore[no-untyped-def]
    async def listener(message: PageMessage) -> None:
        heard.append(message)

    return listener


async def test_a_session_and_the_socket_of_its_page_find_each_other_in_either_order() -> None:
    hub = PageHub()
    early, late = Socket(), Socket()
    hub.connect(TOKEN, early)
    first = hub.open(TOKEN)
    second = hub.open(OTHER_TOKEN)
    hub.connect(OTHER_TOKEN, late)
    await first.send(Greet())
    await second.send(Cancel())
    assert early.texts == ['{"kind":"greet"}']
    assert late.texts == ['{"kind":"cancel"}']


async def test_what_a_page_says_reaches_its_own_session_only() -> None:
    hub = PageHub()
    heard: dict[str, list[PageMessage]] = {TOKEN: [], OTHER_TOKEN: []}
    channels = [hub.open(token) for token in heard]
    for channel, token in zip(channels, heard, strict=True):
        channel.listen(_into(heard[token]))
    await hub.receive(TOKEN, hello())
    assert heard == {TOKEN: [hello()], OTHER_TOKEN: []}


async def test_a_newer_session_of_the_same_page_supersedes_the_older() -> None:
    hub, socket, heard = PageHub(), Socket(), []
    hub.connect(TOKEN, socket)
    older = hub.open(TOKEN)
    older.listen(_into(heard))
    newer = hub.open(TOKEN)
    await older.send(Cancel())
    await hub.receive(TOKEN, hello())
    await newer.send(Greet())
    assert older.superseded
    assert not newer.superseded
    assert socket.texts == ['{"kind":"greet"}']
    assert heard == []


async def test_a_socket_that_closes_late_does_not_take_its_successor_with_it() -> None:
    hub, old, new = PageHub(), Socket(), Socket()
    channel = hub.open(TOKEN)
    hub.connect(TOKEN, old)
    hub.connect(TOKEN, new)
    hub.disconnect(TOKEN, old)
    await channel.send(Greet())
    assert new.texts == ['{"kind":"greet"}']


async def test_a_session_that_ended_is_forgotten_with_its_channel() -> None:
    hub = PageHub()
    channel = weakref.ref(hub.open(TOKEN))
    gc.collect()
    assert channel() is None
    await hub.receive(TOKEN, hello())  # nobody listens, and nothing fails


async def test_a_broken_socket_stops_neither_the_session_nor_the_next_one() -> None:
    channel = SocketChannel(TOKEN)
    channel.connect(Socket(broken=True))
    await channel.send(Greet())
    again = Socket()
    channel.connect(again)
    await channel.send(Greet())
    assert again.texts == ['{"kind":"greet"}']


async def test_the_offline_channel_speaks_the_same_messages() -> None:
    class Posted:
        def __init__(self) -> None:
            self.texts: list[str] = []

        def postMessage(self, text: str) -> None:  # noqa: N802
            self.texts.append(text)

    posted, receivers, heard = Posted(), [], []

    def open_channel(receive):  # type: ignore[no-untyped-def]
        receivers.append(receive)
        return posted

    channel = BroadcastChannel(open_channel)
    channel.listen(_into(heard))
    await channel.send(Greet())
    receivers[0](hello_text())
    receivers[0]("no message")
    await asyncio.sleep(0)
    assert posted.texts == ['{"kind":"greet"}']
    assert heard == [hello()]


@pytest.mark.parametrize(
    ("text", "good"),
    [
        (TOKEN, True),
        (TOKEN.upper(), False),
        (TOKEN[1:], False),
        (TOKEN + "0", False),
        ("", False),
        (TOKEN + "\n", False),
    ],
)
def test_a_page_token_is_128_bits_in_hexadecimal(text: str, good: bool) -> None:
    assert is_page_token(text) is good
