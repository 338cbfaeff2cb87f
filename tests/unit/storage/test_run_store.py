"""How every store keeps the session in progress."""

from __future__ import annotations

import builders
import pytest

from storage.problem import Cause, StorageProblem
from storage.store import Store


async def test_a_session_in_progress_is_found_as_it_was_written(store: Store) -> None:
    run = (
        builders.journal()
        .write("paused", 4_000)
        .write("resumed", 9_500)
        .write("hurt", 20_000, pain=builders.pain())
    )
    await store.run.open(run.record().model_copy(update={"events": ()}))
    for event in run.events:
        await store.run.append(event)
    assert await store.run.read() == run.record()


async def test_a_run_is_over_when_it_is_closed(store: Store) -> None:
    opening = builders.journal().record().model_copy(update={"events": ()})
    await store.run.open(opening)
    await store.run.close()
    await store.run.close()
    assert await store.run.read() is None
    await store.run.open(opening)
    assert await store.run.read() == opening


async def test_one_session_runs_at_a_time(store: Store) -> None:
    opening = builders.journal().record().model_copy(update={"events": ()})
    await store.run.open(opening)
    with pytest.raises(StorageProblem) as problem:
        await store.run.open(opening.model_copy(update={"run_id": "run-2"}))
    assert problem.value.cause is Cause.run_in_progress


async def test_events_are_taken_one_after_the_other(store: Store) -> None:
    run = builders.journal().write("paused", 4_000).write("resumed", 9_500)
    with pytest.raises(StorageProblem) as problem:
        await store.run.append(run.events[0])
    assert problem.value.cause is Cause.no_run
    await store.run.open(run.record().model_copy(update={"events": ()}))
    await store.run.append(run.events[0])
    await store.run.append(run.events[0])
    with pytest.raises(ValueError, match="event 2 is next"):
        await store.run.append(run.events[2])
    found = await store.run.read()
    assert found is not None
    assert found.events == tuple(run.events[:1])


async def test_a_run_is_opened_without_events(store: Store) -> None:
    with pytest.raises(ValueError):
        await store.run.open(builders.journal().record())


async def test_a_crash_between_saving_the_record_and_closing_the_run_loses_and_doubles_nothing(
    store: Store,
) -> None:
    run = builders.journal()
    await store.run.open(run.record().model_copy(update={"events": ()}))
    await store.run.append(run.events[0])
    record = builders.record(record_id="run-1")
    await store.sessions.save(record)
    assert await store.run.read() is None
    assert await store.sessions.records() == (record,)
    await store.run.open(run.record().model_copy(update={"run_id": "run-2", "events": ()}))
