"""A client in the test's own process: a real Flet session and page over a connection that packs each message.

Packing collects the differences that a real client would be sent, so a screen holds what it would show.
"""

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import flet as ft
import msgpack
from builders import profile
from flet.controls.context import _context_page
from flet.messaging.connection import Connection
from flet.messaging.protocol import (
    InvokeMethodRequestBody,
    Message,
    SessionCrashedBody,
    configure_encode_object_for_msgpack,
)
from flet.messaging.session import Session
from flet.pubsub.pubsub_hub import PubSubHub
from recording_cues import RecordingCuePlayer
from somebody import BEGAN, HandClock

from companion.app import device_main, run_page
from companion.window.folder_records import FolderRecords
from companion.window.window import Window
from engine.plan.plan import SessionPlan
from storage.folder.owner import Owners
from storage.folder.store import FolderStore
from storage.store import Store

STEPS = 200  # only so that a hang ends


def pack(what: Any) -> None:
    msgpack.packb(what, default=configure_encode_object_for_msgpack(ft.BaseControl))


class PackingConnection(Connection):
    """Packs what it is sent, and keeps the calls to the device by name with their last arguments."""

    def __init__(self) -> None:
        super().__init__()
        self.loop = asyncio.get_running_loop()
        self.executor = ThreadPoolExecutor(1)
        self.pubsubhub = PubSubHub(loop=self.loop, executor=self.executor)
        self.calls: list[str] = []
        self.given: dict[str, Any] = {}
        self.crashes: list[str] = []
        self.answers: dict[str, Any] = {}
        self.answer: Callable[[int, str, Any], None] = lambda control_id, call_id, result: None

    def send_message(self, message: Message) -> None:
        pack([message.action, message.body])
        if isinstance(message.body, InvokeMethodRequestBody):
            self.calls.append(message.body.name)
            self.given[message.body.name] = message.body.args
            result = self.answers.get(message.body.name)
            self.answer(message.body.control_id, message.body.call_id, result)
        if isinstance(message.body, SessionCrashedBody):
            self.crashes.append(message.body.message)


class FletClient:
    """A page on a given platform, and what a person can see and press on it."""

    def __init__(self, platform: ft.PagePlatform) -> None:
        self.connection = PackingConnection()
        self.session = Session(self.connection)
        self.connection.answer = self._answer
        self.page = self.session.page
        self.page.platform = platform
        self.page.width, self.page.height = 1280, 800
        _context_page.set(self.page)
        pack(self.session.get_page_patch())

    def _answer(self, control_id: int, call_id: str, result: Any) -> None:
        """The device does whatever it is asked, and returns what ``answers`` holds."""
        answer = self.session.handle_invoke_method_results
        self.connection.loop.call_soon(answer, control_id, call_id, result, None)

    def controls(self) -> Iterator[Any]:
        views: Any = self.page.views
        for view in views if isinstance(views, list) else [views]:
            yield from _inside(view)
        yield from _inside(self.page._dialogs)

    def texts(self) -> list[str]:
        return [one.value for one in self.controls() if isinstance(one, ft.Text)]

    def shows(self, words: str) -> bool:
        return any(words in text for text in self.texts())

    async def until_shown(self, words: str) -> None:
        for _ in range(STEPS):
            if self.shows(words):
                return
            await asyncio.sleep(0.01)
        raise AssertionError(f"“{words}” never came; there is {self.texts()}")

    async def until_gone(self, words: str) -> None:
        for _ in range(STEPS):
            if not self.shows(words):
                return
            await asyncio.sleep(0.01)
        raise AssertionError(f"“{words}” stays; there is {self.texts()}")

    async def press(self, label: str) -> None:
        """Presses the first button whose label, shown or spoken, begins with ``label``."""
        for one in self.controls():
            if isinstance(one, ft.Button) and any(name.startswith(label) for name in labels_of(one)):
                await self.session.dispatch_event(one._i, "click", None)
                return
        raise AssertionError(f"there is no button “{label}”; there is {self.texts()}")

    def field(self, label: str) -> ft.TextField:
        """The first field whose label begins with ``label``."""
        for one in self.controls():
            named = isinstance(one, ft.Semantics) and (one.label or "").startswith(label)
            if named and isinstance(one.content, ft.TextField):
                return one.content
        raise AssertionError(f"there is no field “{label}”; there is {self.texts()}")

    async def write(self, label: str, text: str) -> None:
        """Writes into a field, as a client would."""
        box = self.field(label)
        self.session.apply_patch(box._i, {"value": text})
        await self.session.dispatch_event(box._i, "change", text)
        await asyncio.sleep(0.02)  # what was written is drawn


def labels_of(button: ft.Button) -> tuple[str, str]:
    """The text of a control, and what a screen reader says instead; of a drawing its name alone."""
    text = next(iter(texts_of(button)), None)
    drawn = getattr(button.content, "label", None) or ""
    return ("", drawn) if text is None else (text.value, text.semantics_label or "")


def texts_of(control: Any) -> list[ft.Text]:
    """Every text in a control."""
    return [one for one in _inside(control) if isinstance(one, ft.Text)]


def _inside(control: Any) -> Iterator[Any]:
    """A control and everything inside it, with what a component drew in place of the component."""
    yield control
    for name in ("content", "controls", "_b"):
        inside = getattr(control, name, None)
        for child in inside if isinstance(inside, (list, tuple)) else [inside]:
            if isinstance(child, ft.BaseControl):
                yield from _inside(child)


async def nothing_to_fill(_: Store) -> None:
    """Leaves the folder as it is."""


async def window_on(
    folder: Path,
    *,
    fill: Callable[[Store], Awaitable[None]] = nothing_to_fill,
    owners: Owners | None = None,
    token: str = "window",
    platform: ft.PagePlatform = ft.PagePlatform.LINUX,
) -> FletClient:
    """A window of the application on a data folder; ``owners`` are those of the process."""
    client = FletClient(platform)
    records = FolderRecords(owners or Owners(), folder, token, fill=fill)
    await device_main(client.page, records=records)
    return client


class Screen:
    """A window over a folder, with a clock in the hand of the test."""

    def __init__(self, folder: Path) -> None:
        self.store, self.clock = FolderStore(folder), HandClock()
        self.client = FletClient(ft.PagePlatform.LINUX)
        records = FolderRecords(Owners(), folder, "window", fill=nothing_to_fill)
        self.window = Window(records, clock=self.clock, cues=RecordingCuePlayer(), zone="UTC")

    async def start(self, of: SessionPlan) -> None:
        await self.store.person.save_profile(profile(cautions_read_at=BEGAN))
        await self.store.plans.save(of)
        await run_page(self.client.page, self.window)
        await self.client.until_shown("How many minutes?")
        await self.client.press("One")
        await self.client.press("Start")
        await self.client.until_shown("Something hurts")

    async def press(self, label: str, *, then: str) -> None:
        await self.client.press(label)
        await self.client.until_shown(then)
