"""The folder that a person chose for copies, beyond the page: only its script can reach it.

The page keeps which folder it is, and the browser asks the person whether the page may write there. Picker
and permission need a tap that is recent (HTML, “transient activation”: Chromium allows 5 s). A tap goes
through the client to Python and back to the script: 49 ms with the local server and 231 ms in the offline
build, measured on 30 November 2026 in Chromium on a busy computer with two cores. Where it takes longer than
5 s, the person is asked to press once more.
"""

from __future__ import annotations

import asyncio
import secrets
from base64 import b64decode
from binascii import Error as NoBase64
from collections.abc import Mapping
from typing import NamedTuple, Protocol

from companion.services.page_channel import PageChannel
from companion.services.page_messages import FolderAnswer, FolderAsked, FolderOutcome
from storage.exchange.backup import LARGEST_BACKUP_BYTES
from storage.problem import Cause, StorageProblem

LOOK_LIMIT_S = 3
FILE_LIMIT_S = 20
PERSON_LIMIT_S = 600
"""How long a person may look for a folder. † Our judgement, like the two above."""
KEY = secrets.token_hex(16)
"""Of this process, by which a page knows its Python again."""
_CAUSES = {
    FolderOutcome.lapsed: Cause.folder_lapsed,
    FolderOutcome.no_tap: Cause.folder_no_tap,
    FolderOutcome.gone: Cause.folder_gone,
    FolderOutcome.full: Cause.folder_full,
    FolderOutcome.stranger: Cause.folder_stranger,
}


class FolderSeen(NamedTuple):
    """What the page knows: whether the browser has such folders, the chosen one's name, empty for none,
    whether the page may write there now, and the text that ``note`` kept beside it."""

    offered: bool = False
    name: str = ""
    allowed: bool = False
    note: str = ""


class CopiesFolder(Protocol):
    """The folder for copies. The calls about files raise StorageProblem (see storage's FileFolder).

    ``whose`` tells the people apart who train on one device: each may have chosen another folder.
    """

    whose: str

    async def look(self) -> FolderSeen:
        """What the page knows. Raises StorageProblem where it does not answer, or must be loaded again."""
        ...

    async def choose(self) -> FolderSeen | None:
        """Lets the person choose a folder; None where they chose none. Only in answer to a tap."""
        ...

    async def allow(self) -> bool:
        """Asks the person to let the page write again. Only in answer to a tap."""
        ...

    async def forget(self) -> None:
        """Forgets which folder it is; what is in it stays."""
        ...

    async def note(self, text: str) -> None:
        """Keeps a text beside the folder, for as long as the folder is known."""
        ...

    async def stamps(self) -> Mapping[str, str]: ...

    async def read(self, name: str) -> bytes: ...

    async def write(self, name: str, content: bytes) -> str: ...


class NoFolder:
    """Where no page of ours could reach a folder."""

    whose = ""

    async def look(self) -> FolderSeen:
        return FolderSeen()

    async def choose(self) -> FolderSeen | None:
        return None

    async def allow(self) -> bool:
        return False

    async def forget(self) -> None:
        """There is none."""

    async def note(self, text: str) -> None:
        """There is none."""

    async def stamps(self) -> Mapping[str, str]:
        raise StorageProblem(Cause.folder_gone)

    async def read(self, name: str) -> bytes:  # noqa: ARG002
        raise StorageProblem(Cause.folder_gone)

    async def write(self, name: str, content: bytes) -> str:  # noqa: ARG002
        raise StorageProblem(Cause.folder_gone)


class PageFolder:
    """The folder that the script of one page reaches. ``take`` gets each answer of the page."""

    def __init__(self, channel: PageChannel) -> None:
        self.whose = ""
        self._channel = channel
        self._asked = 0
        self._waiting: dict[int, asyncio.Future[FolderAnswer]] = {}
        self._name = ""

    def take(self, answer: FolderAnswer) -> None:
        """Takes in an answer; one that nobody waits for any more is dropped."""
        waiting = self._waiting.pop(answer.ask, None)
        if waiting is not None and not waiting.done():
            waiting.set_result(answer)

    async def look(self) -> FolderSeen:
        return self._seen(await self._ask(FolderAsked(ask=0, key=KEY, do="look"), LOOK_LIMIT_S))

    async def choose(self) -> FolderSeen | None:
        answer = await self._ask(FolderAsked(ask=0, key=KEY, do="choose"), PERSON_LIMIT_S)
        return None if answer.outcome is FolderOutcome.none else self._seen(answer)

    async def allow(self) -> bool:
        try:
            return (await self._ask(FolderAsked(ask=0, key=KEY, do="allow"), PERSON_LIMIT_S)).allowed
        except StorageProblem:
            return False

    async def forget(self) -> None:
        await self._ask(FolderAsked(ask=0, key=KEY, do="forget"), LOOK_LIMIT_S)

    async def note(self, text: str) -> None:
        await self._ask(FolderAsked(ask=0, key=KEY, do="note", text=text), LOOK_LIMIT_S)

    async def stamps(self) -> Mapping[str, str]:
        return (await self._ask(FolderAsked(ask=0, key=KEY, do="list"), FILE_LIMIT_S)).files

    async def read(self, name: str) -> bytes:
        content = b""
        while len(content) <= LARGEST_BACKUP_BYTES:
            asked = FolderAsked(ask=0, key=KEY, do="read", name=name, start=len(content))
            answer = await self._ask(asked, FILE_LIMIT_S)
            try:
                content += b64decode(answer.part, validate=True)
            except NoBase64:
                raise StorageProblem(Cause.folder_fault, self._name, "base64") from None
            if not (answer.more and answer.part):
                break
        return content

    async def write(self, name: str, content: bytes) -> str:
        asked = FolderAsked(ask=0, key=KEY, do="write", name=name, text=content.decode())
        return (await self._ask(asked, FILE_LIMIT_S)).stamp

    def _seen(self, answer: FolderAnswer) -> FolderSeen:
        self._name = answer.name
        return FolderSeen(answer.offered, answer.name, answer.allowed, answer.note)

    async def _ask(self, asked: FolderAsked, within_s: float) -> FolderAnswer:
        """Asks the page. Raises StorageProblem where it does not answer, or cannot do it."""
        self._asked += 1
        number = self._asked
        waiting: asyncio.Future[FolderAnswer] = asyncio.get_running_loop().create_future()
        self._waiting[number] = waiting
        await self._channel.send(asked.model_copy(update={"ask": number, "whose": self.whose}))
        await asyncio.wait([waiting], timeout=within_s)
        self._waiting.pop(number, None)
        if not waiting.done() or waiting.cancelled():
            raise StorageProblem(Cause.folder_away, self._name)
        answer = waiting.result()
        if answer.outcome not in (FolderOutcome.done, FolderOutcome.none):
            cause = _CAUSES.get(answer.outcome, Cause.folder_fault)
            raise StorageProblem(cause, self._name, answer.detail)
        return answer
