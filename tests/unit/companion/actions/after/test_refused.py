"""What a disk or browser refuses half-way: what was saved before it counts, and the person can go on."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import STARTED_AT
from somebody import WEEK, Person, lifted, looking_back, started, store_with

from companion.services.files import PickedFile
from companion.state.screen import Screen
from engine.movements.movement import Joint, Side
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Ask, Document, Put, Remove
from storage.browser.store import BrowserStore
from storage.exchange.backup import Holdings, write_backup
from storage.problem import Cause, StorageProblem


class Refusing(MemoryShelves):
    """Shelves that refuse one change, after ``passes`` of them, or every reading after the next change."""

    def __init__(self, kept: dict[str, dict[str, Document]]) -> None:
        self.kept = kept
        self.passes: int | None = None
        self.then_reads_nothing = self._reads_nothing = False

    async def change(self, *changes: Put | Remove) -> None:
        if self.passes is not None:
            self.passes -= 1
            if self.passes < 0:
                self.passes = None
                raise StorageProblem(Cause.browser_full)
        await super().change(*changes)
        self._reads_nothing = self.then_reads_nothing

    async def read(self, *asked: Ask) -> list[list[Document]]:
        if self._reads_nothing:
            raise StorageProblem(Cause.browser_fault, detail="tried")
        return await super().read(*asked)


def refusing(store: BrowserStore) -> tuple[BrowserStore, Refusing]:
    shelves = Refusing(store._models.shelves.kept)  # type: ignore[attr-defined]
    return BrowserStore(shelves), shelves


async def ended(shelves: Refusing) -> Person:
    person = await Person(BrowserStore(shelves)).open()
    await person.do.session.start()
    await person.later(30)
    await person.do.session.end_early()
    return person


async def test_a_session_whose_record_is_saved_is_over_even_where_its_running_record_cannot_be_removed() -> (
    None
):
    shelves = Refusing(MemoryShelves().kept)
    person = await ended(shelves)
    shelves.passes = 1
    await person.do.log.save()
    assert person.state.run.live is None
    assert person.state.screen is Screen.week
    await person.do.session.start()
    assert len(await person.store.sessions.records()) == 1
    assert person.state.run.live is not None


async def test_what_cannot_be_read_after_a_session_was_saved_leaves_no_screen_without_a_session() -> None:
    shelves = Refusing(MemoryShelves().kept)
    person = await ended(shelves)
    shelves.then_reads_nothing = True
    with pytest.raises(StorageProblem):
        await person.do.log.save()
    assert person.state.run.live is None
    assert person.state.screen is Screen.setup


async def test_a_correction_that_is_refused_half_way_counts_as_far_as_it_was_saved() -> None:
    store, shelves = refusing(await store_with(lifted()))
    person = await looking_back(store)
    await person.do.week.show(WEEK)
    await person.do.record.open("day-0")
    person.do.record.correct_effort(9)
    person.do.record.correct_note("It was hot")
    shelves.passes = 1
    with pytest.raises(StorageProblem):
        await person.do.record.save()
    assert person.state.learned.history == await store.sessions.history()
    assert len(await store.sessions.amendments("day-0")) == 1


async def test_late_answers_that_are_refused_half_way_count_as_far_as_they_were_saved() -> None:
    store, shelves = refusing((await started()).store)
    person = Person(store)
    await person.come_back()
    await person.do.session.end_early()
    await person.do.log.save()
    person.clock.ms += 20 * 3_600_000
    await person.do.setup.show()
    await person.do.afterwards.show()
    person.do.afterwards.say_effort(4)
    person.do.afterwards.say_soreness(5)
    shelves.passes = 1
    with pytest.raises(StorageProblem):
        await person.do.afterwards.save()
    assert person.state.learned.history == await store.sessions.history()


async def test_morning_pain_is_kept_for_today_even_where_nothing_can_be_read_after_it() -> None:
    store, shelves = refusing(await store_with(lifted()))
    person = Person(store, began=STARTED_AT + timedelta(days=1))
    await person.come_back()
    await person.do.afterwards.show()
    person.do.afterwards.say_morning_pain(Joint.knee, Side.left, 4)
    shelves.then_reads_nothing = True
    with pytest.raises(StorageProblem):
        await person.do.afterwards.save()
    said = person.state.body.said
    assert said is not None
    assert [one.rating for one in said.pains] == [4]
    assert await BrowserStore(shelves_that_read(shelves)).person.said_today() == said


def shelves_that_read(shelves: Refusing) -> Refusing:
    return Refusing(shelves.kept)


async def test_a_backup_that_is_refused_half_way_counts_as_far_as_it_was_brought_in() -> None:
    theirs = Holdings(records=(lifted(1), lifted(2)))
    store, shelves = refusing(await store_with(lifted()))
    person = await looking_back(store)
    person.files.to_pick.append(PickedFile("backup.json", write_backup(theirs)))
    shelves.passes = 1
    with pytest.raises(StorageProblem):
        await person.do.settings.backup.pick()
    assert len(await store.sessions.records()) == 2
    assert person.state.learned.history == await store.sessions.history()
    assert person.state.screen is Screen.settings


async def test_erasing_that_is_refused_shows_what_is_left() -> None:
    store, shelves = refusing(await store_with(lifted()))
    person = await looking_back(store)
    shelves.passes = 0
    with pytest.raises(StorageProblem):
        await person.do.settings.backup.erase_everything()
    assert person.state.learned.history == await store.sessions.history()
    assert person.state.screen is Screen.setup
    await person.do.settings.backup.erase_everything()
    assert person.state.screen is Screen.cautions
