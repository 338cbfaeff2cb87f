"""What a person says counts at once; where it cannot be saved, every screen says so until it is."""

from __future__ import annotations

import asyncio
from datetime import timedelta

import builders
import pytest
from builders import STARTED_AT
from shelves_that_fail import ShelvesThatFail
from somebody import PLAN, Person

from companion.actions import keeping
from companion.actions.keeping import NOT_YET, WAITS
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.record.profile import ProfileFlag
from storage.browser.shelves import Put, Remove
from storage.browser.store import BrowserStore
from storage.problem import Cause, StorageProblem

KNEE = (Joint.knee, Side.left)
OTHER = builders.plan(id="another-plan", name="Another plan")


class Shelves(ShelvesThatFail):
    """Shelves that refuse changes, or never answer them."""

    def __init__(self) -> None:
        super().__init__()
        self.refuses: Cause | None = None
        self.hangs: asyncio.Event | None = None

    async def change(self, *changes: Put | Remove) -> None:
        if self.hangs is not None:
            await self.hangs.wait()
        if self.refuses is not None:
            raise StorageProblem(self.refuses)
        await super().change(*changes)


@pytest.fixture
def shelves() -> Shelves:
    return Shelves()


@pytest.fixture
async def person(shelves: Shelves) -> Person:
    return await Person(BrowserStore(shelves)).open()


async def test_what_was_said_on_a_full_device_counts_and_is_saved_once_there_is_room(
    person: Person, shelves: Shelves
) -> None:
    shelves.refuses = Cause.browser_full
    await person.do.setup.choose_kit(Kit.single)
    await person.do.setup.toggle_absent(Equipment.wall)
    await person.do.setup.rate_sore(*KNEE, 4)
    await person.do.settings.toggle_flag(ProfileFlag.pregnant)
    said = person.state.not_saved
    assert said.startswith(f"{NOT_YET} There is no room left")
    assert said.endswith(WAITS)
    assert person.state.body.sore
    assert person.state.fit.session is not None
    assert person.state.fit.session.room.kit is Kit.single
    await person.later(5)
    assert person.state.not_saved == said
    shelves.refuses = None
    await person.later(3)
    assert person.state.not_saved == ""
    again = Person(BrowserStore(shelves))
    await again.come_back(PLAN)
    assert (again.state.home.kit, again.state.home.without) == (Kit.single, (Equipment.wall,))
    assert again.state.body.sore == person.state.body.sore
    assert again.state.home.profile == person.state.home.profile


async def test_only_the_latest_word_on_a_matter_waits(person: Person, shelves: Shelves) -> None:
    shelves.refuses = Cause.browser_full
    for kit in (Kit.single, Kit.none, Kit.single):
        await person.do.setup.choose_kit(kit)
    shelves.refuses, before = None, shelves.steps
    await person.later(3)
    assert shelves.steps - before == 1
    kept = await person.store.person.kit()
    assert kept is not None
    assert kept.dumbbells is Kit.single


async def test_what_waits_to_be_saved_does_not_outlive_erasing_everything(
    person: Person, shelves: Shelves
) -> None:
    shelves.refuses = Cause.browser_full
    await person.do.settings.rename("Ailo")
    shelves.refuses = None
    await person.do.settings.backup.erase_everything()
    await person.later(5)
    assert await person.store.person.profile() is None
    assert person.state.not_saved == ""


async def test_a_disk_that_hangs_holds_no_clock_up(
    person: Person, shelves: Shelves, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(keeping, "SLOW_AFTER_S", 0.01)
    await person.do.session.start()
    shelves.refuses = Cause.browser_full
    await person.do.cues.set_device(haptic=False)
    shelves.refuses, shelves.hangs = None, asyncio.Event()
    async with asyncio.timeout(5):
        await person.later(3)
        await person.do.session.pause()
    assert person.cues.pending == ()
    shelves.hangs.set()
    await asyncio.sleep(0.05)
    await person.later(3)
    assert not (await person.store.person.settings()).haptic


async def test_in_a_window_that_may_only_read_nothing_waits(shelves: Shelves) -> None:
    await Person(BrowserStore(shelves)).open()
    reading = Person(BrowserStore(shelves, may_write=lambda: False))
    await reading.come_back(PLAN)
    with pytest.raises(StorageProblem, match="not_owner"):
        await reading.do.setup.choose_kit(Kit.none)
    assert reading.state.not_saved == ""


async def test_what_cannot_be_taken_back_now_can_be_taken_back_later(
    person: Person, shelves: Shelves
) -> None:
    await person.do.plans.save(OTHER)
    await person.do.plans.remove(OTHER)
    shelves.refuses = Cause.browser_fault
    with pytest.raises(StorageProblem):
        await person.context.undo()
    shelves.refuses = None
    await person.undo()
    assert OTHER in await person.store.plans.all()


async def test_a_first_plan_is_saved_with_the_samples_or_not_at_all(person: Person, shelves: Shelves) -> None:
    """Saved one after the other, a refusal between them left a part of the samples for good."""
    for step in range(1, 12):
        fresh = ShelvesThatFail(shelves.kept)
        somebody = Person(BrowserStore(fresh))
        somebody.context.samples = lambda: (PLAN, builders.plan(id="second", name="Second sample"))
        await somebody.do.opening.open()
        fresh.steps, fresh.fails = 0, {step: Cause.browser_full}.get
        refused = False
        try:
            await somebody.do.plans.save(OTHER)
        except StorageProblem:
            refused = True
        kept = {plan.id for plan in await BrowserStore(ShelvesThatFail(fresh.kept)).plans.all()}
        assert kept in (set(), {PLAN.id, "second", OTHER.id})
        if not refused and fresh.failed == 0:
            return
    raise AssertionError("saving never came to an end")


async def test_an_answer_that_was_given_is_not_given_twice_by_a_second_try(shelves: Shelves) -> None:
    store = BrowserStore(shelves)
    await store.person.save_profile(builders.profile(cautions_read_at=STARTED_AT))
    await store.sessions.save(builders.record(record_id="yesterday"))
    person = Person(store, began=STARTED_AT + timedelta(days=1))
    await person.come_back(PLAN)
    await person.do.afterwards.show()
    person.do.afterwards.say_soreness(3)
    person.do.afterwards.say_morning_pain(*KNEE, 2)
    writes = {shelves.steps + number: Cause.browser_full for number in range(1, 30)}
    for step in writes:
        shelves.fails = {step: Cause.browser_full}.get
        try:
            await person.do.afterwards.save()
            break
        except StorageProblem:
            shelves.mend()
    shelves.mend()
    await person.do.afterwards.save()
    fields = [one.field for one in await store.sessions.amendments("yesterday")]
    assert sorted(fields) == ["next_morning_pain", "soreness"]
