"""The process that is killed: writes events and records, and prints each once it is acknowledged."""

from __future__ import annotations

import asyncio
import itertools
import sys
from datetime import timedelta
from pathlib import Path

import builders

from engine.live.events import EVENTS
from storage.folder.owner import FolderLock
from storage.folder.store import FolderStore


async def write_until_killed(folder: Path) -> None:
    assert FolderLock(folder).take()
    store = FolderStore(folder)
    run = builders.journal().record()
    record = builders.record()
    await store.run.open(run.model_copy(update={"events": ()}))
    for seq in itertools.count(1):
        wall = builders.STARTED_AT + timedelta(seconds=seq)
        event = {"kind": "mark", "seq": seq, "id": f"event-{seq}", "session_ms": seq * 1000, "wall": wall}
        await store.run.append(EVENTS.validate_python(event | {"segment_id": "circuit-1"}))
        print("event", seq, flush=True)
        if seq % 5 == 0:
            await store.sessions.save(record.model_copy(update={"id": f"record-{seq}"}))
            print("record", seq, flush=True)


if __name__ == "__main__":
    asyncio.run(write_until_killed(Path(sys.argv[1])))
