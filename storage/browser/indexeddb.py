"""The shelves in the browser's own database (IndexedDB).

A transaction ends as soon as control returns to the browser with no request waiting. So each step makes all
its requests at once and waits for all of them. Changes use strict durability: they are on the disk when the
step returns. (Indexed Database API 3.0, W3C: transaction lifetime, durability hint.)

This module can be imported only where Python runs in the browser.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import partial
from typing import Any

import js
from pyodide.ffi import JsException, create_proxy, to_js

from storage.browser.shelves import SHELVES, Ask, Document, KeyTaken, Put, Remove
from storage.problem import Cause, StorageProblem
from storage.schema import STEPS, VERSION, Migrations, Tables, migrate
from storage.trainees import FIRST

NAME = "session-companion"
"""With the folder of the build after it: one origin may hold several. sw.js has the same names."""
SHAPES = 100
"""The number of the database is the version of the documents times this, plus the number of shelves. So a new
shelf needs no new version of the documents."""
OPEN_LIMIT_S = 10
"""† Our judgement, no source."""
_CAUSES = {
    "QuotaExceededError": Cause.browser_full,
    "VersionError": Cause.browser_newer,
    "SecurityError": Cause.browser_refuses,
}
_CAUSES_AT_OPENING = _CAUSES | {
    "InvalidStateError": Cause.browser_refuses,
    "UnknownError": Cause.browser_refuses,
}
"""How a private window says that it keeps nothing. Of a database that is open, both are faults."""


class IndexedShelves:
    """An open database. It closes itself when a newer version of the application wants to upgrade it.

    A browser may close it too, when it runs out of memory or clears what a site keeps: the next step then
    opens it again with ``opened``.
    """

    def __init__(self, database: Any, opened: Callable[[], Awaitable[Any]]) -> None:
        self._opened, self._is_closed, self._opening = opened, False, asyncio.Lock()
        self._use(database)

    def _use(self, database: Any) -> None:
        self._database = database
        self._closing = create_proxy(lambda _: database.close())
        database.onversionchange = self._closing

    async def _transaction(self, *asked: Any) -> Any:
        """A transaction. Nothing may be awaited between it and its requests."""
        try:
            return self._database.transaction(*asked)
        except JsException as error:
            if self._is_closed or "InvalidStateError" not in _words_of(error):
                raise
        async with self._opening:
            if not _is_open(self._database):
                self._closing.destroy()
                self._use(await self._opened())
        return self._database.transaction(*asked)

    async def read(self, *asked: Ask) -> list[list[Document]]:
        with _faults_as_problems():
            transaction = await self._transaction(to_js([ask.shelf for ask in asked]), "readonly")
            requests = [_request(transaction.objectStore(ask.shelf), ask) for ask in asked]
        await _outcome(transaction)
        return [_answer(ask, request.result) for ask, request in zip(asked, requests, strict=True)]

    async def change(self, *changes: Put | Remove) -> None:
        with _faults_as_problems():
            names = to_js(sorted({change.shelf for change in changes}))
            strict = _object(durability="strict")
            transaction = await self._transaction(names, "readwrite", strict)
            try:
                for change in changes:
                    _enter(transaction.objectStore(change.shelf), change)
            except JsException:
                with suppress(JsException):  # the browser has aborted it already
                    transaction.abort()  # Else the changes entered before would be kept without the rest.
                raise
        await _outcome(transaction)

    def close(self) -> None:
        self._is_closed = True
        self._database.close()
        self._closing.destroy()


async def open_shelves(
    name: str = "", *, version: int = VERSION, steps: Migrations = STEPS
) -> IndexedShelves:
    """Opens the database and migrates an older one to this version. Raises StorageProblem.

    One transaction copies all that an older database holds to the shelf ``aside`` and migrates it. A step
    that fails leaves the database as it was.
    """
    opened = partial(_opened, name, version=version, steps=steps)
    return IndexedShelves(await opened(), opened)


async def _opened(name: str, *, version: int, steps: Migrations) -> Any:
    with _faults_as_problems(_CAUSES_AT_OPENING):
        request = js.indexedDB.open(name or database_of(), version * SHAPES + len(SHELVES))
    upgrade = create_proxy(lambda event: _upgrade(request, event.oldVersion // SHAPES, version, steps))
    request.onupgradeneeded = upgrade
    try:  # while another window keeps an older one open, the request waits; a frozen one may never close
        async with asyncio.timeout(OPEN_LIMIT_S):
            await _outcome(request, "success", failed="error", causes=_CAUSES_AT_OPENING)
    except TimeoutError:
        raise StorageProblem(Cause.held_open) from None
    finally:
        upgrade.destroy()
    return request.result


def _is_open(database: Any) -> bool:
    try:
        database.transaction(SHELVES[0], "readonly")
    except JsException:
        return False
    return True


def database_of(key: str = FIRST) -> str:
    """The name of the database of one person who trains in this browser."""
    return f"{NAME} {build_folder()} {key}".rstrip()


def build_folder() -> str:
    """The path of the folder that this Python's worker was loaded from."""
    return str(js.location.pathname).rpartition("/")[0] + "/"


def _upgrade(request: Any, found: int, version: int, steps: Migrations) -> None:
    """Makes the shelves that are missing, and migrates every document of an older version."""
    database = request.result
    for shelf in SHELVES:
        if not database.objectStoreNames.contains(shelf):
            database.createObjectStore(shelf, _object(keyPath="key")).createIndex("at", "at")
    if found in (0, version):
        return
    transaction = request.transaction
    asked = [transaction.objectStore(shelf).getAll() for shelf in SHELVES]

    def step(_: Any) -> None:  # Whatever this raises aborts the transaction, and nothing of it is kept.
        try:
            held = {shelf: _documents(one.result) for shelf, one in zip(SHELVES, asked, strict=True)}
            _migrate(transaction, held, found, version, steps)
        finally:
            read.destroy()

    read = create_proxy(step)
    asked[-1].onsuccess = read  # A transaction answers its requests in order.


def _migrate(
    transaction: Any, held: dict[str, list[Document]], found: int, version: int, steps: Migrations
) -> None:
    texts = {shelf: {one.key: one.text for one in held[shelf]} for shelf in SHELVES if shelf != "aside"}
    copy = Document(f"before version {version}", json.dumps(texts))
    _enter(transaction.objectStore("aside"), Put("aside", copy))
    for shelf, documents in texts.items():
        tables: Tables = {shelf: {key: json.loads(text) for key, text in documents.items()}}
        places = {one.key: one.at for one in held[shelf]}
        for key, document in migrate(tables, shelf, found, steps=steps, version=version)[shelf].items():
            changed = Document(key, json.dumps(document), places.get(key, ""))
            _enter(transaction.objectStore(shelf), Put(shelf, changed))


def _request(shelf: Any, ask: Ask) -> Any:
    if ask.only_keys:
        return shelf.getAllKeys()
    if ask.key is not None:
        return shelf.getAll(ask.key)
    if ask.span is not None:
        return shelf.index("at").getAll(js.IDBKeyRange.bound(*ask.span))
    return shelf.getAll()


def _enter(shelf: Any, change: Put | Remove) -> None:
    if isinstance(change, Put):
        put = shelf.add if change.new else shelf.put
        put(_object(**change.document._asdict()))
    elif change.key is None:
        shelf.clear()
    else:
        shelf.delete(change.key)


def _answer(ask: Ask, found: Any) -> list[Document]:
    return [Document(key, "") for key in found] if ask.only_keys else _documents(found)


def _documents(found: Any) -> list[Document]:
    return [Document(one.key, one.text, one.at) for one in found]


def _object(**fields: str) -> Any:
    return to_js(fields, dict_converter=js.Object.fromEntries)


async def _outcome(
    target: Any, done: str = "complete", *, failed: str = "abort", causes: Mapping[str, Cause] = _CAUSES
) -> None:
    """Waits for a transaction or request to end. Raises KeyTaken or StorageProblem where it failed."""
    ended: asyncio.Future[str] = asyncio.get_running_loop().create_future()

    def end(event: Any) -> None:
        if not ended.done():
            ended.set_result(event.type)

    proxy = create_proxy(end)
    for name in (done, failed):
        target.addEventListener(name, proxy)
    try:
        how = await ended
    finally:
        for name in (done, failed):
            target.removeEventListener(name, proxy)
        proxy.destroy()
    if how != done:
        name = str(getattr(target.error, "name", how))  # what was aborted without a reason has none
        if name == "ConstraintError":
            raise KeyTaken
        raise StorageProblem(causes.get(name, Cause.browser_fault), "this browser's storage", name)


def _words_of(error: JsException) -> str:
    return f"{getattr(error, 'name', '')} {error} {getattr(error, 'stack', '')}"


@contextmanager
def _faults_as_problems(causes: Mapping[str, Cause] = _CAUSES) -> Iterator[None]:
    """Turns what the browser throws into a StorageProblem."""
    try:
        yield
    except AttributeError as error:  # This browser has no such database at all.
        raise StorageProblem(Cause.browser_refuses) from error
    except JsException as error:
        words = _words_of(error)
        cause = next((cause for name, cause in causes.items() if name in words), Cause.browser_fault)
        raise StorageProblem(cause, detail=str(error)) from error
