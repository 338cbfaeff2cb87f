"""What only the browser's store has to do: folds of months, windows that compete, damage."""

from __future__ import annotations

import json
from datetime import datetime

import builders
import pytest
from recounted import LATER, agrees_with_a_recount

from companion.words.saying import all_said
from engine.record.amendment import Amendment
from engine.record.record import Record
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Document, Put, Remove
from storage.browser.store import BrowserStore
from storage.problem import Cause, StorageProblem

KNEE_2 = {"joint": "knee", "side": "left", "rating": 2}


@pytest.fixture
def shelves() -> MemoryShelves:
    return MemoryShelves()


@pytest.fixture
def kept(shelves: MemoryShelves) -> BrowserStore:
    return BrowserStore(shelves)


def on(day: str, load_g: int) -> Record:
    started_at = datetime.fromisoformat(f"{day}T18:30:00+01:00")
    loads_g = {"one-hand-press": load_g}
    return builders.record(started_at=started_at, record_id=f"record-{day}", loads_g=loads_g)


def late(record_id: str, field: str, value: int) -> Amendment:
    fields = {
        "id": f"{field} {record_id}",
        "record_id": record_id,
        "at": LATER,
        "field": field,
        "value": value,
    }
    return Amendment.model_validate(fields)


async def test_what_is_counted_agrees_after_every_step_in_whatever_order_months_come(
    kept: BrowserStore,
) -> None:
    for number, day in enumerate(("2026-02-01", "2026-03-01", "2026-01-31", "2026-03-02", "2026-02-28"), 5):
        await kept.sessions.save(on(day, number * 1_000))
        assert await agrees_with_a_recount(kept), day
    for day in ("2026-03-01", "2026-01-31"):
        for field, value in (("effort", 9), ("next_morning_pain", KNEE_2)):
            await kept.sessions.amend(late(f"record-{day}", field, value))
            assert await agrees_with_a_recount(kept), day
    for day in ("2026-03-02", "2026-02-01", "2026-03-01", "2026-02-28", "2026-01-31"):
        await kept.sessions.erase(f"record-{day}", at=LATER)
        assert await agrees_with_a_recount(kept), day
    assert await kept.sessions.records() == ()


async def test_what_was_counted_in_another_way_or_is_damaged_is_counted_again(
    kept: BrowserStore, shelves: MemoryShelves
) -> None:
    await kept.sessions.save(on("2026-02-01", 6_000))
    for text in ('{"made_as": 0}', "torn {"):
        await shelves.change(Put("counted", Document("only", text)), Remove("weeks"))
        assert await agrees_with_a_recount(kept)


async def test_an_event_that_another_window_wrote_meanwhile_is_never_overwritten(
    shelves: MemoryShelves,
) -> None:
    run = builders.journal().write("paused", 4_000)
    other = builders.journal().write("paused", 5_000)
    before, after = BrowserStore(shelves), BrowserStore(shelves)
    await before.run.open(run.record().model_copy(update={"events": ()}))
    await before.run.append(run.events[0])
    await after.run.read()
    await after.run.append(other.events[1])
    with pytest.raises(StorageProblem) as problem:
        await before.run.append(run.events[1])
    assert problem.value.cause is Cause.not_owner
    assert await after.run.read() == other.record()


async def test_a_window_that_does_not_own_the_store_reads_and_changes_nothing(shelves: MemoryShelves) -> None:
    await BrowserStore(shelves).person.save_profile(builders.profile())
    reading = BrowserStore(shelves, may_write=lambda: False)
    assert await reading.person.profile() == builders.profile()
    opening = builders.journal().record().model_copy(update={"events": ()})
    for change in (reading.person.save_profile(builders.profile(name="Ailo")), reading.run.open(opening)):
        with pytest.raises(StorageProblem) as problem:
            await change
        assert problem.value.cause is Cause.not_owner
    assert await reading.person.profile() == builders.profile()


async def test_a_damaged_event_is_put_aside_and_said_and_what_stood_before_it_is_found(
    kept: BrowserStore, shelves: MemoryShelves
) -> None:
    run = builders.journal().write("paused", 4_000).write("resumed", 9_500)
    await kept.run.open(run.record().model_copy(update={"events": ()}))
    for event in run.events:
        await kept.run.append(event)
    await shelves.change(Put("run", Document("00000002", "torn {")))
    found = await kept.run.read()
    assert found is not None
    assert found.events == tuple(run.events[:1])
    (aside,) = shelves.kept["aside"].values()
    assert "torn {" in aside.text
    assert run.events[2].id in aside.text
    assert [all_said(trouble.said) for trouble in await kept.troubles()] == [
        "The session in progress is damaged after step 1."
    ]
    await kept.run.append(run.events[1])


async def test_a_document_that_cannot_be_read_is_a_problem_with_a_sentence(
    kept: BrowserStore, shelves: MemoryShelves
) -> None:
    await shelves.change(Put("profile", Document("only", "torn {")))
    with pytest.raises(StorageProblem, match="damaged"):
        await kept.person.profile()


async def test_what_was_put_aside_of_an_erased_session_goes_with_it() -> None:
    """A damaged running record and the copy before an upgrade hold what the session held."""
    shelves = MemoryShelves()
    store = BrowserStore(shelves)
    record = builders.record(record_id="erase-me", note="my-own-business")
    other = builders.journal().record().model_copy(update={"run_id": "another", "events": ()})
    await store.sessions.save(record)
    upgrade = json.dumps({"records": {"erase-me": record.model_dump_json()}})
    await shelves.change(
        Put("aside", Document("run 00000000 9", f"{record.model_dump_json()} torn")),
        Put("aside", Document("run 00000001 9", "torn my-own-business")),
        Put("aside", Document("before version 2", upgrade)),
        Put("aside", Document("run 00000000 8", other.model_dump_json())),
    )
    await store.sessions.erase("erase-me", at=builders.STARTED_AT)
    kept = [one for shelf in shelves.kept.values() for one in shelf.values()]
    assert [one.key for one in kept if "my-own-business" in one.text] == []
    assert "run 00000000 8" in shelves.kept["aside"]


async def test_folds_that_are_not_of_all_records_are_made_again_at_opening() -> None:
    """Two windows that both wrote left folds of 2 sessions over 3 records; a hold would be missed."""
    shelves = MemoryShelves()
    for number in (1, 2):
        await BrowserStore(shelves).sessions.save(builders.record(record_id=f"record-{number}"))
    stale = {shelf: dict(shelves.kept[shelf]) for shelf in ("counted", "weeks")}
    await BrowserStore(shelves).sessions.save(builders.record(record_id="record-3"))
    shelves.kept |= stale
    reading = BrowserStore(shelves, may_write=lambda: False)
    assert [week.sessions for week in await reading.sessions.week_index()] == [3]
    again = BrowserStore(shelves)
    assert await agrees_with_a_recount(again)
    assert [week.sessions for week in await again.sessions.week_index()] == [3]
    assert shelves.kept["counted"] != stale["counted"], "they are healed"


async def test_folds_that_are_of_all_records_are_not_made_again(monkeypatch: pytest.MonkeyPatch) -> None:
    shelves = MemoryShelves()
    store = BrowserStore(shelves)
    for number, at in enumerate((builders.STARTED_AT, LATER, builders.STARTED_AT)):
        await store.sessions.save(builders.record(record_id=f"record-{number}", started_at=at))
    for number in (0, 2, 1):
        note = Amendment(
            id=f"a-{number}", record_id=f"record-{number}", at=LATER, field="note", value="Late."
        )
        await store.sessions.amend(note)
    await store.sessions.erase("record-2", at=LATER)
    await store.sessions.erase("record-1", at=LATER)
    before = dict(shelves.kept["counted"])

    def never(*_: object) -> None:
        raise AssertionError("made again")

    monkeypatch.setattr("storage.browser.sessions.two_folds", never)
    assert await BrowserStore(shelves).sessions.history() == await store.sessions.history()
    assert shelves.kept["counted"] == before
