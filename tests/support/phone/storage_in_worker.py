"""Runs inside the packaged Python, in a worker of the browser, over the browser's real database."""

from __future__ import annotations

import asyncio
import importlib
import inspect
import itertools
import json
import traceback

import builders
import js
from pyodide.code import run_js
from recounted import agrees_with_a_recount

from companion.words.faults import why
from engine.live.events import RunningRecord
from storage.browser import indexeddb
from storage.browser.indexeddb import IndexedShelves, open_shelves
from storage.browser.lock import WebLock
from storage.browser.shelves import Ask
from storage.browser.store import BrowserStore
from storage.problem import StorageProblem
from storage.schema import Tables

NAME = "kept-by-tests"
EVENTS = 600
locks: dict[str, WebLock] = {}


async def run_suites(modules: tuple[str, ...]) -> str:
    """Runs every test of these modules that asks for a store alone, each over a database of its own."""
    ended: dict[str, str] = {}
    members = [one for module in modules for one in inspect.getmembers(importlib.import_module(module))]
    for name, test in members:
        if not (name.startswith("test_") and list(inspect.signature(test).parameters) == ["store"]):
            continue
        shelves = await open_shelves(f"suite {name}")
        (fault,) = await asyncio.gather(test(BrowserStore(shelves)), return_exceptions=True)
        ended[name] = "".join(traceback.format_exception(fault)) if fault else ""
        shelves.close()
    return json.dumps(ended)


def _run() -> RunningRecord:
    journal = builders.journal()
    for number in range(EVENTS):
        journal.write("resumed" if number % 2 else "paused", 10 * number)
    return journal.record()


async def write_until_ended() -> None:
    """Opens a session and writes its events, telling the number of each once it is acknowledged."""
    run = _run()
    store = BrowserStore(await open_shelves(NAME))
    await store.run.open(run.model_copy(update={"events": ()}))
    told = js.BroadcastChannel.new("acknowledged")
    for event in run.events:
        await store.run.append(event)
        told.postMessage(event.seq)


async def found_run() -> int:
    """The number of events in the session in progress; -1 if they are not those that were written."""
    run = await BrowserStore(await open_shelves(NAME)).run.read()
    return len(run.events) if run and run.events == _run().events[: len(run.events)] else -1


async def take(window: str, take_over: bool) -> str:
    lock = locks[window] = WebLock(on_lost=lambda: None)
    await lock.take(take_over=take_over)
    return lock.access


async def access_of(window: str) -> str:
    return locks[window].access


async def save_profile(window: str, name: str) -> str:
    """What saving answers: empty, or the sentence of the problem."""
    store = BrowserStore(await open_shelves(NAME), may_write=locks[window].holds)
    try:
        await store.person.save_profile(builders.profile(name=name))
    except StorageProblem as problem:
        return why(problem)
    return ""


IN_THE_MIDDLE = """
(at, how) => {
  const { put, add } = IDBObjectStore.prototype;
  let count = 0;
  const broken = (really) => function (...given) {
    count += 1;
    if (count === at && how === "throws") throw new DOMException("full", "QuotaExceededError");
    const request = really.apply(this, given);
    if (count === at && how === "aborts") this.transaction.abort();
    return request;
  };
  Object.assign(IDBObjectStore.prototype, { put: broken(put), add: broken(add) });
  return () => { Object.assign(IDBObjectStore.prototype, { put, add }); return count; };
}
"""


async def break_in_the_middle(how: str) -> str:
    """What saving a second session answers where the browser refuses at each of its requests, with what is
    found then and after a second try: numbers of sessions, and whether figures agree with a full recount."""
    found: list[list[object]] = []
    for at in itertools.count(1):
        shelves = await open_shelves(f"broken in the middle, {how} {at}")
        store = BrowserStore(shelves)
        await store.sessions.save(builders.record(record_id="first"))
        mend = run_js(IN_THE_MIDDLE)(at, how)
        said = await _save_second(store)
        is_past = mend() < at
        found.append([said, await _sessions(store)])
        again = await _save_second(store)
        found[-1] += [again, await _sessions(store)]
        shelves.close()
        if is_past:
            return json.dumps(found)
    raise AssertionError


async def _save_second(store: BrowserStore) -> str:
    try:
        await store.sessions.save(builders.record(record_id="second"))
    except StorageProblem as problem:
        return problem.cause
    return ""


async def _sessions(store: BrowserStore) -> int:
    """The number of sessions; -1 where the figures do not agree with a full recount."""
    held = await store.sessions.records()
    return len(held) if await agrees_with_a_recount(store) else -1


async def save_after_the_browser_closed() -> str:
    """What saving answers, and what is kept, after the browser has closed the database without a word."""
    shelves = await open_shelves("closed by the browser")
    store = BrowserStore(shelves)
    await store.sessions.save(builders.record(record_id="first"))
    shelves._database.close()
    said = await asyncio.gather(_save_second(store), store.sessions.records())
    kept = await _sessions(store)
    shelves.close()
    return json.dumps([said[0], kept])


async def save_after_a_newer_version() -> str:
    """What saving answers in an older window once a newer version has opened the database."""
    shelves = await open_shelves("closed for a newer version", version=1)
    store = BrowserStore(shelves)
    await store.sessions.save(builders.record(record_id="first"))
    newer = await open_shelves("closed for a newer version", version=2, steps={})
    said = await _save_second(store)
    kept = await _sessions(BrowserStore(newer))
    newer.close()
    return json.dumps([said, kept])


FULL = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function () { throw new DOMException("full", "QuotaExceededError"); };
() => { IDBObjectStore.prototype.put = put; }
"""


async def save_where_it_is_full() -> str:
    """What saving answers where the browser has no room: empty, or the sentence of the problem."""
    make_room = run_js(FULL)
    try:
        await BrowserStore(await open_shelves(NAME)).person.save_profile(builders.profile(name="Ailo"))
    except StorageProblem as problem:
        return why(problem)
    finally:
        make_room()
    return ""


async def profile_name() -> str:
    return await _profile_name(await open_shelves(NAME))


def _rename(tables: Tables) -> Tables:
    profile = tables["profile"]["only"]
    return {"profile": {"only": {**profile, "name": profile["name"] + " Dahl"}}}


def _break(tables: Tables) -> Tables:
    raise ValueError("a step that fails")


async def migrate() -> str:
    """What is found in a database of version 1 after an invented step to version 2: one that fails, then one
    that works."""
    name = "kept-through-versions"
    shelves = await open_shelves(name, version=1)
    await BrowserStore(shelves).person.save_profile(builders.profile(name="Runa"))
    shelves.close()
    try:
        await open_shelves(name, version=2, steps={("profile", 1): _break})
        failed = "opened"
    except StorageProblem as problem:
        failed = problem.cause
    kept = await _profile_name(await open_shelves(name, version=1))
    shelves = await open_shelves(name, version=2, steps={("profile", 1): _rename})
    aside = [document.key for document in (await shelves.read(Ask("aside")))[0]]
    renamed = await _profile_name(shelves)
    try:
        await open_shelves(name, version=1)
        older = "opened"
    except StorageProblem as problem:
        older = problem.cause
    return json.dumps([failed, kept, renamed, aside, older])


HOLD_OPEN = """name => new Promise((resolve) => {
  const opening = indexedDB.open(name, 1);
  opening.onsuccess = () => resolve(opening.result);
})"""


async def open_beside_an_older_one(closes_after_s: float) -> str:
    """What opening says while another page keeps an older database open, and closes it later or never."""
    name = f"held for {closes_after_s}"
    older = await run_js(HOLD_OPEN)(name)
    indexeddb.OPEN_LIMIT_S = 2
    if closes_after_s:
        asyncio.get_running_loop().call_later(closes_after_s, older.close)
    try:
        (await open_shelves(name)).close()
    except StorageProblem as problem:
        return why(problem)
    finally:
        older.close()
    return "opened"


async def _profile_name(shelves: IndexedShelves) -> str:
    profile = await BrowserStore(shelves).person.profile()
    shelves.close()
    return profile.name if profile else ""
