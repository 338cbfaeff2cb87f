"""What every store keeps, in a folder and in the browser: all parts together.

tests/browser/phone/test_storage.py runs this and the tests of each part over the browser's own database.
"""

from __future__ import annotations

import builders
from builders import STARTED_AT
from recounted import LATER, on, save_all

from engine.base.model import revision_of
from engine.movements.movement import Equipment
from engine.record.history import History
from storage.models import KitOwned, Settings, Theme
from storage.store import Store


async def test_a_new_store_is_empty(store: Store) -> None:
    assert await store.person.profile() is None
    assert await store.person.kit() is None
    assert await store.person.settings() == Settings()
    assert await store.plans.all() == ()
    assert await store.plans.one("test-plan") is None
    assert await store.sessions.records() == ()
    assert await store.sessions.record("record-1") is None
    assert await store.sessions.week_index() == ()
    assert await store.sessions.last_loads() == ()
    assert await store.sessions.history() == History()
    assert await store.run.read() is None
    assert await store.sessions.tombstones() == ()
    assert await store.troubles() == ()


async def test_what_is_saved_is_what_is_found(store: Store) -> None:
    profile = builders.profile(
        zone="Europe/Lisbon", unit="lb", flags=("novice",), cautions_read_at=STARTED_AT
    )
    kit = KitOwned.model_validate(
        {
            "dumbbells": "pair",
            "rack": {
                "fixed": [{"load_g": 4_000, "count": 2}],
                "adjustable": [{"bar_g": 2_000, "plates": [{"load_g": 1_250, "count": 4}]}],
            },
            "absent": ("wall", "bench"),
        }
    )
    plan = builders.plan()
    record = builders.record(loads_g={"one-hand-press": 6_000}, effort=6.5, note="Grip – “fine”.\n\t∞ 🪨")
    await store.person.save_profile(profile)
    await store.person.save_kit(kit)
    settings = Settings(haptic=False, voice=True, volume=0.25, theme=Theme.dark, motion=False)
    await store.person.save_settings(settings)
    await store.plans.save(plan)
    await store.sessions.save(record)
    assert await store.person.profile() == profile
    assert await store.person.kit() == kit
    assert await store.person.settings() == settings
    assert await store.plans.one(plan.id) == plan
    assert await store.sessions.record(record.id) == record
    assert await store.sessions.records() == (record,)


async def test_a_profile_or_a_plan_saved_again_takes_the_place_of_the_old_one(store: Store) -> None:
    await store.person.save_profile(builders.profile(name="Runa", zone="Europe/Oslo"))
    await store.person.save_profile(builders.profile(name="Runa Dahl"))
    await store.plans.save(builders.plan(note="First words."))
    await store.plans.save(builders.plan())
    assert await store.person.profile() == builders.profile(name="Runa Dahl")
    assert await store.plans.all() == (builders.plan(),)


async def test_when_everything_is_erased_only_tombstones_stay(store: Store) -> None:
    await save_all(store, on("2026-03-03"), on("2026-03-10"))
    await store.person.save_profile(builders.profile())
    await store.plans.save(builders.plan())
    await store.person.save_kit(KitOwned(absent=(Equipment.wall,)))
    await store.person.save_settings(Settings(haptic=False))
    await store.run.open(builders.journal().record().model_copy(update={"events": ()}))
    assert set(await store.erase_all(at=LATER)) == {"record-2026-03-03", "record-2026-03-10"}
    assert await store.person.profile() is None
    assert await store.person.kit() is None
    assert await store.person.settings() == Settings()
    assert await store.plans.all() == ()
    assert await store.sessions.records() == ()
    assert await store.sessions.week_index() == ()
    assert await store.run.read() is None
    assert len(await store.sessions.tombstones()) == 2
    assert not await store.sessions.save(on("2026-03-03")), "an erased record never comes back"


async def test_a_device_keeps_its_id_until_everything_is_erased(store: Store) -> None:
    device = await store.device()
    assert await store.device() == device
    await store.erase_all(at=LATER)
    assert await store.device() != device


async def test_what_was_removed_is_remembered_until_it_is_saved_again(store: Store) -> None:
    plan, asked = builders.plan(), builders.adjustment()
    await store.plans.save(plan)
    await store.person.save_adjustment(asked)
    assert await store.removed() == frozenset()
    await store.plans.remove(plan.id)
    await store.person.remove_adjustment(asked)
    assert await store.removed() == {revision_of(plan), revision_of(asked)}
    await store.plans.save(plan)
    await store.person.save_adjustment(asked)
    assert await store.removed() == frozenset()
