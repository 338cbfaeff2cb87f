"""The running record's file after crashes: every acknowledged event is there, and no torn one is."""

from __future__ import annotations

import errno
import json
import os
import random
from pathlib import Path
from typing import Any

import builders
import pytest

from companion.words.saying import all_said
from engine.live.events import RunningRecord
from engine.live.run import replay
from storage.folder.running_file import RunningFile
from storage.folder.store import FolderStore
from storage.journal import line_of
from storage.problem import Cause, StorageProblem, Trouble

RUN = (
    builders.journal()
    .write("mark", 0, segment_id="circuit-lead-in")
    .write("paused", 12_000)
    .write("resumed", 15_500)
    .write("hurt", 31_000, pain=builders.pain(words="Left knee – “sharp” ◐"))
)
OPENING = RUN.record().model_copy(update={"events": ()})


class Place:
    def __init__(self, folder: Path) -> None:
        self.path, self.troubles = folder / "running.jsonl", list[Trouble]()

    def open(self) -> RunningFile:
        return RunningFile(self.path, tell=self.troubles.append)

    def written(self, events: int = len(RUN.events)) -> Place:
        run = self.open()
        run.open(OPENING)
        for event in RUN.events[:events]:
            run.append(event)
        return self

    def found(self) -> RunningRecord | None:
        run = self.open()
        run.mend()
        return run.read()

    def asides(self) -> list[str]:
        return sorted(path.name for path in self.path.parent.iterdir() if "damaged" in path.name)


@pytest.fixture
def place(tmp_path: Path) -> Place:
    return Place(tmp_path)


def with_events(number: int) -> RunningRecord:
    return OPENING.model_copy(update={"events": tuple(RUN.events[:number])})


def test_the_first_line_is_the_opening_and_each_further_one_an_event(place: Place) -> None:
    first, *others = place.written().path.read_bytes().decode().splitlines()
    opening = json.loads(first.split("\t")[0])
    assert list(opening)[:2] == ["format", "version"]
    assert "events" not in opening
    assert [json.loads(line.split("\t")[0])["seq"] for line in others] == [1, 2, 3, 4, 5]


def test_a_run_is_replayed_to_the_state_it_had(place: Place) -> None:
    found = place.written().found()
    assert found is not None
    assert replay(found) == RUN.state


def test_a_last_line_torn_at_any_byte_is_dropped_and_the_next_event_goes_in_its_place(place: Place) -> None:
    whole = place.written().path.read_bytes()
    start = whole[:-1].rindex(b"\n") + 1
    for length in range(start, len(whole)):
        place.path.write_bytes(whole[:length])
        assert place.open().read() == with_events(4), "reading alone drops the torn line"
        place.open().append(RUN.events[4])
        assert place.path.read_bytes() == whole
    assert place.troubles == []
    assert place.asides() == []


def test_a_first_line_torn_at_any_byte_is_set_aside(place: Place) -> None:
    whole = place.written(0).path.read_bytes()
    for length in {0, 1, 2, len(whole) // 2, len(whole) - 2, len(whole) - 1}:
        place.path.write_bytes(whole[:length])
        assert place.found() is None
        assert not place.path.exists()
    assert len(place.asides()) == len(place.troubles) == 6
    assert "is damaged from its beginning" in all_said(place.troubles[0].said)


@pytest.mark.parametrize("tail", [b"\0" * 300, b'{"seq": 6', b"\xff\xfe"])
def test_what_a_crash_leaves_after_the_last_line_is_cut(place: Place, tail: bytes) -> None:
    with place.written().path.open("ab") as file:
        file.write(tail)
    assert place.found() == RUN.record()
    assert place.asides() == []


@pytest.mark.parametrize(
    "broken", [b"\0\0\0\n", b'{"seq": 3}\n', b"[" * 100_000 + b"\n", b'{"seq":9,"id":"x","kind":"started"}\n']
)
def test_a_damaged_line_ends_what_is_taken_and_the_whole_is_kept_aside(place: Place, broken: bytes) -> None:
    lines = place.written().path.read_bytes().splitlines(keepends=True)
    lines[3] = broken
    place.path.write_bytes(b"".join(lines))
    assert place.found() == with_events(2)
    assert place.asides() == ["running.jsonl.damaged-1"]
    assert (place.path.parent / "running.jsonl.damaged-1").read_bytes() == b"".join(lines)
    assert "is damaged after step 2" in all_said(place.troubles[0].said)
    assert place.found() == with_events(2)
    assert len(place.troubles) == 1


def test_a_line_ends_with_the_crc_of_its_document() -> None:
    """The check value of CRC-32 as in gzip: 0xCBF43926 for the digits 1 to 9 (Williams, A Painless Guide to
    CRC Error Detection Algorithms, 1993)."""
    assert line_of(b"123456789") == b"123456789\tcbf43926"


def test_no_flipped_bit_reads_as_other_content(place: Place) -> None:
    """Without a checksum 306 of 1,500 flipped bits read as other content. A seeded share in each run."""
    whole = place.written().path.read_bytes()
    states = [with_events(count) for count in range(len(RUN.events) + 1)]
    by_chance = random.Random(13)
    flips = {(by_chance.randrange(len(whole)), by_chance.randrange(8)) for _ in range(600)}
    flips |= {(at, bit) for at, sign in enumerate(whole) if sign == ord("\n") for bit in range(8)}
    for at, bit in flips:
        spoilt = bytearray(whole)
        spoilt[at] ^= 1 << bit
        place.path.write_bytes(spoilt)
        place.troubles.clear()
        found = place.found()
        assert found is None or found in states[:-1], (at, bit)
        assert place.troubles, "it is said, and the whole is kept aside"


def test_an_event_whose_number_does_not_follow_is_damage(place: Place) -> None:
    lines = place.written().path.read_bytes().splitlines(keepends=True)
    place.path.write_bytes(b"".join(lines[:2] + lines[3:]))
    assert place.found() == with_events(1)


@pytest.mark.parametrize("ends_alike", [True, False])
def test_a_run_of_a_newer_version_is_refused_and_left_as_it_is(place: Place, ends_alike: bool) -> None:
    opening, _, rest = place.written().path.read_bytes().partition(b"\n")
    newer = opening.partition(b"\t")[0].replace(b'"version":1', b'"version":2', 1)
    content = b"\n".join((line_of(newer) if ends_alike else newer, rest))
    place.path.write_bytes(content)
    for attempt in (place.found, lambda: place.open().append(RUN.events[0])):
        with pytest.raises(StorageProblem) as problem:
            attempt()
        assert problem.value.cause is Cause.newer
    assert place.path.read_bytes() == content


@pytest.mark.parametrize("call", ["fsync", "write"])
def test_an_event_that_could_not_be_saved_is_not_there_and_can_be_written_again(
    place: Place, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    run = place.open()
    run.open(OPENING)
    run.append(RUN.events[0])
    before = place.path.read_bytes()

    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, "full")

    with monkeypatch.context() as patch:
        patch.setattr(os, call, full)
        with pytest.raises(StorageProblem) as problem:
            run.append(RUN.events[1])
    assert problem.value.cause is Cause.disk_full
    assert place.path.read_bytes() == before
    run.append(RUN.events[1])
    assert place.found() == with_events(2)


def test_a_write_that_takes_only_a_part_is_gone_on_with(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """POSIX write(2) may take fewer bytes than it is given."""
    really = os.write
    monkeypatch.setattr(os, "write", lambda descriptor, line: really(descriptor, line[:7]))
    assert place.written().found() == RUN.record()


def test_each_event_is_synced_after_its_last_byte_and_before_it_is_acknowledged(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    run, really, synced = place.open(), os.fsync, list[bytes]()

    def noting(descriptor: int) -> None:
        synced.append(place.path.read_bytes())
        really(descriptor)

    run.open(OPENING)
    monkeypatch.setattr(os, "fsync", noting)
    for event in RUN.events:
        run.append(event)
        assert synced[-1] == place.path.read_bytes()
    assert len(synced) == len(RUN.events)


def test_events_found_after_a_crash_are_synced_before_anything_is_built_on_them(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The process may have died between a write and its sync, but the event is shown from now on."""
    whole, really, synced = place.written().path.read_bytes(), os.fsync, list[bytes]()

    def noting(descriptor: int) -> None:
        synced.append(place.path.read_bytes())
        really(descriptor)

    monkeypatch.setattr(os, "fsync", noting)
    assert place.found() == RUN.record()
    assert synced == [whole]


def test_another_hand_on_the_file_is_noticed(place: Place) -> None:
    first, second = place.open(), place.open()
    first.open(OPENING)
    first.append(RUN.events[0])
    second.append(RUN.events[1])
    first.append(RUN.events[2])
    assert place.found() == with_events(3)


async def test_the_store_says_what_it_found_damaged(tmp_path: Path) -> None:
    (tmp_path / "running.jsonl").write_bytes(b'{"format":"running-rec')
    store = FolderStore(tmp_path)
    assert await store.run.read() is None
    (trouble,) = await store.troubles()
    assert trouble.where == "running.jsonl"
    await store.run.open(OPENING)
    assert await store.run.read() == OPENING


async def test_a_window_that_may_not_write_sees_a_torn_run_and_touches_nothing(tmp_path: Path) -> None:
    place = Place(tmp_path).written()
    torn = place.path.read_bytes()[:-5]
    place.path.write_bytes(torn)
    assert await FolderStore(tmp_path, may_write=lambda: False).run.read() == with_events(4)
    assert place.path.read_bytes() == torn


async def test_an_opening_that_cannot_be_saved_leaves_no_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = FolderStore(tmp_path)

    def full(*_: Any) -> None:
        raise OSError(errno.ENOSPC, "full")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(StorageProblem):
            await store.run.open(OPENING)
    assert await store.run.read() is None
