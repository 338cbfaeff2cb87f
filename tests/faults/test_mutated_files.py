"""Files of a data folder, backups and plans, damaged or changed on purpose under a correct checksum.

In a data folder all other files are intact, and the changed one reads as it was, as it was before, or is told
to be lost. A backup or a plan is refused in one sentence or taken in full, never in part. ``MUTATIONS`` sets
how many of each there are, and a quarter as many for the data folder, half of them in a folder of an older
version, which is invented (tests/support/golden/version_0.py).
"""

from __future__ import annotations

import asyncio
import hashlib
import json
import os
import random
import resource
import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import builders
import pytest
import version_0
from builders import STARTED_AT
from mutations import (
    Mutation,
    cut_short,
    make_strange,
    with_a_piece_gone,
    with_a_piece_twice,
    with_other_bytes,
)
from places import GOLDEN

from companion.words.faults import fault_words, why
from companion.words.saying import all_said
from engine.base.issue import Unreadable
from engine.base.reading import read
from engine.plan.check import check
from engine.plan.draft import new_draft
from engine.plan.plan import SessionPlan
from engine.record.amendment import Amendment
from storage import schema
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import Holdings, gather, read_backup, write_backup
from storage.exchange.bring_in import bring_in
from storage.folder.store import FolderStore
from storage.models import KitOwned, SavedDraft, WeekNote
from storage.problem import StorageProblem
from storage.schema import VERSION
from storage.store import amended_records

MUTATIONS = int(os.environ.get("MUTATIONS", "300"))
SEED = 20261125
DERIVED = ("index", "history.json")


def of_zeros(chance: random.Random, content: bytes) -> bytes:
    return bytes(chance.randrange(len(content)))


DAMAGED: tuple[Mutation, ...] = (with_other_bytes, with_a_piece_gone, with_a_piece_twice, cut_short, of_zeros)


def behind_a_right_checksum(chance: random.Random, content: bytes) -> bytes:
    """Another content under a correct checksum."""
    head = json.loads(content)
    tables = head["tables"]
    make_strange(chance, tables)
    body = json.dumps(tables)  # ASCII, so that an escape can hide half a character.
    return _whole(head["format"], body, head["version"])


def _whole(format: str, body: str, version: int = VERSION) -> bytes:
    sha256 = hashlib.sha256(f"{format} {version}\n{body}".encode()).hexdigest()
    head = json.dumps({"format": format, "version": version, "sha256": sha256})
    return f'{head[:-1]}, "tables":\n{body}\n}}\n'.encode()


async def fill(store: Any) -> None:
    await store.person.save_profile(builders.profile())
    await store.person.save_kit(KitOwned())
    await store.plans.save(builders.plan())
    await store.plans.save_draft(SavedDraft(id="new-plan", content=new_draft("new-plan").content))
    await store.person.save_week_note(WeekNote(iso_week="2026-W10"))
    for number in range(3):
        started_at = STARTED_AT + timedelta(days=number)
        await store.sessions.save(
            builders.record(record_id=f"record-{number}", started_at=started_at, effort=6)
        )
    await store.sessions.amend(
        Amendment(id="a", record_id="record-1", at=STARTED_AT + timedelta(days=2), field="effort", value=7)
    )
    await store.sessions.erase("record-gone", at=STARTED_AT)


async def ask_everything(store: FolderStore) -> list[str]:
    """Asks all that opening and the screen of the week ask; returns the sentences of all problems."""
    said = []
    for ask in (
        store.person.profile,
        store.person.kit,
        store.person.settings,
        store.plans.all,
        store.plans.drafts,
        store.person.week_notes,
        store.sessions.week_index,
        store.sessions.history,
        store.sessions.last_loads,
        store.sessions.tombstones,
        store.run.read,
        lambda: amended_records(store),
        lambda: store.sessions.record("record-1"),
        lambda: gather(store),
    ):
        try:
            await ask()
        except StorageProblem as problem:
            said.append(why(problem))
    return [*said, *(all_said(trouble.said) for trouble in await store.troubles())]


class Kept:
    """A data folder that is restored before each mutation."""

    def __init__(self, folder: Path, version: int) -> None:
        self.folder = folder
        if version < VERSION:
            shutil.copytree(version_0.FOLDER, folder)
        else:
            asyncio.run(self._fill())
        self.whole = {
            path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()
        }
        self.names = sorted(name for name in self.whole if not name.name.endswith(".previous"))

    async def _fill(self) -> None:
        store = FolderStore(self.folder)
        await fill(store)
        run = builders.journal()
        await store.run.open(run.record().model_copy(update={"events": ()}))
        await store.run.append(run.events[0])
        await store.sessions.history()

    def put_back(self) -> None:
        shutil.rmtree(self.folder)
        for name, content in self.whole.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)


@pytest.fixture
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Syncs nothing, because these tests are not about power cuts."""
    monkeypatch.setattr(os, "fsync", lambda _: None)


@pytest.mark.usefixtures("no_waiting")
@pytest.mark.parametrize("version", [0, VERSION])
def test_a_mutated_file_of_a_data_folder_is_said_and_all_others_are_there(
    tmp_path: Path, version: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    for start, step in version_0.STEPS.items():
        monkeypatch.setitem(schema.STEPS, start, step)  # type: ignore[arg-type]
    kept, chance = Kept(tmp_path / "kept", version), random.Random(SEED)
    records = {record.id: record for record in asyncio.run(FolderStore(kept.folder).sessions.records())}
    for number in range(MUTATIONS // 8):
        kept.put_back()
        name = chance.choice(kept.names)
        strange = number % 2 == 0 and name.suffix == ".json"
        change = behind_a_right_checksum if strange else chance.choice(DAMAGED)
        changed = change(chance, kept.whole[name])
        (kept.folder / name).write_bytes(changed)
        store = FolderStore(kept.folder)
        said = asyncio.run(ask_everything(store))
        assert all(10 < len(sentence) < 400 for sentence in said), said
        found = {record.id: record for record in asyncio.run(store.sessions.records())}
        if strange and name.parts[0] in DERIVED:
            continue  # Whoever can falsify a figure under a correct checksum can as well remove the sessions.
        for record_id, record in records.items():
            touched = name.stem == record_id
            if not touched or (record_id in found and not strange):
                assert found[record_id] == record, f"{name}, mutation {number}"
            else:
                assert strange or said, f"{name}, mutation {number}"


def backup_of_everything() -> bytes:
    async def make() -> bytes:
        store = BrowserStore(MemoryShelves())
        await fill(store)
        return write_backup((await gather(store)).holdings)

    return asyncio.run(make())


def read_or_sentence(raw: bytes) -> Holdings | str:
    try:
        return read_backup(raw, "backup.json")
    except Unreadable as unreadable:
        return str(unreadable)


def test_a_mutated_backup_is_refused_in_a_sentence_or_brought_in_whole() -> None:
    whole, chance, refused = backup_of_everything(), random.Random(SEED), 0

    async def bring(raw: bytes) -> bool:
        held = read_or_sentence(raw)
        if isinstance(held, str):
            assert 10 < len(held) < 500
            assert held.isprintable()
            return False
        store = BrowserStore(MemoryShelves())
        await bring_in(store, held)
        assert (await gather(store)).holdings.records == tuple(
            record
            for record in held.records
            if record.id not in {stone.record_id for stone in held.tombstones}
        )
        await store.sessions.history()
        await store.sessions.week_index()
        await amended_records(store)
        assert read_backup(write_backup(held), "again.json") == held
        return True

    for number in range(MUTATIONS):
        change = behind_a_right_checksum if number % 3 else DAMAGED[number // 3 % len(DAMAGED)]
        refused += not asyncio.run(bring(change(chance, whole)))
    assert MUTATIONS * 0.3 < refused < MUTATIONS


def test_a_mutated_plan_is_refused_in_sentences_or_can_be_checked() -> None:
    chance, refused = random.Random(SEED), 0
    whole = (GOLDEN / "plan.json").read_bytes()
    for number in range(MUTATIONS):
        if number % 2:
            document = json.loads(whole)
            make_strange(chance, document)
            raw = json.dumps(document).encode()
        else:
            raw = DAMAGED[number // 2 % len(DAMAGED)](chance, whole)
        try:
            issues = check(read(SessionPlan, raw))
        except Unreadable as unreadable:
            issues, refused = unreadable.issues, refused + 1
        assert all(0 < len(fault_words(issue)) < 2_000 for issue in issues)
    assert MUTATIONS * 0.3 < refused < MUTATIONS


BOMBS = {
    "nested a million deep": "[" * 1_000_000,
    "nested and closed": "[" * 500_000 + "]" * 500_000,
    "objects nested deep": '{"a":' * 300_000,
    "a number of a million digits": '{"records":' + "9" * 1_000_000 + "}",
    "not a number": '{"records":{"a":NaN}}',
    "endless": '{"records":{"a":-Infinity}}',
    "too large a power": '{"records":{"a":1e999}}',
    "a million keys": "{" + ",".join(f'"{n}":{{}}' for n in range(300_000)) + "}",
    "a million empty records": '{"records":{' + ",".join(f'"{n}":{{}}' for n in range(300_000)) + "}}",
    "a text of 30 MB": '{"records":{"a":"' + "x" * 30_000_000 + '"}}',
    "half a character": '{"profiles":{"only":{"name":"\\ud800","trainee_id":"a"}}}',
}


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="this system does not tell its memory so")
@pytest.mark.parametrize("name", BOMBS)
def test_a_backup_made_to_do_harm_takes_bounded_memory(name: str) -> None:
    """The system limits this process to 1 GB of address space more than it has now."""
    raw = _whole("backup", BOMBS[name])
    before = resource.getrlimit(resource.RLIMIT_AS)
    in_use = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (in_use + 1_000_000_000, before[1]))
    try:
        held = read_or_sentence(raw)
    finally:
        resource.setrlimit(resource.RLIMIT_AS, before)
    assert (10 < len(held) < 500) if isinstance(held, str) else not any(held)
