"""How every store keeps records, their amendments and tombstones."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import builders
import pytest
from recounted import LATER, amendment, on, save_all

from companion.words.faults import why
from engine.record.record import SetAnswer
from storage.problem import Cause, StorageProblem
from storage.store import Store, amended_records


async def test_records_are_found_by_the_month_and_the_week_of_their_local_date(store: Store) -> None:
    """ISO 8601: week 14 of 2026 runs from 30 March to 5 April, week 53 to 3 January 2027."""
    march, april, december = on("2026-03-31"), on("2026-04-01"), on("2026-12-31")
    january = on("2027-01-02")
    await save_all(store, january, april, march, december)
    assert await store.sessions.records("2026-03") == (march,)
    assert await store.sessions.records("2026-W14") == (march, april)
    assert await store.sessions.records("2026-W53") == (december, january)
    assert await store.sessions.records("2026-05") == ()
    assert await store.sessions.records() == (march, april, december, january)


async def test_the_local_date_counts_and_not_the_date_in_greenwich(store: Store) -> None:
    auckland = timezone(timedelta(hours=13))
    early = builders.record(started_at=datetime(2026, 4, 1, 7, tzinfo=auckland))
    assert early.started_at.astimezone(UTC).month == 3
    await store.sessions.save(early)
    assert await store.sessions.records("2026-04") == (early,)
    assert await store.sessions.records("2026-03") == ()


async def test_what_is_no_period_is_refused(store: Store) -> None:
    with pytest.raises(ValueError):
        await store.sessions.records("last month")


async def test_saving_the_same_record_again_changes_nothing(store: Store) -> None:
    await save_all(store, builders.record(), builders.record())
    assert await store.sessions.records() == (builders.record(),)


async def test_a_record_never_changes(store: Store) -> None:
    await store.sessions.save(builders.record())
    with pytest.raises(StorageProblem) as problem:
        await store.sessions.save(builders.record(note="Rewritten."))
    assert problem.value.cause is Cause.already_saved
    assert await store.sessions.records() == (builders.record(),)


async def test_an_amendment_stands_beside_its_record(store: Store) -> None:
    record = builders.record()
    await save_all(store, record, on("2026-03-09"))
    await store.sessions.amend(
        amendment(id="second", at=LATER + timedelta(hours=1), field="note", value="Slept badly.")
    )
    await store.sessions.amend(amendment(id="first"))
    assert await store.sessions.record(record.id) == record
    assert [one.id for one in await store.sessions.amendments(record.id)] == ["first", "second"]
    assert await store.sessions.amendments("record-2026-03-09") == ()
    assert await store.sessions.amendments_in("2026-W10") == await store.sessions.amendments(record.id)
    assert await store.sessions.amendments_in("2026-W11") == ()
    (corrected,) = await amended_records(store, "2026-W10")
    assert (corrected.effort, corrected.note) == (7.5, "Slept badly.")


async def test_any_value_of_an_amendment_comes_back_as_it_was(store: Store) -> None:
    record = builders.record()
    answer = SetAnswer(load_g=7_000, repetitions=9, effort=8).model_dump(mode="json")
    late = amendment(field="set", value={"key": record.sets[0].key, "answer": answer})
    await store.sessions.save(record)
    await store.sessions.amend(late)
    assert await store.sessions.amendments(record.id) == (late,)


async def test_the_same_amendment_again_changes_nothing_and_another_with_its_id_is_refused(
    store: Store,
) -> None:
    await store.sessions.save(builders.record())
    await store.sessions.amend(amendment())
    await store.sessions.amend(amendment())
    with pytest.raises(StorageProblem) as problem:
        await store.sessions.amend(amendment(value=3))
    assert problem.value.cause is Cause.already_saved
    assert await store.sessions.amendments("record-1") == (amendment(),)


async def test_an_amendment_needs_its_record(store: Store) -> None:
    with pytest.raises(StorageProblem) as problem:
        await store.sessions.amend(amendment())
    assert why(problem.value) == "There is no session “record-1”."


async def test_an_erased_record_leaves_only_its_tombstone(store: Store) -> None:
    await save_all(store, builders.record(), on("2026-03-04"))
    await store.sessions.amend(amendment())
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.record("record-1") is None
    assert await store.sessions.amendments("record-1") == ()
    assert await store.sessions.amendments_in() == ()
    assert await store.sessions.records() == (on("2026-03-04"),)
    assert [(one.record_id, one.erased_at) for one in await store.sessions.tombstones()] == [
        ("record-1", LATER)
    ]


async def test_a_merge_never_revives_what_was_erased(store: Store) -> None:
    await store.sessions.save(builders.record())
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.save(builders.record()) is False
    await store.sessions.amend(amendment())
    assert await store.sessions.records() == ()
    assert await store.sessions.amendments("record-1") == ()


async def test_a_tombstone_from_elsewhere_keeps_its_record_out(store: Store) -> None:
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.save(builders.record()) is False


async def test_erasing_again_keeps_the_first_tombstone(store: Store) -> None:
    await store.sessions.erase("record-1", at=LATER)
    await store.sessions.erase("record-1", at=LATER + timedelta(days=40))
    assert [one.erased_at for one in await store.sessions.tombstones()] == [LATER]


async def test_a_pain_note_without_a_session_is_kept_once_and_never_changed(store: Store) -> None:
    assert await store.sessions.pain_notes() == ()
    late = builders.noted_pain(id="late", at=builders.STARTED_AT + timedelta(days=1))
    for note in (late, builders.noted_pain(), late):
        assert await store.sessions.save_pain_note(note)
    assert await store.sessions.pain_notes() == (builders.noted_pain(), late)
    with pytest.raises(StorageProblem):
        await store.sessions.save_pain_note(builders.noted_pain(rating=1))


async def test_an_erased_pain_note_leaves_its_id_and_never_comes_back(store: Store) -> None:
    await store.sessions.save_pain_note(builders.noted_pain())
    await store.sessions.save_pain_note(builders.noted_pain(id="other"))
    await store.sessions.erase("note-1", at=builders.STARTED_AT)
    assert [note.id for note in await store.sessions.pain_notes()] == ["other"]
    assert [stone.record_id for stone in await store.sessions.tombstones()] == ["note-1"]
    assert not await store.sessions.save_pain_note(builders.noted_pain())
    assert await store.erase_all(at=builders.STARTED_AT) == (), "the ids are those of sessions"
    assert await store.sessions.pain_notes() == ()
    assert {stone.record_id for stone in await store.sessions.tombstones()} == {"note-1", "other"}
