"""The running record changed in ways that leave its lines whole: valid JSON, with its checksum or without.

What is read is replayed to the byte as the events before the first line that is not as it was written, and
where a line was lost that is said. Who writes a right checksum may say anything: an event is taken where it
follows the last, and whatever it says, a window opens. ``MUTATIONS`` sets how many there are.
"""

from __future__ import annotations

import asyncio
import json
import os
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import builders
import pytest
from builders import STARTED_AT
from mutations import make_strange
from somebody import PLAN, Person

from companion.state.screen import Screen
from companion.words.saying import all_said
from engine.live.events import EVENTS, RunningRecord
from engine.live.run import replay
from storage.folder.running_file import RUNNING_NAME
from storage.folder.store import FolderStore
from storage.journal import line_of
from storage.problem import Cause, StorageProblem

MUTATIONS = int(os.environ.get("MUTATIONS", "300"))
SEED = 20261130


def walked() -> RunningRecord:
    """A session with pauses, skips, pain and a return."""
    run = builders.journal()
    kinds = ("paused", "resumed", "skipped", "more_rest", "form_slipped", "went_back", "redone")
    for number, kind in enumerate(kinds * 2):
        run.write(kind, 2_000 * (number + 1), **({"added_ms": 15_000} if kind == "more_rest" else {}))
    run.write("hurt", 40_000, pain=builders.pain()).write("returned", 41_000, away_ms=90_000)
    return run.record()


RUN = walked()
DOCUMENTS = (
    RUN.model_dump_json(exclude={"events"}).encode(),
    *(EVENTS.dump_json(event) for event in RUN.events),
)


def replayed(run: RunningRecord) -> bytes:
    return replay(run).model_dump_json().encode()


PREFIXES = [
    replayed(RUN.model_copy(update={"events": RUN.events[:count]})) for count in range(len(RUN.events) + 1)
]
Line = Callable[[bytes, random.Random], bytes]


def other_content(document: bytes, chance: random.Random) -> bytes:
    """Valid JSON that says something else; for the first line, of the same format and version."""
    content = json.loads(document)
    make_strange(chance, content)
    return json.dumps(content).encode()


BROKEN: dict[str, Line] = {
    "other content under the old checksum": lambda one, chance: (
        other_content(one, chance) + line_of(one)[-9:]
    ),
    "no checksum": lambda one, _: one,
    "another checksum": lambda one, chance: one + b"\t%08x" % chance.randrange(2**32),
    "a checksum in capitals": lambda one, _: one + line_of(one)[-9:].upper().replace(b"\t", b"\t"),
    "a checksum after a blank": lambda one, _: one + b" " + line_of(one)[-8:],
}


def put(folder: Path, lines: list[bytes]) -> FolderStore:
    (folder / RUNNING_NAME).write_bytes(b"".join(line + b"\n" for line in lines))
    return FolderStore(folder)


@pytest.mark.parametrize("name", BROKEN)
def test_what_stood_before_a_broken_line_is_replayed_to_the_byte_and_the_loss_is_said(
    name: str, tmp_path: Path
) -> None:
    chance = random.Random(SEED)
    for _ in range(MUTATIONS // 10):
        at = chance.randrange(1, len(DOCUMENTS))
        lines = [line_of(one) for one in DOCUMENTS]
        broken = BROKEN[name](DOCUMENTS[at], chance)
        if broken == lines[at]:
            continue
        lines[at] = broken
        store = put(tmp_path, lines)
        found = asyncio.run(store.run.read())
        assert found is not None
        assert replayed(found) == PREFIXES[at - 1]
        (trouble,) = asyncio.run(store.troubles())
        assert f"damaged after step {at - 1}" in all_said(trouble.said)
        again = asyncio.run(FolderStore(tmp_path).run.read())
        assert again == found, "what was read once is read again"


@pytest.mark.parametrize("change", ["gone", "twice", "swapped"])
def test_whole_lines_that_are_gone_doubled_or_swapped_end_what_is_read(change: str, tmp_path: Path) -> None:
    for at in range(1, len(DOCUMENTS) - 1):
        lines = [line_of(one) for one in DOCUMENTS]
        if change == "gone":
            del lines[at]
        elif change == "twice":
            lines.insert(at, lines[at])
        else:
            lines[at], lines[at + 1] = lines[at + 1], lines[at]
        store = put(tmp_path, lines)
        found = asyncio.run(store.run.read())
        assert found is not None
        assert replayed(found) == PREFIXES[at if change == "twice" else at - 1]
        assert len(asyncio.run(store.troubles())) == 1


async def opens(folder: Path) -> Person | None:
    """A window on a folder; None where it says that a newer version wrote there."""
    person = Person(FolderStore(folder), began=STARTED_AT)  # type: ignore[arg-type]
    await person.store.person.save_profile(builders.profile())
    try:
        await person.come_back(PLAN)
    except StorageProblem as problem:
        if problem.cause is Cause.newer:
            return None
        raise
    return person


@pytest.mark.parametrize("first", [True, False], ids=["the opening", "an event"])
def test_whatever_a_line_says_under_a_right_checksum_a_window_opens(first: bool, tmp_path: Path) -> None:
    chance, seen = random.Random(SEED), set[Screen]()
    for number in range(MUTATIONS // 6):
        at = 0 if first else chance.randrange(1, len(DOCUMENTS))
        lines: list[Any] = [line_of(one) for one in DOCUMENTS]
        lines[at] = line_of(other_content(DOCUMENTS[at], chance))
        folder = tmp_path / str(number)
        folder.mkdir()
        put(folder, lines)
        person = asyncio.run(opens(folder))
        if person is None:
            continue
        seen.add(person.state.screen)
        live = person.state.run.live
        assert live is None or live.state.seq >= 0
    assert Screen.running in seen or first
